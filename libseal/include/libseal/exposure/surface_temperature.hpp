#pragma once
// Temperature of a thin panel in sun, wind and sky.

#include "libseal/climate/sky.hpp"

namespace libseal {

struct SurfaceTemperatureOptions {
    double albedo = 0.2;         ///< of the ground, solar [-]
    double wind_factor = 0.7;    ///< station wind to the height of a coach [-] (judgement)
    double film_base = 5.7;      ///< [W/m2K]  McAdams 1954
    double film_slope = 3.8;     ///< [W s/m3K]
    double film_floor = 10.0;    ///< least film coefficient, natural convection [W/m2K]
    bool two_sided = false;      ///< film and long-wave loss on both faces, as a free-standing panel
};

/// Surface temperature of a thin panel, insulated behind, hour by hour.
///
/// absorptance * G = emittance * sigma * (Ts^4 - F_sky Tsky^4 - (1 - F_sky) Ta^4) + h (Ts - Ta), solved by Newton's method.
///
/// @param tilt, azimuth  [deg]; azimuth NaN: the irradiance averaged over azimuths.
/// @param irradiance     On the plane, where it is known already. [W/m2]
/// @param absorptance    Solar [-], 0 to 1.
/// @param emittance      Long-wave [-], 0 to 1.
/// @return               [degC], length of the weather; NaN where an input is NaN.
/// @source  Walton 1983 / Clark & Allen 1978 (sky emissivity); McAdams 1954 (film); ASTM E1980 (balance).
/// @threads pure.
Column surface_temperature(const Weather& weather, double tilt, double azimuth, double absorptance,
                           double emittance = 0.9, const SurfaceTemperatureOptions& options = {});
Column surface_temperature(const Weather& weather, ConstColumn irradiance, double tilt, double absorptance,
                           double emittance, const SurfaceTemperatureOptions& options);

/// Air, sky and wind of a site as the balance needs them; computed once per site, shared by all planes and colours.
struct PanelHours {
    Column air;          ///< [K]
    Column sky_radiant;  ///< fourth power of the sky temperature [K^4]
    Column film;         ///< [W/m2K]
    bool two_sided = false;
};
/// Gaps of the opaque sky cover are filled by `filled_sky_cover`; other gaps stay NaN. Temperatures of surfaces [degC], angles [deg].
/// @source  As `surface_temperature`.
PanelHours panel_hours(const Weather& weather, const SurfaceTemperatureOptions& options = {});
Column surface_temperature(const PanelHours& panel, ConstColumn irradiance, double tilt, double absorptance,
                           double emittance = 0.9);

/// Effective emissivity of the sky [-], at most 1. @param dew_point [degC]. @param opaque_cover [tenths].
/// @source  Walton 1983; Clark & Allen 1978.
double sky_emissivity(double dew_point, double opaque_cover);

/// One steady balance: the surface temperature [K].
/// @param absorbed  [W/m2]  @param emittance  [-]  @param sky_temperature, air_temperature  [K]  @param film  [W/m2K]
/// @source  As `surface_temperature`.
double panel_balance(double absorbed, double emittance, double sky_temperature, double air_temperature, double film);

/// Solar reflectance index of a surface [-]. @param reflectance  Solar. [-], 0 to 1  @param emittance  [-], 0 to 1
/// @source ASTM E1980-11, medium wind (film 12 W/m2K).
double solar_reflectance_index(double reflectance, double emittance);

/// Sol-air temperature [degC]: air + (absorptance irradiance - long_wave_correction) / film.
/// @param air_temperature  [degC]  @param absorptance  [-]  @param irradiance  [W/m2]  @param film  [W/m2K]
/// @param long_wave_correction  Emittance times the long-wave deficit [W/m2], about 63 for a roof, 0 for a wall.
/// @source ASHRAE Handbook of Fundamentals, ch. 18.
double sol_air_temperature(double air_temperature, double absorptance, double irradiance, double film,
                           double long_wave_correction);

}  // namespace libseal
