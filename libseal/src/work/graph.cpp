// Order and loops of the steps' graph: the Boost.Graph part.

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/strong_components.hpp>
#include <deque>
#include <functional>
#include <map>
#include <queue>
#include <tuple>

#include "libseal/core/error.hpp"
#include "libseal/work/order.hpp"

namespace libseal {
namespace {

using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::bidirectionalS, boost::no_property,
                                    boost::property<boost::edge_index_t, std::size_t>>;
constexpr auto none = static_cast<std::size_t>(-1);

std::size_t at(int i) { return static_cast<std::size_t>(i); }

Graph graph_of(std::size_t steps, const std::vector<Edge>& edges) {
    Graph graph(steps);
    for (std::size_t i = 0; i < edges.size(); ++i) {
        for (const int end : {edges[i].from, edges[i].to})
            if (end < 0 || at(end) >= steps)
                throw_value_error("edges[" + std::to_string(i) + "]", "a step below " + std::to_string(steps), std::to_string(end));
        boost::add_edge(at(edges[i].from), at(edges[i].to), i, graph);
    }
    return graph;
}

std::vector<std::size_t> components_of(const Graph& graph) {
    std::vector<std::size_t> component(boost::num_vertices(graph));
    boost::strong_components(
        graph, boost::make_iterator_property_map(component.begin(), boost::get(boost::vertex_index, graph)));
    return component;
}

/// Edges of the shortest loop through `start` inside its component; empty if there is none.
std::vector<std::size_t> loop_through(const Graph& graph, std::size_t start,
                                      const std::vector<std::size_t>& component) {
    const auto index = boost::get(boost::edge_index, graph);
    std::vector<std::size_t> came_by(boost::num_vertices(graph), none),
        from(boost::num_vertices(graph), none);
    std::deque<std::size_t> queue{start};
    while (!queue.empty()) {
        const std::size_t here = queue.front();
        queue.pop_front();
        for (auto [e, end] = boost::out_edges(here, graph); e != end; ++e) {
            const std::size_t to = boost::target(*e, graph);
            if (component[to] != component[start] || (came_by[to] != none && to != start)) continue;
            if (to == start) {
                std::vector<std::size_t> loop{index[*e]};
                for (std::size_t v = here; v != start; v = from[v]) loop.push_back(came_by[v]);
                std::reverse(loop.begin(), loop.end());
                return loop;
            }
            came_by[to] = index[*e];
            from[to] = here;
            queue.push_back(to);
        }
    }
    return {};
}

/// Does leaving out one edge leave no loop among these steps?
bool frees(const std::vector<int>& steps, const std::vector<Edge>& edges, int without) {
    std::map<int, int> waits;
    std::map<int, std::vector<int>> after;
    for (const int step : steps) waits[step] = 0;
    for (std::size_t i = 0; i < edges.size(); ++i) {
        const Edge& edge = edges[i];
        if (static_cast<int>(i) == without || !waits.count(edge.from) || !waits.count(edge.to)) continue;
        after[edge.from].push_back(edge.to);
        ++waits[edge.to];
    }
    std::deque<int> ready;
    for (const auto& [step, count] : waits)
        if (count == 0) ready.push_back(step);
    std::size_t done = 0;
    for (; !ready.empty(); ++done) {
        const int here = ready.front();
        ready.pop_front();
        for (const int next : after[here])
            if (--waits[next] == 0) ready.push_back(next);
    }
    return done == steps.size();
}

int remedy_of(const OrderLoop& loop, const std::vector<Edge>& edges) {
    int best = -1;
    std::tuple<Strength, bool> best_worth{};
    for (const int i : loop.edges) {
        if (edges[at(i)].strength == Strength::hard) continue;
        const std::tuple<Strength, bool> worth{edges[at(i)].strength, frees(loop.steps, edges, i)};
        if (best < 0 || worth > best_worth) best = i, best_worth = worth;
    }
    return best;
}

Problem problem_of(const OrderLoop& loop, const std::vector<Step>& steps, const std::vector<Edge>& edges) {
    Problem problem;
    problem.field = "order";
    problem.expected = "rules without a loop";
    for (const int i : loop.edges) {
        const Edge& edge = edges[at(i)];
        if (!problem.got.empty()) problem.got += "; ";
        problem.got += steps[at(edge.from)].id + " -> " + steps[at(edge.to)].id + " (" + edge.rule + ", " + to_text(edge.strength) +
                       "): " + edge.reason;
    }
    problem.context = std::to_string(loop.steps.size()) + " steps wait for each other";
    if (loop.remedy < 0) {
        problem.hint = "all rules of the loop are hard: split the work over two visits";
        return problem;
    }
    const Edge& edge = edges[at(loop.remedy)];
    problem.hint = "drop the " + to_text(edge.strength) + " edge " + edge.rule + " from " + steps[at(edge.from)].id + " to " +
                   steps[at(edge.to)].id + ", with a reason";
    return problem;
}

}  // namespace

std::vector<OrderLoop> order_loops(int steps, const std::vector<Edge>& edges) {
    if (steps < 0) throw_value_error("steps", "a number >= 0", std::to_string(steps));
    const Graph graph = graph_of(at(steps), edges);
    const std::vector<std::size_t> component = components_of(graph);
    std::map<std::size_t, std::vector<int>> members;
    for (int v = 0; v < steps; ++v) members[component[at(v)]].push_back(v);
    std::vector<OrderLoop> loops;
    for (auto& [number, inside] : members) {
        OrderLoop loop;
        for (const int v : inside) {
            const auto found = loop_through(graph, at(v), component);
            if (found.empty() || (!loop.edges.empty() && found.size() >= loop.edges.size())) continue;
            loop.edges.assign(found.begin(), found.end());
        }
        if (loop.edges.empty()) continue;
        loop.steps = std::move(inside);
        loop.remedy = remedy_of(loop, edges);
        loops.push_back(std::move(loop));
    }
    std::stable_sort(loops.begin(), loops.end(), [](const OrderLoop& a, const OrderLoop& b) {
        return a.edges.size() != b.edges.size() ? a.edges.size() < b.edges.size() : a.steps < b.steps;
    });
    return loops;
}

std::vector<int> ordered_steps(const std::vector<Step>& steps, const std::vector<Edge>& edges) {
    const Graph graph = graph_of(steps.size(), edges);
    std::vector<std::size_t> waiting(steps.size());
    std::priority_queue<std::size_t, std::vector<std::size_t>, std::greater<>> ready;
    for (std::size_t v = 0; v < steps.size(); ++v)
        if ((waiting[v] = boost::in_degree(v, graph)) == 0) ready.push(v);
    std::vector<int> order;
    while (!ready.empty()) {
        const std::size_t here = ready.top();
        ready.pop();
        order.push_back(static_cast<int>(here));
        for (auto [e, end] = boost::out_edges(here, graph); e != end; ++e)
            if (--waiting[boost::target(*e, graph)] == 0) ready.push(boost::target(*e, graph));
    }
    if (order.size() == steps.size()) return order;
    std::vector<Problem> problems;
    for (const OrderLoop& loop : order_loops(static_cast<int>(steps.size()), edges)) problems.push_back(problem_of(loop, steps, edges));
    throw ValueError(std::move(problems));
}

}  // namespace libseal
