#include "libseal/schedule/project.hpp"

#include <algorithm>

#include "libseal/core/error.hpp"
#include "schedule/project_bounds.hpp"
#include "schedule/project_exact.hpp"
#include "schedule/project_model.hpp"
#include "schedule/project_search.hpp"

namespace libseal {
namespace {

void check_options(const ProjectOptions& options) {
    if (options.work_limit < 1)
        throw_value_error("work_limit", "at least 1 schedule", std::to_string(options.work_limit));
    if (options.threads < 0)
        throw_value_error("threads", "a number of threads, or 0 for one per processor",
                          std::to_string(options.threads));
}

/// Bounds must not take longer than the search: the dearer ones grow with the second and third power of the
/// tasks.
detail::SearchProblem plain_problem(const detail::ProjectModel& model, int work_limit) {
    const double tasks = model.tasks;
    const double per_task = work_limit;
    detail::SearchProblem problem{model, [&model] { return detail::make_decoder(model); },
                                  detail::simple_bound(model), nullptr};
    if (tasks < per_task)
        problem.raise_bound = [&model, intervals = tasks * tasks < 20 * per_task](int known) {
            return detail::destructive_bound(model, detail::simple_bound(model), known, intervals);
        };
    return problem;
}

/// Small projects keep a part of the work for the exact search: what the search has not found in a while, it
/// will not.
int searched_first(const detail::ProjectModel& model, int work_limit) {
    constexpr int small_project = 45;
    if (model.tasks > small_project) return work_limit;
    constexpr int short_search = 2500;  // in which the exact search seldom ends
    const int most = work_limit - work_limit / (work_limit < short_search ? 20 : 5);
    return std::max(1, std::min(20 * model.tasks * model.tasks, most));
}

/// The exact search with what is left of the work limit.
void prove(const detail::ProjectModel& model, const ProjectOptions& options, detail::SearchResult& found) {
    const std::int64_t places =
        std::int64_t{options.work_limit - found.schedules} * detail::places_a_schedule;
    auto exact = detail::search_exactly(model, found.makespan, found.bound, places, options.watch.stop);
    if (!exact.start.empty()) {
        found.start = std::move(exact.start);
        found.makespan = exact.makespan;
    }
    if (exact.complete) found.bound = found.makespan;
    found.schedules +=
        static_cast<int>((exact.places + detail::places_a_schedule - 1) / detail::places_a_schedule);
    found.cancelled = !exact.complete && options.watch.stop.stop_requested();
}

/// From the solver's numbers and units to the caller's.
void fill_starts(const detail::ProjectModel& model, const std::vector<int>& start, ProjectResult& result) {
    result.start.resize(start.size());
    for (std::size_t i = 0; i < start.size(); ++i)
        result.start[static_cast<std::size_t>(model.id[i])] = start[i] * model.unit;
}

}  // namespace

ProjectResult solve_project(const std::vector<int>& durations,
                            const std::vector<std::vector<int>>& successors,
                            const std::vector<std::vector<int>>& demands, const std::vector<int>& capacities,
                            const ProjectOptions& options) {
    check_options(options);
    const auto model = detail::project_model(durations, successors, demands, capacities);
    ProjectResult result;
    if (!model.shortage.empty()) {
        result.outcome = Outcome::infeasible;
        result.stopped = model.shortage;
        return result;
    }
    const int search_limit = searched_first(model, options.work_limit);
    auto found =
        detail::search_project(plain_problem(model, options.work_limit), search_limit, options.seed,
                               options.threads, options.watch, detail::search_settings(model, search_limit));
    if (search_limit < options.work_limit && !found.cancelled && found.makespan > found.bound)
        prove(model, options, found);
    fill_starts(model, found.start, result);
    result.makespan = found.makespan * model.unit;
    result.lower_bound = found.bound * model.unit;
    result.schedules = found.schedules;
    if (found.makespan == found.bound) {
        result.outcome = Outcome::optimal;
        result.stopped = "no schedule can be shorter";
    } else if (found.cancelled) {
        result.outcome = Outcome::cancelled;
        result.stopped = "asked to stop";
    } else {
        result.outcome = Outcome::feasible;
        result.stopped = "work limit of " + std::to_string(options.work_limit) + " schedules reached";
    }
    return result;
}

}  // namespace libseal
