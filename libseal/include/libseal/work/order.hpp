#pragma once
// What must come before what, and why. Boost.Graph does the work in src/.

#include <limits>
#include <string>
#include <vector>

#include "libseal/coach/coach.hpp"
#include "libseal/work/steps.hpp"

namespace libseal {

enum class Strength { hard, firm, soft };
std::string to_text(Strength strength);

/// Sequence rules of the word list.
const std::vector<std::string>& rule_names();

/// Which clock a wait is read from.
enum class LagClock {
    elapsed,  ///< nights and days off included
    working,  ///< opening hours of the shop only
    cure      ///< time at the temperature of the bay; outdoors by the weather, warmer is faster
};
std::string to_text(LagClock clock);

/// Step `to` may start `lag` after step `from` has ended.
struct Edge {
    int from = 0;          ///< index into the plan's steps
    int to = 0;            ///< index into the plan's steps
    std::string rule;      ///< name in the word list
    Strength strength = Strength::hard;
    double lag = 0;        ///< [min] of its clock
    std::string reason{};  ///< in words
    LagClock clock = LagClock::elapsed;
    double longest = std::numeric_limits<double>::infinity();  ///< `to` starts at most this long after the end of `from` [min elapsed], >= lag
};

/// A firm or soft edge that the user does without. Names are those of steps; "" stands for every step.
struct DroppedEdge {
    std::string rule;
    std::string from;
    std::string to;
    std::string reason;    ///< never empty
};

/// The edges of `step_order` with its usual options.
/// @param steps  Marks and steps are added to it: see there.
std::vector<Edge> edges_for(std::vector<Step>& steps, const Coach& coach, const Catalogue& catalogue);

/// The edges without the dropped ones.
/// @throws ValueError  if a dropped edge is hard, unknown, or has no reason.
std::vector<Edge> without_dropped(std::vector<Edge> edges, const std::vector<Step>& steps,
                                  const std::vector<DroppedEdge>& dropped);

/// Steps that wait for each other in a ring.
struct OrderLoop {
    std::vector<int> steps;  ///< all that are caught in it, by number: a strong component of the graph
    std::vector<int> edges;  ///< its shortest loop, in order; the loop starts at its lowest step
    int remedy = -1;         ///< firm or soft edge of that loop to drop: soft before firm, then one that frees all its steps; -1: all are hard
};

/// Every group of steps that wait for each other, the one with the shortest loop first; none if there is an order.
/// @param steps  How many there are. @throws ValueError  an edge to a step that is not there.
std::vector<OrderLoop> order_loops(int steps, const std::vector<Edge>& edges);

/// Steps in an order that heeds all edges; of steps that may come next the one first in the list comes.
/// @throws ValueError  for loops: of each the shortest as steps, rules and reasons, and the firm or soft edge that breaks it.
/// @source  Kahn 1962, Commun. ACM 5, with the lowest number first: the smallest of all orders, whatever the order of the edges.
std::vector<int> ordered_steps(const std::vector<Step>& steps, const std::vector<Edge>& edges);

/// Edges without those that others imply, for drawing.
///
/// An edge goes only if another path of edges at least as strong asks for at least its lag whatever happens: with the low minutes of
/// the steps between (which a cure does not count), and lags of its own clock alone. An edge with a longest wait stays.
std::vector<Edge> reduced_edges(const std::vector<Step>& steps, const std::vector<Edge>& edges);

}  // namespace libseal
