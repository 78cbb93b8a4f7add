#pragma once
// When is each step done, and by whom?

#include <cstdint>
#include <string>
#include <vector>

#include "libseal/core/progress.hpp"
#include "libseal/schedule/outcome.hpp"
#include "libseal/schedule/time.hpp"
#include "libseal/work/plan.hpp"

namespace libseal {

/// Optional inputs of `schedule`; the names are the keywords in Python.
struct ScheduleOptions {
    int work_limit = 200;      ///< generated schedules, >= 1
    std::uint64_t seed = 0;
    Watch watch;
};

/// One step in time.
struct StepTime {
    int step = 0;                   ///< index into the plan's steps
    Minute start = 0;
    Minute end = 0;
    std::vector<TimeSpan> pieces;   ///< working time, breaks left out; empty for marks in time
    std::vector<int> people;        ///< indices into the shop's people
    std::string waited_for;         ///< in words, what kept it from starting earlier
    bool critical = false;          ///< on the chain that fixes the end
};

/// Steps of a plan in time, or why there is none.
struct Schedule {
    Outcome outcome = Outcome::none_found;
    std::string stopped;            ///< why the search ended, in words
    std::vector<StepTime> steps;    ///< one a step of the plan, in its order; empty unless feasible
    Minute begin = 0;               ///< start of the first step
    Minute end = 0;                 ///< end of the last
    Minute lower_bound = 0;         ///< no valid schedule ends earlier
    std::vector<Date> days;         ///< on which somebody works on the coach
    int tried = 0;                  ///< schedules generated
    std::vector<std::string> obstacles;    ///< infeasible: what cannot be met
    std::vector<std::string> relaxations;  ///< infeasible: the cheapest change that would help
};

/// Schedules the steps of a plan over the shop's working time.
///
/// People are released at breaks, a bay is held from the first step to the last, cures run through nights.
/// The shortest stay is sought; ties by the order of steps. Same input, same bits.
///
/// @param start  First day on which work may begin.
/// @throws ValueError  unusable shop or work_limit.
/// @source  Serial schedule generation, Kolisch 1996; critical path as the bound.
/// @threads pure.
Schedule schedule(const WorkPlan& plan, const Shop& shop, Date start, const ScheduleOptions& options = {});

/// The schedule as JSON, schema `libseal/schedule/1`.
std::string schedule_json(const Schedule& schedule, const WorkPlan& plan, const Shop& shop);

}  // namespace libseal
