#pragma once
// The bare project solver: tasks, what must come before what, resources that are held while a task runs.

#include <cstdint>
#include <string>
#include <vector>

#include "libseal/core/progress.hpp"
#include "libseal/schedule/outcome.hpp"

namespace libseal {

/// Optional inputs of `solve_project`; the names are the keywords in Python.
struct ProjectOptions {
    int work_limit = 50000;  ///< generated schedules, >= 1; each pass over the tasks, forward or backward, counts as one
    std::uint64_t seed = 0;  ///< of the random draws
    int threads = 0;         ///< 0: one per processor; changes no bit of the result
    Watch watch;             ///< a request to stop gives the best schedule so far, outcome `cancelled`
};

/// The best schedule found and what is known about the shortest.
struct ProjectResult {
    std::vector<int> start;  ///< one a task, in the caller's unit of time, first at 0; empty if infeasible
    int makespan = 0;        ///< end of the last task
    int lower_bound = 0;     ///< no schedule is shorter; equals the makespan if the outcome is `optimal`
    Outcome outcome = Outcome::none_found;
    std::string stopped;     ///< why the search ended, in words
    int schedules = 0;       ///< generated; never above the work limit
};

/// Shortest schedule of a project with limited resources.
///
/// Task i runs without a break for durations[i]; each of successors[i] starts when it has ended or later; while it runs it
/// holds demands[i][k] units of resource k, of which there are capacities[k]. A demand above the capacity, of a task
/// that takes time, makes the project infeasible: an outcome, not an error.
///
/// @param durations   [unit of time], each >= 0, any number of tasks, sum below 2^30.
/// @param successors  One list a task, of task numbers from 0. Doubled entries count once.
/// @param demands     One list a task, one number a resource. [unit of the resource], each >= 0.
/// @param capacities  One number a resource. [unit of the resource], each >= 0; may be empty.
/// @throws ValueError  sizes that do not match, negative numbers, unknown task numbers, a loop of successors (named).
/// @source  Serial and parallel schedule generation, Kolisch 1996 (EJOR 90, 320-333); double justification, Valls,
///          Ballestin & Quintanilla 2005 (EJOR 165, 375-386); crossover at resource peaks, the same 2008 (EJOR 185, 495-508);
///          populations of both directions, Debels & Vanhoucke 2007 (Oper. Res. 55, 457-469); energetic bound, Baptiste,
///          Le Pape & Nuijten 1999 (Ann. Oper. Res. 92, 305-333); destructive bounds, Klein & Scholl 1999 (EJOR 112, 322-346).
/// @threads pure.
ProjectResult solve_project(const std::vector<int>& durations, const std::vector<std::vector<int>>& successors,
                            const std::vector<std::vector<int>>& demands, const std::vector<int>& capacities,
                            const ProjectOptions& options = {});

}  // namespace libseal
