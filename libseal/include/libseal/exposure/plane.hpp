#pragma once
// Which way a surface of a coach looks.

#include <limits>
#include <string>

namespace libseal {

/// Orientation of a plane. azimuth NaN: unknown, averaged over all azimuths.
struct Plane {
    double tilt = 0;     ///< from horizontal [deg], 0 roof, 90 wall, 180 underside
    double azimuth = 0;  ///< of the outward normal, clockwise from north [deg]
};

/// Plane of a surface named in words ("roof", "curb_wall", ...), for a coach whose front faces `heading`.
/// Curb wall faces heading + 90, street wall heading - 90, front cap heading, rear cap heading + 180.
/// heading NaN gives azimuth NaN on walls.  @param heading  [deg], clockwise from north
/// @throws ValueError  unknown surface.
Plane plane_of(const std::string& surface, double heading);

}  // namespace libseal
