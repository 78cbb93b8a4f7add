#pragma once
// The outside of a coach as flat pieces, each with two coordinates.

#include <string>
#include <vector>

namespace libseal {

/// A point on a surface [m]. Roof and underside: u back from the front, v from the centreline towards the curb.
/// Walls and slide faces: u back from the front, v above ground. Caps: u from the centreline towards the curb, v above ground.
/// Slide roof, floor: as roof. Slide sides: u out from the coach wall, v above ground.
struct Point {
    double u = 0;  ///< [m]
    double v = 0;  ///< [m]
};

/// A flat piece of the outside; drawn unfolded.
struct Surface {
    std::string name;    ///< "roof", "front_cap", ..., "slide_face", ...
    std::string slide;   ///< id of the slide-out it belongs to, "" for the shell
    Point low;           ///< least u and v [m]
    Point high;          ///< greatest u and v [m]
    std::string substrate;
    std::string finish;  ///< id of a finish in the catalogue
    std::vector<Point> outline{};///< corners of a stepped wall, in order round it; empty: the rectangle [m]
};

/// All surface names, shell first.
const std::vector<std::string>& surface_names();

}  // namespace libseal
