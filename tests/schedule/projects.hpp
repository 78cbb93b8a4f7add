#pragma once
// Small random projects, a check of schedules and an exhaustive search, written without the solver's ideas.

#include <algorithm>
#include <functional>
#include <numeric>
#include <string>
#include <vector>

#include "libseal/core/random.hpp"
#include "libseal/schedule/project.hpp"
#include "support/psplib.hpp"

namespace libseal_test {

inline libseal::ProjectResult solve(const Project& p, int work_limit = 5000, int threads = 1,
                                    std::uint64_t seed = 0) {
    libseal::ProjectOptions options;
    options.work_limit = work_limit;
    options.threads = threads;
    options.seed = seed;
    return libseal::solve_project(p.durations, p.successors, p.demands, p.capacities, options);
}

/// What is wrong with a schedule, in words; empty if nothing is. Counts the use of every unit of time.
inline std::string fault_of(const Project& p, const std::vector<int>& start, int makespan) {
    const std::size_t n = p.durations.size();
    if (start.size() != n) return "wrong number of starts";
    int last = 0;
    for (std::size_t i = 0; i < n; ++i) {
        if (start[i] < 0) return "task " + std::to_string(i) + " starts before time 0";
        const int end = start[i] + p.durations[i];
        last = std::max(last, end);
        for (const int s : p.successors[i])
            if (start[static_cast<std::size_t>(s)] < end)
                return "task " + std::to_string(s) + " starts before task " + std::to_string(i) + " ends";
    }
    if (last != makespan) return "the last task ends at " + std::to_string(last);
    for (std::size_t k = 0; k < p.capacities.size(); ++k) {
        std::vector<int> used(static_cast<std::size_t>(last), 0);
        for (std::size_t i = 0; i < n; ++i)
            for (int t = start[i]; t < start[i] + p.durations[i]; ++t)
                if ((used[static_cast<std::size_t>(t)] += p.demands[i][k]) > p.capacities[k])
                    return "resource " + std::to_string(k) + " short at " + std::to_string(t);
    }
    return "";
}

/// Synthetic: arcs go from lower to higher task numbers, each with the chance `density`.
inline Project random_project(std::uint64_t seed, int tasks, int resources, int longest,
                              double density = 0.3) {
    libseal::RandomStream random(seed, 77);
    const auto below = [&](int n) { return static_cast<int>(random.below(static_cast<std::uint64_t>(n))); };
    Project p;
    for (int k = 0; k < resources; ++k) p.capacities.push_back(2 + below(4));
    for (int i = 0; i < tasks; ++i) {
        p.durations.push_back(below(longest + 1));
        std::vector<int> after, need;
        for (int j = i + 1; j < tasks; ++j)
            if (random.uniform() < density) after.push_back(j);
        for (int k = 0; k < resources; ++k)
            need.push_back(below(p.capacities[static_cast<std::size_t>(k)] + 1));
        p.successors.push_back(after);
        p.demands.push_back(need);
    }
    return p;
}

/// Shortest makespan by trying every start time of every task in turn; tasks must be in topological order.
/// `allowed(task, start)` may forbid starts.
inline int exhaustive_makespan(const Project& p,
                               const std::function<bool(std::size_t, int)>& allowed = nullptr,
                               int slack = 0) {
    const std::size_t n = p.durations.size();
    int best = std::accumulate(p.durations.begin(), p.durations.end(), 0) + slack + 1;
    std::vector<int> start(n, 0);
    std::vector<std::vector<int>> used(static_cast<std::size_t>(best),
                                       std::vector<int>(p.capacities.size(), 0));
    const std::function<void(std::size_t, int)> place = [&](std::size_t i, int makespan) {
        if (makespan >= best) return;
        if (i == n) {
            best = makespan;
            return;
        }
        int earliest = 0;
        for (std::size_t j = 0; j < i; ++j)
            if (std::count(p.successors[j].begin(), p.successors[j].end(), static_cast<int>(i)) > 0)
                earliest = std::max(earliest, start[j] + p.durations[j]);
        for (int t = earliest; t + p.durations[i] < best; ++t) {
            if (allowed && !allowed(i, t)) continue;
            bool fits = true;
            for (int u = t; u < t + p.durations[i]; ++u)
                for (std::size_t k = 0; k < p.capacities.size(); ++k)
                    fits =
                        (used[static_cast<std::size_t>(u)][k] += p.demands[i][k]) <= p.capacities[k] && fits;
            start[i] = t;
            if (fits) place(i + 1, std::max(makespan, t + p.durations[i]));
            for (int u = t; u < t + p.durations[i]; ++u)
                for (std::size_t k = 0; k < p.capacities.size(); ++k)
                    used[static_cast<std::size_t>(u)][k] -= p.demands[i][k];
        }
    };
    place(0, 0);
    return best;
}

}  // namespace libseal_test
