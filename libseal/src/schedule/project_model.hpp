#pragma once
// A project as the solver sees it: checked, without what cannot matter, in topological order.

#include <cstdint>
#include <string>
#include <vector>

namespace libseal::detail {

/// Neighbours of every task in one array.
struct Arcs {
    std::vector<int> begin{0};  ///< tasks + 1
    std::vector<int> to;
    const int* first(int task) const { return to.data() + begin[static_cast<std::size_t>(task)]; }
    const int* last(int task) const { return to.data() + begin[static_cast<std::size_t>(task) + 1]; }
};

struct ProjectModel {
    int tasks = 0;
    int unit = 1;                        ///< greatest common divisor of the caller's durations
    std::vector<int> duration;           ///< in units; tasks are numbered so that every arc goes up
    std::vector<int> id;                 ///< the caller's number of a task
    Arcs before, after;                  ///< direct neighbours, each once
    std::vector<std::vector<int>> need;  ///< [resource][task]; resources that can never be short are left out
    std::vector<int> capacity;           ///< [resource], in the greatest common divisor of its demands
    std::vector<int> head, tail;         ///< longest way of work before a task and after it
    int path = 0;                        ///< longest way of all
    int horizon = 0;                     ///< sum of durations
    std::string shortage;                ///< not empty: a task that can never run, in words
};

/// @throws ValueError  with up to 50 problems.
ProjectModel project_model(const std::vector<int>& durations, const std::vector<std::vector<int>>& successors,
                           const std::vector<std::vector<int>>& demands, const std::vector<int>& capacities);

}  // namespace libseal::detail
