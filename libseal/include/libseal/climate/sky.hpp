#pragma once
// Irradiance: clear sky, splitting global into beam and diffuse, and what a tilted plane receives.

#include "libseal/climate/sun.hpp"
#include "libseal/climate/weather.hpp"

namespace libseal {

/// Beam, sky-diffuse and ground-reflected irradiance on a plane. [W/m2]
struct PlaneIrradiance {
    Column beam;    ///< [W/m2]
    Column sky;     ///< [W/m2]
    Column ground;  ///< [W/m2]
};

/// Irradiance on a plane, Perez 1990 sky.
///
/// @param weather  ghi, dni, dhi in use; where one of them is NaN it follows from the other two, where only ghi is
///                 known dni and dhi are made from it (Erbs 1982).
/// @param tilt     From horizontal [deg], 0 to 180.
/// @param azimuth  Of the outward normal, clockwise from north [deg]; NaN: mean over all azimuths.
/// @param albedo   Of the ground [-], 0 to 1.
/// @return         Columns of the weather's length; NaN where irradiance is unknown.
/// @throws ValueError  naming the argument.
/// @source  Perez et al. 1990, Solar Energy 44(5); Erbs, Klein & Duffie 1982, Solar Energy 28(4).
/// @threads pure.
PlaneIrradiance plane_irradiance(const Weather& weather, double tilt, double azimuth, double albedo = 0.2);
PlaneIrradiance plane_irradiance(const Weather& weather, const SunHours& sun, double tilt, double azimuth, double albedo);

/// What the sky of a site sends, hour by hour, before any plane is chosen: computed once per site, so that each plane
/// costs a few operations. A plane receives  (beam + circumsolar) max(0, cos incidence) + dome (1 + cos tilt)/2
/// + horizon sin tilt + albedo global (1 - cos tilt)/2.
struct SkyHours {
    Column beam;         ///< normal [W/m2], 0 while the sun is down
    Column circumsolar;  ///< sky light from around the sun, normal [W/m2]
    Column dome;         ///< even sky light, horizontal [W/m2]
    Column horizon;      ///< brightening (or darkening) near the horizon [W/m2]
    Column horizontal;   ///< horizontal, what the ground reflects [W/m2]
};
/// Perez 1990 sky of a site, in [W/m2]; angles [deg]. @threads pure.
/// @source  Perez et al. 1990, Solar Energy 44(5); Erbs, Klein & Duffie 1982, Solar Energy 28(4).
SkyHours sky_hours(const Weather& weather, const SunHours& sun);
PlaneIrradiance plane_irradiance(const SunHours& sun, const SkyHours& sky, double tilt, double azimuth, double albedo);
/// Sum of beam, sky and ground of the same [W/m2].  @param tilt, azimuth  [deg]  @param albedo  [-], 0 to 1
/// @source  As `plane_irradiance`.
Column plane_total(const SunHours& sun, const SkyHours& sky, double tilt, double azimuth, double albedo);

/// Cosine of the angle between sun and the outward normal; negative behind the plane. [-]
/// @param tilt, azimuth, sun_zenith, sun_azimuth  [deg]; azimuths clockwise from north
/// @source  Spherical geometry.
double cos_incidence(double tilt, double azimuth, double sun_zenith, double sun_azimuth);

/// Sky-diffuse irradiance on a plane from single values. [W/m2]
/// @param tilt, sun_zenith  [deg]  @param cos_incidence  [-]  @param dni, dhi, extraterrestrial  [W/m2]  @param air_mass  [-]
/// @source  Perez et al. 1990, Solar Energy 44(5).
double perez_sky(double tilt, double cos_incidence, double sun_zenith, double dni, double dhi, double extraterrestrial,
                 double air_mass);
/// Sky-diffuse irradiance on a plane under a uniform sky. [W/m2]  @param tilt  [deg]  @param dhi  [W/m2]
/// @source  Geometry: view factor (1 + cos tilt)/2.
double isotropic_sky(double tilt, double dhi);
/// Sky-diffuse irradiance on a plane, uniform sky and sun's surroundings. [W/m2]
/// @param tilt, sun_zenith  [deg]  @param cos_incidence  [-]  @param dni, dhi, extraterrestrial  [W/m2]
/// @source Hay & Davies 1980.
double hay_davies_sky(double tilt, double cos_incidence, double sun_zenith, double dni, double dhi, double extraterrestrial);

/// Global irradiance split in two.
struct Split {
    double dni = 0;  ///< [W/m2]
    double dhi = 0;  ///< [W/m2]
    double clearness = 0;  ///< [-]
};
/// Beam and diffuse from global. [W/m2]  @param ghi, extraterrestrial  [W/m2]  @param zenith  [deg]
/// @source Erbs, Klein & Duffie 1982.
Split erbs_split(double ghi, double zenith, double extraterrestrial);

/// Clear-sky global irradiance [W/m2]. @param zenith  [deg]  @source Haurwitz 1945.
double haurwitz_clear(double zenith);
/// Clear-sky beam normal and diffuse horizontal at a solar altitude. @source ASHRAE Handbook of Fundamentals 2009, ch. 14.
struct ClearSky {
    double beam_normal = 0;  ///< [W/m2]
    double diffuse = 0;      ///< [W/m2]
};
/// Clear-sky irradiance from the beam and diffuse pseudo-optical depths.
/// @param taub, taud  [-]  @param altitude of the sun [deg].
/// @source ASHRAE Handbook of Fundamentals 2009, ch. 14.
ClearSky tau_clear(double taub, double taud, double altitude, int day_of_year);

/// Opaque sky cover [tenths] with its gaps filled: by day from the clear-sky index (global over Haurwitz, where that is
/// above 50 W/m2), at other hours the last such value before, else the first after. NaN only where no hour tells.
/// @source  Kasten & Czeplak 1980, Solar Energy 24, inverted (coefficients from memory); holding over night: judgement.
Column filled_sky_cover(const Weather& weather, const SunHours& sun);

}  // namespace libseal
