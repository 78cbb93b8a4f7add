#pragma once
// Where the sun stands, and when it rises and sets.

#include <optional>

#include "libseal/climate/weather.hpp"
#include "libseal/core/columns.hpp"

namespace libseal {

/// Where the sun stands at several instants.
struct SunPosition {
    Column zenith;   ///< [deg], true (no refraction), topocentric
    Column azimuth;  ///< [deg], clockwise from north, 0 to 360
};

struct SunAngles {
    double zenith = 0;   ///< [deg], true
    double azimuth = 0;  ///< [deg], clockwise from north
};

/// Sun position within 0.01 deg from 2010 to 2110 (angular distance; better to 2050).
///
/// @param time_utc   Instants [s since 1970-01-01 UTC], any length n.
/// @param latitude   [deg], -90 to 90.
/// @param longitude  [deg], -180 to 180.
/// @return           Zenith and azimuth, length n.
/// @throws ValueError  out of range.
/// @source  Blanco, Milidonis & Bonanos 2020, Solar Energy 212 (PSA), 2020 to 2050; Grena 2012, Solar Energy 86
///          (no. 3) before and after.
/// @threads pure.
SunPosition sun_position(ConstInstantColumn time_utc, double latitude, double longitude);
SunAngles sun_angles(Instant time_utc, double latitude, double longitude);

/// Refraction to add to the true elevation [deg]; 0 where the whole disc is below the horizon.
/// @param elevation  True elevation [deg].  @param pressure [Pa].  @param temperature [degC].
/// @source  Bennett's form with constants for the true elevation (Saemundsson 1986, from memory).
double refraction(double elevation, double pressure = 101325, double temperature = 10);

/// Events of the sun on one civil day.
struct SunTimes {
    std::optional<Instant> rise;  ///< upper limb on the horizon; absent on days without
    std::optional<Instant> set;   ///< upper limb on the horizon; absent on days without
    Instant noon = 0;             ///< highest sun
    bool up_all_day = false;      ///< polar day (with both absent)
};

/// Rise, set and noon of the sun for the civil day `date` at an offset from UTC.
/// @param latitude, longitude  [deg]  @param utc_offset  [h]. Events are those between local midnight and midnight.
/// @source  Search on `sun_position` with `refraction`: docs/exposure.md.
SunTimes sun_times(Date date, double latitude, double longitude, double utc_offset = 0);

/// Relative optical air mass [-]. @param zenith apparent zenith [deg]; NaN above 90.  @source Kasten & Young 1989.
double air_mass(double zenith);
/// Extraterrestrial normal irradiance [W/m2]. @param solar_constant  [W/m2]  @source Spencer 1971, scaled to the solar constant given.
double extraterrestrial_irradiance(int day_of_year, double solar_constant = 1366.1);

/// Sun of every interval of a weather series, at the instant the series says.
struct SunHours {
    Column cos_zenith;       ///< [-], negative at night: the upward part of the unit vector to the sun
    Column east;             ///< [-], its eastward part
    Column north;            ///< [-], its northward part
    Column zenith;           ///< [deg]
    Column azimuth;          ///< [deg]
    Column extraterrestrial; ///< normal [W/m2]
    Column air_mass;         ///< relative [-], NaN at night
};
/// Sun of every interval of the weather, one row an interval.
/// @throws ValueError  the site's latitude or longitude is out of range.  @threads pure.
SunHours sun_hours(const Weather& weather);

}  // namespace libseal
