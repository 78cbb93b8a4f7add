#pragma once
// Weather of one place as columns, hour by hour.

#include <limits>
#include <string>
#include <string_view>
#include <vector>

#include "libseal/core/columns.hpp"
#include "libseal/core/date.hpp"

namespace libseal {

/// A place on earth.
struct Site {
    std::string name;
    double latitude = 0;    ///< [deg], north positive, -90 to 90
    double longitude = 0;   ///< [deg], east positive, -180 to 180
    double elevation = 0;   ///< [m]
    double utc_offset = 0;  ///< [h], local standard time minus UTC
};

/// A run of intervals in which a column had no value.
struct Gap {
    std::string column;
    Eigen::Index first = 0;  ///< index of the first interval without a value
    Eigen::Index count = 0;  ///< intervals in a row without a value
    std::string filled;  ///< "no" (values are NaN), or the rule that filled them
};

/// Weather columns, all of one length. A value that is absent is NaN, never silently a number.
///
/// @threads  Read it from as many threads as you like.
struct Weather {
    Site site;
    InstantColumn time_utc;      ///< end of each interval [s since 1970-01-01 UTC]
    double step = 3600;          ///< length of an interval [s]
    double sun_offset = -1800;   ///< instant of the sun relative to time_utc [s]: the middle, unless the source samples otherwise
    Column ghi;                  ///< global horizontal irradiance [W/m2]
    Column dni;                  ///< beam normal irradiance [W/m2]
    Column dhi;                  ///< diffuse horizontal irradiance [W/m2]
    Column air_temperature;      ///< [degC]
    Column dew_point;            ///< [degC]
    Column relative_humidity;    ///< [%], 0 to 100
    Column wind_speed;           ///< [m/s] at station height, usually 10 m
    Column wind_direction;       ///< [deg], from where, clockwise from north
    Column pressure;             ///< [Pa]
    Column opaque_sky_cover;     ///< [tenths], 0 to 10
    Column precipitation;        ///< [mm] in the interval
    bool typical = false;        ///< a composed year; its dates carry the year 2001
    std::vector<Gap> gaps;       ///< what the source did not have
    std::vector<std::string> notes;  ///< what a careful user should know of this source

    Eigen::Index size() const { return time_utc.size(); }
};

/// Names of the value columns in the order of the struct, and access to them by name.
const std::vector<std::string>& weather_column_names();
/// A value column by name. [unit of the column] @throws ValueError  for an unknown name (nearest one).
const Column& weather_column(const Weather& weather, std::string_view name);
Column& weather_column(Weather& weather, std::string_view name);

/// Checks the whole series.
/// @throws ValueError  unless columns have one length, times rise by `step`, and values are in sensible ranges or NaN.
void check_weather(const Weather& weather);

}  // namespace libseal
