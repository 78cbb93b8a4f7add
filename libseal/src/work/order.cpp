#include "libseal/work/order.hpp"

#include <algorithm>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "libseal/work/rules.hpp"

namespace libseal {

std::string to_text(Strength strength) {
    return strength == Strength::hard ? "hard" : strength == Strength::firm ? "firm" : "soft";
}

std::string to_text(LagClock clock) {
    return clock == LagClock::elapsed ? "elapsed" : clock == LagClock::working ? "working" : "cure";
}

std::vector<Edge> edges_for(std::vector<Step>& steps, const Coach& coach, const Catalogue& catalogue) {
    return step_order(steps, coach, catalogue).edges;
}

std::vector<Edge> without_dropped(std::vector<Edge> edges, const std::vector<Step>& steps,
                                  const std::vector<DroppedEdge>& dropped) {
    for (std::size_t i = 0; i < dropped.size(); ++i) {
        const DroppedEdge& drop = dropped[i];
        const std::string field = "dropped[" + std::to_string(i) + "]";
        if (drop.reason.empty()) throw_value_error(field + ".reason", "why this edge is dropped", "nothing");
        const auto matches = [&](const Edge& edge) {
            return edge.rule == drop.rule &&
                   (drop.from.empty() || steps[static_cast<std::size_t>(edge.from)].id == drop.from) &&
                   (drop.to.empty() || steps[static_cast<std::size_t>(edge.to)].id == drop.to);
        };
        const auto first = std::find_if(edges.begin(), edges.end(), matches);
        if (first == edges.end()) {
            const std::string near = nearest_name(drop.rule, rule_names());
            throw_value_error(field, "an edge of the plan",
                              drop.rule + " from \"" + drop.from + "\" to \"" + drop.to + "\"",
                              near.empty() || near == drop.rule ? "" : "did you mean " + near + "?");
        }
        for (const Edge& edge : edges)
            if (matches(edge) && edge.strength == Strength::hard)
                throw_value_error(field, "a firm or soft edge", "the hard rule " + drop.rule,
                                  "hard rules are never dropped");
        edges.erase(std::remove_if(edges.begin(), edges.end(), matches), edges.end());
    }
    return edges;
}

}  // namespace libseal
