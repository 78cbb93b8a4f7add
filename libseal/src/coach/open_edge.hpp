#pragma once
// Which stretch of a joint an open edge means, and whether its bead keeps off it.

#include <string>
#include <vector>

#include "libseal/coach/keep_open.hpp"
#include "libseal/core/error.hpp"

namespace libseal::detail {

/// Paths along the edge of a joint that is kept open ("bottom", "ends", "all"); none for "none". Mouldings that lie flat
/// have a lower edge as long as they are; those that stand up, and arches, are open at their feet.
std::vector<std::vector<Point>> open_edge_paths(const Joint& joint, const std::string& open_edge);

/// Does the joint's path run along the edge that is kept open, or close at ends that are? A bead there would shut it.
bool runs_along_open_edge(const Joint& joint, const std::string& open_edge);

/// Greatest length over which two paths lie on one another, closer than 2 mm. [m]
double shared_length(const std::vector<Point>& a, const std::vector<Point>& b);

/// Of `places_kept_open`, those of parts.
std::vector<KeepOpen> places_kept_open_of_parts(const Coach& coach, const Catalogue& catalogue);

/// What is wrong with the open edges of a coach: words, never-seal places with an edge to seal, beads along open edges or
/// over the places of parts that stay open. Joints of unknown types are passed over.
std::vector<Problem> open_edge_problems(const Coach& coach, const Catalogue& catalogue);

}  // namespace libseal::detail
