#pragma once
// The value columns of a weather series as a table: name, member, unit and the values that weather can have.

#include <array>
#include <cstddef>

#include "libseal/climate/weather.hpp"

namespace libseal::detail {

/// Places in the table, in the order of the struct.
enum WeatherColumn : std::size_t {
    ghi_column,
    dni_column,
    dhi_column,
    air_temperature_column,
    dew_point_column,
    relative_humidity_column,
    wind_speed_column,
    wind_direction_column,
    pressure_column,
    opaque_sky_cover_column,
    precipitation_column,
    weather_column_count
};

struct ColumnInfo {
    const char* name;
    Column Weather::*member;
    const char* unit;     ///< as in the header of the plain CSV
    double low, high;     ///< outside: an error
    double floor, ceiling;  ///< between low and floor, or ceiling and high: set to the limit, with a note
};

/// Ranges: WMO records (-89.2 and 56.7 degC) and the ranges of the EPW data dictionary, widened where open
/// files hold more (typical years with 65 degC); the irradiance of one hour stays below the solar constant
/// times 1.5 even between bright clouds. Common practice, no single source.
const std::array<ColumnInfo, weather_column_count>& weather_column_table();

}  // namespace libseal::detail
