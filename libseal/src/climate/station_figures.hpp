#pragma once
// All figures of a station as numbers.

#include <vector>

#include "libseal/climate/station.hpp"

namespace libseal::detail {

/// A user's own figures under a known name are a station of their own.
inline std::vector<double> figures_of(const Station& s) {
    std::vector<double> figures{s.site.latitude,        s.site.longitude,   s.site.elevation,  s.site.utc_offset, s.rain_hours,
                                s.annual_precipitation, s.wind_daytime_cv, s.sun_centroid};
    for (const MonthNormals& m : s.months)
        figures.insert(figures.end(), {m.air_temperature, m.daily_maximum, m.daily_minimum, m.lowest, m.highest, m.dew_point,
                                       m.relative_humidity, m.wind_speed, m.ghi, m.dni, m.dhi, m.humid_hours, m.wet_hours,
                                       m.freeze_thaw_days, m.cloud, m.wind_when_sunny, m.temperature_when_sunny});
    return figures;
}

}  // namespace libseal::detail
