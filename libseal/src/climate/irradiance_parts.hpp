#pragma once
// Global, beam and diffuse of every hour, the missing ones made from those that are known.

#include "libseal/climate/sky.hpp"

namespace libseal::detail {

struct IrradianceParts {
    Column ghi;
    Column dni;
    Column dhi;
};

/// @throws ValueError  unless the three columns and the sun have the weather's length.
IrradianceParts irradiance_parts(const Weather& weather, const SunHours& sun);

}  // namespace libseal::detail
