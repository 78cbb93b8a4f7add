// Which edges follow from others: a transitive reduction that heeds waits, clocks and strengths.

#include <algorithm>
#include <cmath>

#include "libseal/work/order.hpp"

namespace libseal {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// Longest waits from one step to all later ones, along edges of at least one strength, in one clock.
class Reach {
public:
    Reach(const std::vector<Step>& steps, const std::vector<Edge>& edges) : steps_(steps), edges_(edges), order_(ordered_steps(steps, edges)) {
        place_.resize(steps.size());
        for (std::size_t i = 0; i < order_.size(); ++i) place_[at(order_[i])] = i;
        after_.resize(steps.size());
        for (std::size_t e = 0; e < edges.size(); ++e) after_[at(edges[e].from)].push_back(e);
    }

    const std::vector<std::size_t>& after(int step) const { return after_[at(step)]; }

    /// Is the edge implied by others? Of edges between the same two steps the first of the best ones stays.
    bool implied(std::size_t number) {
        const Edge& edge = edges_[number];
        if (std::isfinite(edge.longest)) return false;
        wait_.assign(place_[at(edge.to)] - place_[at(edge.from)] + 1, -1);
        const std::size_t first = place_[at(edge.from)], last = place_[at(edge.to)];
        wait_[0] = 0;
        for (std::size_t p = first; p < last; ++p) {
            if (wait_[p - first] < 0) continue;
            const int here = order_[p];
            const double done = wait_[p - first] + (p == first || edge.clock == LagClock::cure ? 0 : steps_[at(here)].minutes.low);
            for (const std::size_t e : after_[at(here)]) {
                const Edge& next = edges_[e];
                const std::size_t to = place_[at(next.to)];
                if (e == number || to > last || next.strength > edge.strength) continue;
                if (p == first && to == last && !better(e, number)) continue;
                wait_[to - first] = std::max(wait_[to - first], done + (next.clock == edge.clock ? next.lag : 0));
            }
        }
        return wait_[last - first] >= edge.lag;
    }

private:
    /// Of two edges between the same steps: does the one imply the other, and is it the one to keep?
    bool better(std::size_t one, std::size_t other) const {
        const Edge &a = edges_[one], &b = edges_[other];
        const bool implies_other = a.strength <= b.strength && (b.lag <= 0 || (a.clock == b.clock && a.lag >= b.lag));
        if (!implies_other) return false;
        const bool implied_back = !std::isfinite(a.longest) && b.strength <= a.strength && (a.lag <= 0 || (a.clock == b.clock && b.lag >= a.lag));
        return !implied_back || one < other;
    }

    const std::vector<Step>& steps_;
    const std::vector<Edge>& edges_;
    std::vector<int> order_;
    std::vector<std::size_t> place_;
    std::vector<std::vector<std::size_t>> after_;
    std::vector<double> wait_;
};

}  // namespace

std::vector<Edge> reduced_edges(const std::vector<Step>& steps, const std::vector<Edge>& edges) {
    Reach reach(steps, edges);
    std::vector<Edge> kept;
    for (std::size_t e = 0; e < edges.size(); ++e)
        if (reach.after(edges[e].from).size() < 2 || !reach.implied(e)) kept.push_back(edges[e]);
    return kept;
}

}  // namespace libseal
