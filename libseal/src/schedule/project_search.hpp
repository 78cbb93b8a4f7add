#pragma once
// Search for short schedules: a population of schedules, crossover at resource peaks, passes in both
// directions.

#include <cstdint>
#include <functional>
#include <memory>
#include <vector>

#include "libseal/core/progress.hpp"
#include "schedule/project_decoder.hpp"

namespace libseal::detail {

/// Settings of the search. `search_settings` chooses them by size and work limit.
struct SearchSettings {
    int populations = 1;        ///< side by side; now and then the best of each moves on to the next
    int population = 20;        ///< members of each
    double start_factor = 1;    ///< start schedules a member
    double start_noise = 0.25;  ///< random part of the start priorities, in critical paths
    double window_low = 0.1;    ///< shortest and longest crossover window, in makespans
    double window_high = 0.5;
    double peak_share = 0.5;  ///< share of windows put at the busiest of a few places
    int peak_tries = 3;
    double swap_chance = 0.02;  ///< mutation: chance of exchanging two neighbours of the list
    double redraw_share = 0.1;  ///< children made by redrawing the order inside a window of one parent
    double redraw_low = 0.05;
    double redraw_high = 0.2;
    double first_heat =
        0.02;  ///< a child longer by this share of the makespan is taken with chance 1/e, at first
    double last_heat = 0;         ///< the same at the end
    double turn_share = 1;        ///< children decoded in the direction opposite to their parent's
    double outer_share = 0.5;     ///< the member to be replaced gives the order outside of the window
    double parallel_share = 0.2;  ///< children decoded by the parallel scheme
    double second_pass = 1.02;    ///< children up to this many makespans of the parent get a second pass
};

/// Found by trial on the instances of Kolisch & Sprecher 1996 (docs/solver.md); part of what makes a result.
SearchSettings search_settings(const ProjectModel& model, int work_limit);

struct SearchResult {
    std::vector<int> start;  ///< by task of the model
    int makespan = 0;
    int bound = 0;  ///< no schedule is shorter
    int schedules = 0;
    bool cancelled = false;
};

/// What is searched. Another kind of project brings its own decoder and bounds, and the network, rough
/// durations and needs of its tasks as a model, which only guide the search.
struct SearchProblem {
    const ProjectModel& model;
    std::function<std::unique_ptr<Decoder>()> make_decoder;  ///< one a population: they run side by side
    int bound = 0;                                           ///< no schedule is shorter
    std::function<int(int known)>
        raise_bound;  ///< a dearer one, given the length of a schedule; may be empty
};

/// Never generates more than work_limit schedules; stops when a schedule is as short as the bound. At least
/// one schedule is generated, whatever the watch says.
SearchResult search_project(const SearchProblem& problem, int work_limit, std::uint64_t seed, int threads,
                            const Watch& watch, const SearchSettings& settings);

}  // namespace libseal::detail
