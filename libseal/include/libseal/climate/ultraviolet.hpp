#pragma once
// Ultraviolet, 280 to 400 nm, on a plane.

#include "libseal/climate/sky.hpp"

namespace libseal {

/// Ultraviolet irradiance 280 to 400 nm on a plane. Absolute level known to about 10 %.
///
/// Share of global by air mass and clear-sky index; own diffuse share; sky part with a circumsolar portion;
/// ground reflects little ultraviolet.
///
/// @param tilt     [deg], 0 to 180.
/// @param azimuth  [deg]; NaN: mean over all azimuths.
/// @param albedo   Of the ground for ultraviolet [-], default 0.04.
/// @return         [W/m2], length of the weather.
/// @source  Share fitted for this project to NASA POWER (CERES) hours of Sydney; see docs/.
/// @threads pure.
Column ultraviolet(const Weather& weather, double tilt, double azimuth, double albedo = 0.04);
Column ultraviolet(const Weather& weather, const SunHours& sun, double tilt, double azimuth, double albedo);

/// The ultraviolet sky of a site; `plane_total` of it is what `ultraviolet` gives. Computed once per site.
SkyHours ultraviolet_hours(const Weather& weather, const SunHours& sun);

/// Share of global irradiance that is ultraviolet (280 to 400 nm). [-]
/// @param air_mass  [-]  @param clear_sky_index  [-], 0 to 1
/// @source  As `ultraviolet`.
double ultraviolet_share(double air_mass, double clear_sky_index);

}  // namespace libseal
