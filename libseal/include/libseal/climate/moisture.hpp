#pragma once
// Humidity, dew, wetness, driving rain, frost.

#include "libseal/climate/weather.hpp"

namespace libseal {

/// Saturation vapour pressure over water [hPa]. @param temperature [degC]. @source Alduchov & Eskridge 1996.
double saturation_pressure(double temperature);
/// Relative humidity [%]; not capped. @param temperature, dew_point  [degC]
/// @source  Ratio of two `saturation_pressure`: Alduchov & Eskridge 1996.
double humidity_from_dew_point(double temperature, double dew_point);
/// Dew point [degC]. @param temperature  [degC]  @param relative_humidity  [%], > 0
/// @source  Its inverse: Alduchov & Eskridge 1996.
double dew_point_from_humidity(double temperature, double relative_humidity);

/// Hours with RH > 80 % and T > 0 degC. [h]  @source ISO 9223:2012.
double time_of_wetness(const Weather& weather);
/// Class by yearly hours: 1 to 5. @param hours_per_year  [h/yr]  @source ISO 9223 (limits of 4 and 5 from memory).
int wetness_class(double hours_per_year);
/// Hours in which a surface is at or below the dew point. [h]  @param surface_temperature  [degC]
/// @source  Definition.
double dew_hours(const Weather& weather, ConstColumn surface_temperature);

/// Counts of freezing and thawing.
struct FreezeThaw {
    int crossings = 0;        ///< hourly steps from above 0 degC to 0 or below, where water freezes
    int mixed_days = 0;       ///< days with minimum < 0 < maximum
    int thaw_days = 0;        ///< days with maximum >= 0 and minimum <= -2.2 degC (Schmidlin & Dethier 1987)
};
/// Freezing and thawing of the air over the whole series.
FreezeThaw freeze_thaw(const Weather& weather);

/// Driving rain on a wall, hour by hour [L/m2]; 0 in a dry or calm hour, whatever else of it is not known.
/// @param azimuth of the wall's outward normal [deg].
/// @source ISO 15927-3:2009 (free-field index); not meant for places where convective storms lead.
Column driving_rain(const Weather& weather, double azimuth);
/// Roughness coefficient. @param category 1 to 4. @param height above ground [m]. @source ISO 15927-3.
double rain_roughness(int category, double height);

/// Köppen-Geiger class such as "Dfa".
/// @param monthly_temperature  Means, January first. [degC]  @param monthly_precipitation  Sums. [mm]
/// @param cold_limit  0 or -3. [degC]
/// @source Peel, Finlayson & McMahon 2007; Beck et al. 2018.
std::string climate_class(const Column& monthly_temperature, const Column& monthly_precipitation, double cold_limit = 0);

}  // namespace libseal
