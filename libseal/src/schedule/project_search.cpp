#include "schedule/project_search.hpp"

#include <algorithm>

#include "libseal/core/error.hpp"
#include "libseal/core/parallel.hpp"
#include "schedule/project_population.hpp"

namespace libseal::detail {

namespace {

constexpr int short_search = 2500;

/// About thirty tasks: wide windows, much redrawing, few repairs by a second pass.
SearchSettings small_settings(int work_limit) {
    SearchSettings s;
    s.population = std::clamp(work_limit / 125, 20, 150);
    s.start_noise = 0.4;
    s.window_high = 0.4;
    s.peak_tries = 4;
    s.redraw_share = 0.5;
    s.first_heat = 0.015;
    s.turn_share = 0.7;
    if (work_limit < short_search) {
        s.start_factor = 2;
        s.window_low = 0.3;
        s.swap_chance = 0;
        s.redraw_low = 0.2;
        s.redraw_high = 0.5;
        s.parallel_share = 0.1;
        s.second_pass = 1.06;
        s.outer_share = 0.4;
    } else {
        s.start_factor = 1.5;
        s.window_low = 0.2;
        s.swap_chance = 0.07;
        s.redraw_low = 0.1;
        s.redraw_high = 0.3;
        s.parallel_share = 0.2;
        s.second_pass = 2;
        s.outer_share = 0.2;
    }
    return s;
}

/// About sixty tasks.
SearchSettings medium_settings(int work_limit) {
    SearchSettings s;
    s.population = std::clamp(std::min(10 + work_limit / 100, 45 + work_limit / 320), 20, 400);
    s.start_noise = 0.4;
    s.redraw_share = 0.1;
    if (work_limit < short_search) {
        s.start_factor = 2;
        s.window_low = 0.2;
        s.window_high = 0.4;
        s.peak_share = 1;
        s.peak_tries = 2;
        s.swap_chance = 0.01;
        s.redraw_low = 0.1;
        s.redraw_high = 0.2;
        s.first_heat = 0.005;
        s.parallel_share = 0.2;
        s.second_pass = 1.04;
        s.outer_share = 0.4;
    } else {
        s.start_factor = 3;
        s.window_low = 0.1;
        s.window_high = 0.5;
        s.peak_tries = 3;
        s.swap_chance = 0.07;
        s.redraw_low = 0.05;
        s.redraw_high = 0.1;
        s.first_heat = 0.003;
        s.parallel_share = 0.1;
        s.second_pass = 2;
        s.outer_share = 0.2;
    }
    return s;
}

/// A hundred tasks and more: a second pass only for children that are nearly as short as their parent.
SearchSettings large_settings(int work_limit) {
    constexpr int long_search = 15000;
    SearchSettings s;
    s.start_noise = 0.25;
    s.turn_share = 0.85;
    s.second_pass = 1.03;
    if (work_limit < short_search) {
        s.population = std::clamp(9 + work_limit / 300, 10, 20);
        s.start_factor = 1.5;
        s.window_low = 0.2;
        s.window_high = 0.6;
        s.peak_share = 1;
        s.peak_tries = 10;
        s.swap_chance = 0.04;
        s.redraw_share = 0;
        s.first_heat = 0.015;
        s.parallel_share = 0.3;
        s.outer_share = 0.5;
        return s;
    }
    s.start_factor = 2;
    s.redraw_low = 0.05;
    s.redraw_high = 0.1;
    s.first_heat = 0.005;
    s.outer_share = 0.6;
    if (work_limit < long_search) {
        s.population = 15 + work_limit / 264;
        s.window_low = 0.2;
        s.window_high = 0.4;
        s.peak_tries = 7;
        s.redraw_share = 0.02;
        s.parallel_share = 0.25;
    } else {
        s.population = std::min(11 + work_limit / 264, 400);
        s.window_low = 0.12;
        s.window_high = 0.36;
        s.peak_tries = 4;
        s.redraw_share = 0.05;
        s.parallel_share = 0.1;
    }
    return s;
}

}  // namespace

SearchSettings search_settings(const ProjectModel& model, int work_limit) {
    constexpr int small = 45;
    constexpr int medium = 90;
    SearchSettings s = model.tasks <= small    ? small_settings(work_limit)
                       : model.tasks <= medium ? medium_settings(work_limit)
                                               : large_settings(work_limit);
    // A very short search is all start: a few members, each justified.
    s.population = std::clamp(s.population, 1, std::max(4, work_limit / 30));
    return s;
}

namespace {

constexpr std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// Populations that share the work evenly. Which thread runs which changes nothing.
class Islands {
public:
    Islands(const SearchProblem& problem, int work_limit, std::uint64_t seed, const SearchSettings& settings)
        : problem_(problem), bound_(problem.bound) {
        const int count = std::clamp(settings.populations, 1, work_limit);
        share_ = work_limit / count;
        islands_.reserve(at(count));
        for (int p = 0; p < count; ++p)
            islands_.emplace_back(problem.model, problem.make_decoder(), settings, bound_, share_, seed,
                                  static_cast<std::uint64_t>(p));
    }

    /// False if the caller asked to stop.
    bool run(int threads, const Watch& watch) {
        ProgressReporter reporter(watch, "solve_project");
        first_look(watch.stop);
        for (int until = step_; !done(); until += step_) {
            parallel_for(islands_.size(), threads,
                         [&](std::size_t p) { islands_[p].advance(std::min(share_, until), watch.stop); });
            if (watch.stop.stop_requested()) return false;
            if (islands_.size() > 1) pass_on();
            try {
                reporter.tick(static_cast<double>(until) / share_);
            } catch (const Cancelled&) {
                return false;
            }
        }
        return true;
    }

    SearchResult result() const {
        SearchResult result;
        const auto best = std::min_element(
            islands_.begin(), islands_.end(),
            [](const auto& a, const auto& b) { return a.best().makespan < b.best().makespan; });
        result.start = best->best().start;
        result.makespan = best->best().makespan;
        result.bound = bound_;
        for (const auto& island : islands_) result.schedules += island.schedules();
        return result;
    }

private:
    /// The first schedule may meet the bound already; else the bound is worth raising.
    void first_look(const StopToken& stop) {
        constexpr int few = 3;
        islands_[0].advance(std::min(few, share_), stop);
        if (done() || stop.stop_requested() || !problem_.raise_bound) return;
        bound_ = std::max(bound_, problem_.raise_bound(islands_[0].best().makespan));
        for (auto& island : islands_) island.raise_bound(bound_);
    }

    bool done() const {
        return std::any_of(islands_.begin(), islands_.end(), [](const auto& i) { return i.at_bound(); }) ||
               std::all_of(islands_.begin(), islands_.end(),
                           [&](const auto& i) { return i.schedules() >= share_; });
    }

    void pass_on() {
        std::vector<Member> best;
        for (const auto& island : islands_) best.push_back(island.best_member());
        for (std::size_t p = 0; p < islands_.size(); ++p)
            islands_[(p + 1) % islands_.size()].take_in(best[p]);
    }

    static constexpr int step_ = 500;
    const SearchProblem& problem_;
    int bound_;
    int share_ = 0;
    std::vector<Population> islands_;
};

}  // namespace

SearchResult search_project(const SearchProblem& problem, int work_limit, std::uint64_t seed, int threads,
                            const Watch& watch, const SearchSettings& settings) {
    Islands islands(problem, work_limit, seed, settings);
    const bool ended = islands.run(threads, watch);
    SearchResult result = islands.result();
    result.cancelled = !ended;
    return result;
}

}  // namespace libseal::detail
