#pragma once
// A plane as the loops over hours want it.

#include "kernel/plane_light.hpp"

namespace libseal::detail {

/// @param azimuth  NaN: mean over all. @throws ValueError  naming the argument.
kernel::PlaneFactors plane_factors(double tilt, double azimuth, double albedo);

}  // namespace libseal::detail
