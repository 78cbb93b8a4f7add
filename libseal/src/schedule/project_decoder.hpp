#pragma once
// Schedule generation: from an order of the tasks to a schedule, forward or backward in time.

#include <memory>
#include <vector>

#include "schedule/project_model.hpp"

namespace libseal::detail {

/// In which time a schedule is built: backward, the last task comes first and starts count from the end.
enum class Way { forward, backward };

inline Way opposite(Way way) { return way == Way::forward ? Way::backward : Way::forward; }

/// A schedule in the time of one way.
struct Draft {
    std::vector<int> list;   ///< tasks, each after those that must end before it
    std::vector<int> start;  ///< by task
    int makespan = 0;
};

/// Builds schedules; owns its working space. Not safe to share between threads.
class Decoder {
public:
    virtual ~Decoder() = default;

    /// Serial scheme: places the tasks of draft.list in turn, each as early as it fits. Fills start and makespan.
    /// @source  Kolisch 1996, Serial and parallel resource-constrained project scheduling methods revisited.
    virtual void serial(Draft& draft, Way way) = 0;

    /// Parallel scheme: at each moment starts what fits, in the order of draft.list (any order). Sorts the list by start.
    virtual void parallel(Draft& draft, Way way) = 0;

    int schedules() const { return schedules_; }

protected:
    int schedules_ = 0;
};

std::unique_ptr<Decoder> make_decoder(const ProjectModel& model);

/// `to` becomes the same schedule seen in the opposite time, its list by start there; ties in the reverse order of
/// `from.list`. Decoding `to` the other way is one step of justification: it never gets longer.
/// @source  Valls, Ballestin & Quintanilla 2005, Justification and RCPSP.
void mirror(const ProjectModel& model, const Draft& from, Draft& to, std::vector<int>& space);

/// Sorts draft.list by start, ties in the order of the list before.
void sort_by_start(Draft& draft, std::vector<int>& space);

}  // namespace libseal::detail
