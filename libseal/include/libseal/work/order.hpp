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
    int to = 0;
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

/// All edges of a plan: inside joints, then between joints by height and overlap.
/// @param steps  Marks are added to it where many steps wait for many others.
std::vector<Edge> edges_for(std::vector<Step>& steps, const Coach& coach, const Catalogue& catalogue);

/// The edges without the dropped ones.
/// @throws ValueError  if a dropped edge is hard, unknown, or has no reason.
std::vector<Edge> without_dropped(std::vector<Edge> edges, const std::vector<Step>& steps,
                                  const std::vector<DroppedEdge>& dropped);

/// Steps in an order that heeds all edges; of steps that may come next the one first in the list comes.
/// @throws ValueError  for a cycle: the shortest loop as rules and steps, and the firm or soft edge that breaks it.
std::vector<int> ordered_steps(const std::vector<Step>& steps, const std::vector<Edge>& edges);

/// Edges without those that others imply, for drawing. An edge goes only if another path asks for at least its lag.
std::vector<Edge> reduced_edges(const std::vector<Step>& steps, const std::vector<Edge>& edges);

}  // namespace libseal
