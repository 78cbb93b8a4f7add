#include "schedule/project_search.hpp"

#include <algorithm>

#include "libseal/core/parallel.hpp"
#include "schedule/project_bounds.hpp"
#include "schedule/project_population.hpp"

namespace libseal::detail {

SearchSettings search_settings(const ProjectModel&, int) { return {}; }

namespace {

/// Runs a share of the work, then reports; false if the caller asked to stop.
bool advance(Population& population, int schedules, int work_limit, const Watch& watch, ProgressReporter& reporter) {
    constexpr int step = 500;
    while (population.schedules() < schedules && !population.at_bound()) {
        population.advance(std::min(schedules, population.schedules() + step), watch.stop);
        if (watch.stop.stop_requested()) return false;
        reporter.tick(static_cast<double>(population.schedules()) / work_limit);
    }
    return true;
}

}  // namespace

SearchResult search_project(const ProjectModel& model, int work_limit, std::uint64_t seed, int, const Watch& watch,
                            const SearchSettings& settings) {
    ProgressReporter reporter(watch, "solve_project");
    SearchResult result;
    result.bound = simple_bound(model);
    Population population(model, settings, result.bound, work_limit, seed, 0);
    // A first schedule may meet the bound already; else it is worth raising.
    constexpr int first_look = 3;
    result.cancelled = !advance(population, std::min(first_look, work_limit), work_limit, watch, reporter);
    if (!result.cancelled && !population.at_bound()) {
        constexpr int worth_intervals = 2000;
        result.bound = destructive_bound(model, result.bound, population.best().makespan, work_limit >= worth_intervals);
        population.raise_bound(result.bound);
        result.cancelled = !advance(population, work_limit, work_limit, watch, reporter);
    }
    result.start = population.best().start;
    result.makespan = population.best().makespan;
    result.schedules = population.schedules();
    return result;
}

}  // namespace libseal::detail
