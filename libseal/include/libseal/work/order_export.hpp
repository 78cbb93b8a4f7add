#pragma once
// The order of a plan for other programs: Graphviz and JSON.

#include <string>

#include "libseal/work/plan.hpp"

namespace libseal {

/// The drawn edges of a plan as a Graphviz digraph: a box a step, grouped by surface and slide-out, marks as points; hard edges are
/// solid, firm ones dashed, soft ones dotted, each with its rule and wait; the critical path is drawn bold. All text is escaped.
/// @threads pure.
std::string order_dot(const WorkPlan& plan);

/// The order as JSON, schema `libseal/order/1` (docs/order.md): steps with times and floats, all edges, the rules they come from,
/// the order and the critical path.
/// @threads pure.
std::string order_json(const WorkPlan& plan);

}  // namespace libseal
