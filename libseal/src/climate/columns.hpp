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
inline constexpr std::array<ColumnInfo, weather_column_count> weather_columns = {{
    {"ghi", &Weather::ghi, "w_m2", -5, 2000, 0, 2000},
    {"dni", &Weather::dni, "w_m2", -5, 2000, 0, 2000},
    {"dhi", &Weather::dhi, "w_m2", -5, 2000, 0, 2000},
    {"air_temperature", &Weather::air_temperature, "c", -90, 70, -90, 70},
    {"dew_point", &Weather::dew_point, "c", -110, 70, -110, 70},
    {"relative_humidity", &Weather::relative_humidity, "percent", 0, 110, 0, 100},
    {"wind_speed", &Weather::wind_speed, "m_s", 0, 115, 0, 115},
    {"wind_direction", &Weather::wind_direction, "deg", 0, 360, 0, 360},
    {"pressure", &Weather::pressure, "pa", 30000, 120000, 30000, 120000},
    {"opaque_sky_cover", &Weather::opaque_sky_cover, "tenths", 0, 10, 0, 10},
    {"precipitation", &Weather::precipitation, "mm", 0, 2000, 0, 2000},
}};

}  // namespace libseal::detail
