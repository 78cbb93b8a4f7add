#pragma once
// Exact search for small projects: proves that no schedule is shorter, or finds the one that is.

#include <cstdint>
#include <vector>

#include "libseal/core/progress.hpp"
#include "schedule/project_model.hpp"

namespace libseal::detail {

constexpr int most_exact_tasks = 64;

/// Giving a task its start, with the bounds that go with it, takes about a quarter of the time of a schedule
/// of thirty tasks: so many count as one schedule of the work limit.
constexpr int places_a_schedule = 4;

struct ExactResult {
    bool complete = false;    ///< no schedule is shorter than `makespan`
    int makespan = 0;         ///< of the best schedule known: the caller's, or `start`
    std::vector<int> start;   ///< by task of the model; empty if nothing shorter than the caller's was found
    std::int64_t places = 0;  ///< tasks that were given a start, over the whole search
};

/// Depth first over the moments at which tasks end: of the tasks that may start, each is started, or left for
/// later.
///
/// Left out are starts that could be earlier without harm (left shift) and states that another state with the
/// same tasks started is at least as far as (cut sets); of two such ways the one met first is kept, so that
/// some shortest schedule always stays.
/// @source  Demeulemeester & Herroelen 1992, 1997 (cut sets); Sprecher 2000 (left shift with cut sets).
/// @param known   makespan of a schedule at hand; only shorter ones are looked for.
/// @param bound   no schedule is shorter: the search ends when it is met.
/// @param most_places  gives up after these.
ExactResult search_exactly(const ProjectModel& model, int known, int bound, std::int64_t most_places,
                           const StopToken& stop);

}  // namespace libseal::detail
