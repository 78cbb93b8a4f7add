#pragma once
// Pieces of a joint that are graded one by one: runs of at most 1 m, sides, ends and corners.

#include <string>
#include <vector>

#include "libseal/coach/joint.hpp"

namespace libseal {

/// A piece of a joint that a finding can name.
struct JointSegment {
    std::string name;   ///< "1" to "n" along the path; "top", "front", "street", ...: a side, or an end of a straight joint; "corner_front_top", ...
    double length = 0;  ///< [m]
    Point middle;       ///< on the joint's surface [m]
};

/// Pieces of a joint, in this order: equal runs of at most 1 m along the path, "1" first; then, round a part, its sides (also the
/// one that the bead leaves open) and its corners (50 mm each way); of a straight joint its two ends (50 mm). They overlap: a survey
/// names what it saw.
/// Sides are named as the surface lies: front and rear along the coach, street and curb across it, top and bottom in height;
/// on the sides of a slide-out inner (at the wall) and outer.
/// @source  Segment of at most 1 m, one side or one corner: our proposal.
/// @threads pure.
std::vector<JointSegment> segments_of(const Joint& joint);

}  // namespace libseal
