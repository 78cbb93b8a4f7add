#include "libseal/climate/moisture.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "climate/lengths.hpp"
#include "climate/magnus.hpp"
#include "libseal/core/require.hpp"

namespace libseal {
namespace {

constexpr double radian = 3.14159265358979323846 / 180;
using detail::magnus_a, detail::magnus_b;

/// Day, in the site's standard time, that an interval belongs to: that of its middle.
Date local_day(const Weather& weather, Eigen::Index i) {
    const double middle = static_cast<double>(weather.time_utc[i]) - weather.step / 2 + weather.site.utc_offset * 3600;
    return date_of(static_cast<Instant>(std::floor(middle)));
}

}  // namespace

double saturation_pressure(double temperature) {
    return 6.1094 * std::exp(magnus_a * temperature / (temperature + magnus_b));
}

double humidity_from_dew_point(double temperature, double dew_point) {
    return 100 * std::exp(magnus_a * dew_point / (dew_point + magnus_b) - magnus_a * temperature / (temperature + magnus_b));
}

double dew_point_from_humidity(double temperature, double relative_humidity) {
    if (std::isnan(relative_humidity)) return relative_humidity;
    require_positive(relative_humidity, "relative_humidity");
    const double g = std::log(relative_humidity / 100) + magnus_a * temperature / (temperature + magnus_b);
    return magnus_b * g / (magnus_a - g);
}

double time_of_wetness(const Weather& weather) {
    const Eigen::Index n = weather.size();
    detail::require_length(weather.relative_humidity.size(), n, "weather.relative_humidity");
    detail::require_length(weather.air_temperature.size(), n, "weather.air_temperature");
    const Eigen::Index wet = (weather.relative_humidity > 80 && weather.air_temperature > 0).count();
    return static_cast<double>(wet) * weather.step / 3600;
}

int wetness_class(double hours_per_year) {
    require_not_negative(hours_per_year, "hours_per_year");
    return hours_per_year <= 10 ? 1 : hours_per_year <= 250 ? 2 : hours_per_year <= 2500 ? 3 : hours_per_year <= 5500 ? 4 : 5;
}

double dew_hours(const Weather& weather, ConstColumn surface_temperature) {
    const Eigen::Index n = weather.size();
    detail::require_length(surface_temperature.size(), n, "surface_temperature");
    detail::require_length(weather.dew_point.size(), n, "weather.dew_point");
    return static_cast<double>((surface_temperature <= weather.dew_point).count()) * weather.step / 3600;
}

FreezeThaw freeze_thaw(const Weather& weather) {
    const Column& t = weather.air_temperature;
    detail::require_length(t.size(), weather.size(), "weather.air_temperature");
    FreezeThaw counts;
    for (Eigen::Index i = 1; i < t.size(); ++i) counts.crossings += t[i - 1] > 0 && t[i] <= 0;
    for (Eigen::Index i = 0; i < t.size();) {
        const Date day = local_day(weather, i);
        double low = std::numeric_limits<double>::infinity(), high = -low;
        for (; i < t.size() && local_day(weather, i) == day; ++i) {
            low = std::fmin(low, t[i]);  // fmin and fmax pass over NaN
            high = std::fmax(high, t[i]);
        }
        counts.mixed_days += low < 0 && high > 0;
        counts.thaw_days += high >= 0 && low <= -2.2;
    }
    return counts;
}

Column driving_rain(const Weather& weather, double azimuth) {
    require_finite(azimuth, "azimuth");
    const Eigen::Index n = weather.size();
    detail::require_length(weather.wind_speed.size(), n, "weather.wind_speed");
    detail::require_length(weather.wind_direction.size(), n, "weather.wind_direction");
    detail::require_length(weather.precipitation.size(), n, "weather.precipitation");
    const double hours = weather.step / 3600;
    Column rain(n);
    for (Eigen::Index i = 0; i < n; ++i) {
        if (weather.precipitation[i] == 0 || weather.wind_speed[i] == 0) {  // dry, whatever the wind is; calm, whatever falls
            rain[i] = 0;
            continue;
        }
        const double towards = std::cos((weather.wind_direction[i] - azimuth) * radian);
        const double rate = weather.precipitation[i] / hours;
        const double index = 2.0 / 9 * weather.wind_speed[i] * std::pow(rate, 8.0 / 9) * towards * hours;
        rain[i] = index < 0 ? 0.0 : index;
    }
    return rain;
}

double rain_roughness(int category, double height) {
    struct Terrain {
        double factor, length, least_height;
    };
    constexpr Terrain terrains[4] = {{0.17, 0.01, 2}, {0.19, 0.05, 4}, {0.22, 0.3, 8}, {0.24, 1, 16}};
    require_between(category, 1, 4, "category");
    require_not_negative(height, "height");
    const Terrain& t = terrains[category - 1];
    return t.factor * std::log(std::max(height, t.least_height) / t.length);
}

}  // namespace libseal
