#pragma once
// What the materials of one plane receive, hour by hour.

#include "libseal/climate/sky.hpp"
#include "libseal/climate/sun.hpp"
#include "libseal/climate/weather.hpp"
#include "libseal/exposure/itinerary.hpp"
#include "libseal/exposure/plane.hpp"
#include "libseal/exposure/surface_temperature.hpp"

namespace libseal {

/// Light, warmth and damp at a surface. Columns have the length of the weather.
struct SurfaceHours {
    Column ultraviolet;          ///< 280 to 400 nm on the plane, behind the cover [W/m2]
    Column surface_temperature;  ///< [degC]
    Column surface_humidity;     ///< of air at surface temperature, at most 100 [%]
    Column air_temperature;      ///< [degC]
    Column air_humidity;         ///< [%]
};

/// What all planes of a site share: computed once per site.
struct SiteHours {
    SunHours sun;
    SkyHours light;
    SkyHours ultraviolet;
    PanelHours panel;
};
/// Sun, sky and panel arrays of a site, for `surface_hours` of any number of planes.
/// @threads pure.
SiteHours site_hours(const Weather& weather);

/// Exposure of a plane of given finish under a cover.
///
/// Behind a cover that lets no light through the surface has the temperature of the air; indoors never below 5 degC.
///
/// @param absorptance, emittance  [-], 0 to 1.
/// @throws ValueError  naming the argument.
/// @threads pure.
/// @source  As `ultraviolet` and `surface_temperature`.
SurfaceHours surface_hours(const Weather& weather, const SiteHours& site, const Plane& plane, double absorptance,
                           double emittance, const CoverFactors& cover);
/// Of that, the surface temperature alone. [degC]  @param absorptance, emittance  [-], 0 to 1
/// @source  As `surface_temperature`.
Column surface_temperature_hours(const Weather& weather, const SiteHours& site, const Plane& plane, double absorptance,
                                 double emittance, const CoverFactors& cover);

}  // namespace libseal
