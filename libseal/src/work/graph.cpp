// Order, loops and reduction of the steps' graph: the Boost.Graph part.

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/strong_components.hpp>
#include <cmath>
#include <deque>
#include <functional>
#include <queue>

#include "libseal/core/error.hpp"
#include "libseal/work/order.hpp"

namespace libseal {
namespace {

using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::bidirectionalS, boost::no_property,
                                    boost::property<boost::edge_index_t, std::size_t>>;

Graph graph_of(std::size_t steps, const std::vector<Edge>& edges) {
    Graph graph(steps);
    for (std::size_t i = 0; i < edges.size(); ++i)
        boost::add_edge(static_cast<std::size_t>(edges[i].from), static_cast<std::size_t>(edges[i].to), i,
                        graph);
    return graph;
}

/// Edges of the shortest loop through `start` inside its component; empty if there is none.
std::vector<std::size_t> loop_through(const Graph& graph, std::size_t start,
                                      const std::vector<std::size_t>& component) {
    const auto index = boost::get(boost::edge_index, graph);
    constexpr auto none = static_cast<std::size_t>(-1);
    std::vector<std::size_t> came_by(boost::num_vertices(graph), none),
        from(boost::num_vertices(graph), none);
    std::deque<std::size_t> queue{start};
    while (!queue.empty()) {
        const std::size_t at = queue.front();
        queue.pop_front();
        for (auto [e, end] = boost::out_edges(at, graph); e != end; ++e) {
            const std::size_t to = boost::target(*e, graph);
            if (component[to] != component[start] || (came_by[to] != none && to != start)) continue;
            if (to == start) {
                std::vector<std::size_t> loop{index[*e]};
                for (std::size_t v = at; v != start; v = from[v]) loop.push_back(came_by[v]);
                std::reverse(loop.begin(), loop.end());
                return loop;
            }
            came_by[to] = index[*e];
            from[to] = at;
            queue.push_back(to);
        }
    }
    return {};
}

[[noreturn]] void throw_loop(const Graph& graph, const std::vector<Step>& steps,
                             const std::vector<Edge>& edges) {
    std::vector<std::size_t> component(steps.size());
    boost::strong_components(
        graph, boost::make_iterator_property_map(component.begin(), boost::get(boost::vertex_index, graph)));
    std::vector<std::size_t> shortest;
    for (std::size_t v = 0; v < steps.size(); ++v) {
        const auto loop = loop_through(graph, v, component);
        if (!loop.empty() && (shortest.empty() || loop.size() < shortest.size())) shortest = loop;
    }
    std::string text;
    const Edge* weakest = nullptr;
    for (const std::size_t i : shortest) {
        const Edge& edge = edges[i];
        text += steps[static_cast<std::size_t>(edge.from)].id + " -> " +
                steps[static_cast<std::size_t>(edge.to)].id + " (" + edge.rule + ", " +
                to_text(edge.strength) + "); ";
        if (edge.strength != Strength::hard && (!weakest || edge.strength > weakest->strength))
            weakest = &edge;
    }
    const std::string hint = weakest
                                 ? "drop the " + to_text(weakest->strength) + " edge " + weakest->rule +
                                       " from " + steps[static_cast<std::size_t>(weakest->from)].id + " to " +
                                       steps[static_cast<std::size_t>(weakest->to)].id + ", with a reason"
                                 : "all rules of the loop are hard: split the work over two visits";
    throw_value_error("order", "rules without a loop", text.substr(0, text.size() - 2), hint);
}

double duration(const Step& step) { return step.minutes.low; }

}  // namespace

std::vector<int> ordered_steps(const std::vector<Step>& steps, const std::vector<Edge>& edges) {
    const Graph graph = graph_of(steps.size(), edges);
    std::vector<std::size_t> waiting(steps.size());
    std::priority_queue<std::size_t, std::vector<std::size_t>, std::greater<>> ready;
    for (std::size_t v = 0; v < steps.size(); ++v)
        if ((waiting[v] = boost::in_degree(v, graph)) == 0) ready.push(v);
    std::vector<int> order;
    while (!ready.empty()) {
        const std::size_t at = ready.top();
        ready.pop();
        order.push_back(static_cast<int>(at));
        for (auto [e, end] = boost::out_edges(at, graph); e != end; ++e)
            if (--waiting[boost::target(*e, graph)] == 0) ready.push(boost::target(*e, graph));
    }
    if (order.size() != steps.size()) throw_loop(graph, steps, edges);
    return order;
}

std::vector<Edge> reduced_edges(const std::vector<Step>& steps, const std::vector<Edge>& edges) {
    const std::vector<int> order = ordered_steps(steps, edges);
    std::vector<std::size_t> place(steps.size());
    for (std::size_t i = 0; i < order.size(); ++i) place[static_cast<std::size_t>(order[i])] = i;
    const Graph graph = graph_of(steps.size(), edges);
    const auto index = boost::get(boost::edge_index, graph);
    std::vector<char> drop(edges.size(), 0);
    std::vector<double> longest(steps.size());
    // From each step: the longest wait along other paths, with the least minutes that a step can take.
    for (std::size_t v = 0; v < steps.size(); ++v) {
        std::fill(longest.begin(), longest.end(), -1.0);
        std::vector<std::pair<std::size_t, std::size_t>> out;  // place of the target, edge
        for (auto [e, end] = boost::out_edges(v, graph); e != end; ++e)
            out.push_back({place[boost::target(*e, graph)], index[*e]});
        if (out.size() < 2) continue;
        std::sort(out.begin(), out.end());
        std::size_t next = 0;
        for (std::size_t p = out.front().first; p <= out.back().first; ++p) {
            const auto at = static_cast<std::size_t>(order[p]);
            for (; next < out.size() && out[next].first == p; ++next) {
                const std::size_t edge = out[next].second;
                if (longest[at] >= edges[edge].lag) drop[edge] = 1;
                longest[at] = std::max(longest[at], edges[edge].lag);
            }
            if (longest[at] < 0) continue;
            for (auto [e, end] = boost::out_edges(at, graph); e != end; ++e) {
                double& reach = longest[boost::target(*e, graph)];
                reach = std::max(reach, longest[at] + duration(steps[at]) + edges[index[*e]].lag);
            }
        }
    }
    std::vector<Edge> kept;
    for (std::size_t i = 0; i < edges.size(); ++i)
        if (!drop[i]) kept.push_back(edges[i]);
    return kept;
}

}  // namespace libseal
