#pragma once
// What a plane receives of the light of a sky, hour by hour.

#include <cstddef>

namespace libseal::kernel {

/// Columns of one length: the sun's unit vector, and the light of the sky [W/m2].
struct SkyColumns {
    std::size_t count = 0;
    const double *up = nullptr, *east = nullptr, *north = nullptr;
    const double *beam = nullptr, *circumsolar = nullptr;      ///< normal
    const double *dome = nullptr, *horizon = nullptr;          ///< even sky light, brightening near the horizon
    const double* horizontal = nullptr;                        ///< that the ground reflects
};

/// A plane in the frame of its place. [-]
struct PlaneFactors {
    double cos_tilt = 1, sin_tilt = 0;
    bool known = true;           ///< whether its azimuth is; else the mean over all
    double east = 0, north = 0;  ///< horizontal parts of the normal
    double dome = 1;             ///< share of the dome that it sees
    double ground = 0;           ///< share of the horizontal light that the ground sends it
};

/// beam + sky + ground [W/m2]. NaN where a component is.
using PlaneTotalKernel = void (*)(const SkyColumns& sky, const PlaneFactors& plane, double* total);
/// The three of them.
using PlanePartsKernel = void (*)(const SkyColumns& sky, const PlaneFactors& plane, double* beam, double* light, double* ground);

}  // namespace libseal::kernel
