#pragma once
// The built-in table of climate stations.

#include <array>
#include <string>
#include <vector>

#include "libseal/climate/weather.hpp"

namespace libseal {

/// Monthly figures of a station.
struct MonthNormals {
    double air_temperature = 0;      ///< mean [degC]
    double daily_maximum = 0;        ///< mean of daily maxima [degC]
    double daily_minimum = 0;        ///< mean of daily minima [degC]
    double lowest = 0;               ///< [degC]
    double highest = 0;              ///< [degC]
    double dew_point = 0;            ///< mean [degC]
    double relative_humidity = 0;    ///< mean [%]
    double wind_speed = 0;           ///< mean [m/s]
    double ghi = 0;                  ///< [kWh/m2 a day]
    double dni = 0;                  ///< [kWh/m2 a day]
    double dhi = 0;                  ///< [kWh/m2 a day]
    double humid_hours = 0;          ///< hours with RH > 80 % [h]
    double wet_hours = 0;            ///< hours with RH > 80 % and T > 0 degC [h]
    double freeze_thaw_days = 0;     ///< days with minimum < 0 < maximum [d]
    double cloud = 0;                ///< mean total cloud [tenths]
    double wind_when_sunny = 0;      ///< irradiance-weighted wind [m/s]
    double temperature_when_sunny = 0;  ///< irradiance-weighted air temperature [degC]
};

/// A station with its climate.
///
/// @source  Computed for this project from NREL TMY3 (1961 to 2005) and NOAA NCEI 1991-2020 normals.
struct Station {
    Site site;           ///< site.name as in the table, for example "SOUTH BEND MICHIANA RGNL AP"
    std::string id;      ///< six-digit station number
    std::string state;   ///< two letters
    std::array<MonthNormals, 12> months;
    double rain_hours = 0;             ///< hours with liquid rain reported [h/yr]
    double annual_precipitation = 0;   ///< [mm/yr], 1991-2020; NaN where not known
    double wind_daytime_cv = 0;        ///< coefficient of variation of daytime wind [-]
    double sun_centroid = 0;           ///< irradiance-weighted time of day [h, local standard]
    std::string quality_flags;         ///< what looked odd in the source, "" if nothing
    double distance_km = 0;            ///< from the point asked for [km]; 0 by name
    bool far = false;                  ///< true if more than 200 km from the point asked for
};

/// Nearest station to a point. Check `far`: beyond 200 km the climate may differ.
///
/// @param latitude   [deg], -90 to 90.
/// @param longitude  [deg], -180 to 180.
/// @throws ValueError  out of range.
Station find_station(double latitude, double longitude);

/// Station by name: the id, the exact name, or a part of the name ("south bend", "Phoenix, AZ"), case and
/// punctuation ignored. A name that begins with the words is preferred to others of the same state. A state after
/// a comma leaves only the stations of that state.
/// @throws ValueError  if none fits (nearest names in the hint) or several do (candidates in the hint).
Station find_station(const std::string& name);

/// Number of stations, and one by index in the order of the table.
std::size_t station_count();
/// Station by its place in the table. @throws ValueError  beyond the end.
Station station_at(std::size_t index);

}  // namespace libseal
