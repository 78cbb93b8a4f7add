#pragma once
// In which order to walk past joints, and how far that is.

#include <string>
#include <vector>

#include "libseal/coach/place.hpp"

namespace libseal::detail {

/// A joint on the way.
struct WayPoint {
    std::string joint;
    bool roof = false;
    int part = 0;       ///< of the way: side of the coach (curb, rear, street, front), or end of the roof
    double along = 0;   ///< rises along that part [m]
    Place at;
};

/// The roof of the coach and of its slide-outs is looked at from above, all else from the ground.
bool is_on_roof(const Joint& joint);
WayPoint way_point(const Coach& coach, const Joint& joint);
/// Order of the walk: the ground first; at one place from top to bottom, then by id.
bool comes_before(const WayPoint& a, const WayPoint& b);

/// From the first point round the coach to the last and the shorter way back [m]. Points in order, none on the roof.
double ground_walk(const Coach& coach, const std::vector<WayPoint>& way);
/// From the ladder to the first point, past all others and back to the ladder [m]. Points in order, all on the roof.
double roof_walk(const Coach& coach, const std::vector<WayPoint>& way);

}  // namespace libseal::detail
