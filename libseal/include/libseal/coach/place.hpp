#pragma once
// From a point on an unfolded surface to a point in space, and back to the nearest surface.

#include <string>
#include <string_view>

#include "libseal/coach/coach.hpp"

namespace libseal {

/// A point in space: x back from the front of the shell, y from the centreline towards the curb side, z above ground [m].
struct Place {
    double x = 0;  ///< [m]
    double y = 0;  ///< [m]
    double z = 0;  ///< [m]
};

/// Where a point of a surface is, slide-outs extended.
/// @throws ValueError  if the coach has no such surface.
Place place_of(const Coach& coach, const std::string& surface, const std::string& slide, Point point);

/// Point half-way along a joint's path.
Point middle_of(const Joint& joint);

/// Wall that a slide-out moves through: "street_wall" or "curb_wall".
/// @throws ValueError  if there is no part of kind "slide_out" with this id.
const std::string& wall_of_slide(const Coach& coach, std::string_view slide);

}  // namespace libseal
