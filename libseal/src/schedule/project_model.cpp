#include "schedule/project_model.hpp"

#include <algorithm>
#include <numeric>
#include <queue>

#include "core/problem.hpp"
#include "libseal/core/error.hpp"

namespace libseal::detail {
namespace {

using Lists = std::vector<std::vector<int>>;

constexpr std::size_t most_problems = 50;
constexpr std::int64_t longest = std::int64_t{1} << 30;

class Check {
public:
    void add(const std::string& field, const std::string& expected, const std::string& got,
             const std::string& hint = "") {
        if (problems_.size() >= most_problems) return;
        problems_.push_back(detail::field_problem(field, expected, got, hint));
    }
    void size(const std::string& field, std::size_t got, std::size_t expected, const std::string& what) {
        if (got != expected) add(field, std::to_string(expected) + " entries, " + what, std::to_string(got));
    }
    void not_negative(const std::string& field, int value) {
        if (value < 0) add(field, "a number >= 0", std::to_string(value));
    }
    void finish() {
        if (!problems_.empty()) throw ValueError(std::move(problems_));
    }

private:
    std::vector<Problem> problems_;
};

std::string item(const std::string& list, std::size_t i) { return list + "[" + std::to_string(i) + "]"; }

void check_numbers(const std::vector<int>& durations, const Lists& successors, const Lists& demands,
                   const std::vector<int>& capacities) {
    Check check;
    const std::size_t n = durations.size();
    check.size("successors", successors.size(), n, "one a task");
    check.size("demands", demands.size(), n, "one a task");
    std::int64_t sum = 0;
    for (std::size_t i = 0; i < n; ++i) {
        check.not_negative(item("durations", i), durations[i]);
        sum += durations[i];
    }
    if (sum >= longest)
        check.add("durations", "a sum below " + std::to_string(longest), std::to_string(sum),
                  "use a coarser unit of time");
    for (std::size_t k = 0; k < capacities.size(); ++k)
        check.not_negative(item("capacities", k), capacities[k]);
    for (std::size_t i = 0; i < demands.size(); ++i) {
        check.size(item("demands", i), demands[i].size(), capacities.size(), "one a resource");
        for (std::size_t k = 0; k < demands[i].size(); ++k)
            check.not_negative(item(item("demands", i), k), demands[i][k]);
    }
    for (std::size_t i = 0; i < successors.size(); ++i)
        for (std::size_t s = 0; s < successors[i].size(); ++s) {
            const int to = successors[i][s];
            if (to < 0 || static_cast<std::size_t>(to) >= n)
                check.add(item(item("successors", i), s),
                          "a task number from 0 to " + std::to_string(n) + " - 1", std::to_string(to));
        }
    check.finish();
}

/// From a task with a predecessor still open back along such predecessors until one comes twice.
[[noreturn]] void throw_loop(const Lists& before, const std::vector<int>& open) {
    int task = 0;
    while (open[static_cast<std::size_t>(task)] == 0) ++task;
    std::vector<int> way;
    while (std::find(way.begin(), way.end(), task) == way.end()) {
        way.push_back(task);
        for (const int p : before[static_cast<std::size_t>(task)])
            if (open[static_cast<std::size_t>(p)] > 0) {
                task = p;
                break;
            }
    }
    way.erase(way.begin(), std::find(way.begin(), way.end(), task));
    std::reverse(way.begin(), way.end());
    // Begin at the smallest number, so that the text does not depend on where the search came in.
    std::rotate(way.begin(), std::min_element(way.begin(), way.end()), way.end());
    std::string text;
    for (const int t : way) text += std::to_string(t) + " -> ";
    text += std::to_string(way.front());
    throw_value_error("successors", "no task to come before itself", "the loop " + text,
                      "take out one of these successors");
}

/// The caller's task numbers in topological order, smallest first where there is a choice.
std::vector<int> topological_order(const Lists& after, const Lists& before) {
    const std::size_t n = after.size();
    std::vector<int> open(n), order;
    std::priority_queue<int, std::vector<int>, std::greater<>> ready;
    for (std::size_t i = 0; i < n; ++i) {
        open[i] = static_cast<int>(before[i].size());
        if (open[i] == 0) ready.push(static_cast<int>(i));
    }
    while (!ready.empty()) {
        const int task = ready.top();
        ready.pop();
        order.push_back(task);
        for (const int s : after[static_cast<std::size_t>(task)])
            if (--open[static_cast<std::size_t>(s)] == 0) ready.push(s);
    }
    if (order.size() < n) throw_loop(before, open);
    return order;
}

Arcs arcs_of(const Lists& neighbours, const std::vector<int>& order, const std::vector<int>& rank) {
    Arcs arcs;
    for (const int task : order) {
        for (const int other : neighbours[static_cast<std::size_t>(task)])
            arcs.to.push_back(rank[static_cast<std::size_t>(other)]);
        std::sort(arcs.to.begin() + arcs.begin.back(), arcs.to.end());
        arcs.begin.push_back(static_cast<int>(arcs.to.size()));
    }
    return arcs;
}

void add_graph(ProjectModel& model, const Lists& successors) {
    Lists after = successors;
    Lists before(successors.size());
    for (std::size_t i = 0; i < after.size(); ++i) {
        auto& list = after[i];
        std::sort(list.begin(), list.end());
        list.erase(std::unique(list.begin(), list.end()), list.end());
        for (const int s : list) before[static_cast<std::size_t>(s)].push_back(static_cast<int>(i));
    }
    model.id = topological_order(after, before);
    std::vector<int> rank(model.id.size());
    for (std::size_t i = 0; i < model.id.size(); ++i)
        rank[static_cast<std::size_t>(model.id[i])] = static_cast<int>(i);
    model.before = arcs_of(before, model.id, rank);
    model.after = arcs_of(after, model.id, rank);
}

void add_durations(ProjectModel& model, const std::vector<int>& durations) {
    model.unit = 0;
    for (const int d : durations) model.unit = std::gcd(model.unit, d);
    if (model.unit == 0) model.unit = 1;
    for (const int id : model.id)
        model.duration.push_back(durations[static_cast<std::size_t>(id)] / model.unit);
    model.horizon = std::accumulate(model.duration.begin(), model.duration.end(), 0);

    model.head.assign(model.duration.size(), 0);
    model.tail.assign(model.duration.size(), 0);
    for (int i = 0; i < model.tasks; ++i) {
        const int end = model.head[static_cast<std::size_t>(i)] + model.duration[static_cast<std::size_t>(i)];
        model.path = std::max(model.path, end);
        for (const int* s = model.after.first(i); s != model.after.last(i); ++s)
            model.head[static_cast<std::size_t>(*s)] =
                std::max(model.head[static_cast<std::size_t>(*s)], end);
    }
    for (int i = model.tasks - 1; i >= 0; --i) {
        const int way = model.tail[static_cast<std::size_t>(i)] + model.duration[static_cast<std::size_t>(i)];
        for (const int* p = model.before.first(i); p != model.before.last(i); ++p)
            model.tail[static_cast<std::size_t>(*p)] =
                std::max(model.tail[static_cast<std::size_t>(*p)], way);
    }
}

/// A task without duration holds nothing; a resource that cannot be short is left out; units are made as
/// large as may be.
void add_resources(ProjectModel& model, const Lists& demands, const std::vector<int>& capacities) {
    for (std::size_t k = 0; k < capacities.size(); ++k) {
        std::vector<int> need;
        std::int64_t sum = 0;
        int divisor = 0;
        for (int i = 0; i < model.tasks; ++i) {
            const std::size_t task = static_cast<std::size_t>(i);
            const int units =
                model.duration[task] > 0 ? demands[static_cast<std::size_t>(model.id[task])][k] : 0;
            if (units > capacities[k] && model.shortage.empty())
                model.shortage = "task " + std::to_string(model.id[task]) + " needs " +
                                 std::to_string(units) + " of resource " + std::to_string(k) +
                                 ", which has " + std::to_string(capacities[k]);
            need.push_back(units);
            sum += units;
            divisor = std::gcd(divisor, units);
        }
        if (sum <= capacities[k]) continue;
        for (int& units : need) units /= divisor;
        model.need.push_back(std::move(need));
        model.capacity.push_back(capacities[k] / divisor);
    }
}

}  // namespace

ProjectModel project_model(const std::vector<int>& durations, const std::vector<std::vector<int>>& successors,
                           const std::vector<std::vector<int>>& demands, const std::vector<int>& capacities) {
    check_numbers(durations, successors, demands, capacities);
    ProjectModel model;
    model.tasks = static_cast<int>(durations.size());
    add_graph(model, successors);
    add_durations(model, durations);
    add_resources(model, demands, capacities);
    return model;
}

}  // namespace libseal::detail
