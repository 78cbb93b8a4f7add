#pragma once
// Which stretch of a joint an open edge means, and whether its bead keeps off it.

#include <string>
#include <vector>

#include "libseal/coach/coach.hpp"

namespace libseal::detail {

/// Paths along the edge of a joint that is kept open ("bottom", "ends", "all"); none for "none". Mouldings that lie flat
/// have a lower edge as long as they are; those that stand up, and arches, are open at their feet.
std::vector<std::vector<Point>> open_edge_paths(const Joint& joint, const std::string& open_edge);

/// Does the joint's path run along the edge that is kept open, or close at ends that are? A bead there would shut it.
bool runs_along_open_edge(const Joint& joint, const std::string& open_edge);

}  // namespace libseal::detail
