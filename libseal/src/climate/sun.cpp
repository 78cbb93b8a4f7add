#include "libseal/climate/sun.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>
#include <vector>

#include "climate/sun_vectors.hpp"
#include "kernel/kernels.hpp"
#include "libseal/core/require.hpp"

namespace libseal {
namespace {

using detail::sun_place, detail::SunVectors;

constexpr double pi = 3.14159265358979323846;
constexpr double radian = pi / 180;
constexpr double nan = std::numeric_limits<double>::quiet_NaN();
constexpr double horizon = -0.8333;  // centre of the sun when its upper limb rises, refraction included
constexpr double psa_from = 1577836800;  // 2020-01-01
constexpr double psa_to = 2556144000;    // 2051-01-01

kernel::SunSeries series_of(double instant) {
    return instant >= psa_from && instant < psa_to ? kernel::SunSeries::psa : kernel::SunSeries::grena;
}

SunPosition angles_of(const SunVectors& sun) {
    SunPosition angles{Column(sun.up.size()), Column(sun.up.size())};
    kernel::kernels().sun_angles(static_cast<std::size_t>(sun.up.size()), sun.up.data(), sun.east.data(), sun.north.data(),
                                 angles.zenith.data(), angles.azimuth.data());
    return angles;
}

/// Heights over the rise and set line [deg].
Column over_horizon(const std::vector<double>& instants, const kernel::SunPlace& place) {
    return 90 - angles_of(SunVectors(instants.data(), static_cast<Eigen::Index>(instants.size()), place)).zenith - horizon;
}

double over_horizon(double instant, const kernel::SunPlace& place) {
    double up, east, north, zenith, azimuth;
    kernel::kernels().sun_vector(1, &instant, place, series_of(instant), &up, &east, &north);
    kernel::kernels().sun_angles(1, &up, &east, &north, &zenith, &azimuth);
    return 90 - zenith - horizon;
}

/// Instant in [a, b] of the largest (sign 1) or smallest (sign -1) height, by golden section.
double turning_point(double a, double b, double sign, const kernel::SunPlace& place) {
    constexpr double ratio = 0.6180339887498949;
    double c = b - ratio * (b - a), d = a + ratio * (b - a);
    double fc = sign * over_horizon(c, place), fd = sign * over_horizon(d, place);
    while (b - a > 0.5) {
        if (fc > fd) {
            b = d, d = c, fd = fc, c = b - ratio * (b - a);
            fc = sign * over_horizon(c, place);
        } else {
            a = c, c = d, fc = fd, d = a + ratio * (b - a);
            fd = sign * over_horizon(d, place);
        }
    }
    return (a + b) / 2;
}

/// Zero of the height between two instants of different sign.
double crossing(double a, double b, const kernel::SunPlace& place) {
    const bool rising = over_horizon(a, place) < 0;
    while (b - a > 0.25) {
        const double middle = (a + b) / 2;
        ((over_horizon(middle, place) < 0) == rising ? a : b) = middle;
    }
    return (a + b) / 2;
}

}  // namespace

namespace detail {

kernel::SunPlace sun_place(double latitude, double longitude) {
    require_between(latitude, -90, 90, "latitude");
    require_between(longitude, -180, 180, "longitude");
    return {std::sin(latitude * radian), std::cos(latitude * radian), std::sin(longitude * radian), std::cos(longitude * radian)};
}

SunVectors::SunVectors(const double* instant, Eigen::Index n, const kernel::SunPlace& place) : up(n), east(n), north(n) {
    for (Eigen::Index first = 0, end = 0; first < n; first = end) {
        const kernel::SunSeries series = series_of(instant[first]);
        for (end = first + 1; end < n && series_of(instant[end]) == series;) ++end;
        kernel::kernels().sun_vector(static_cast<std::size_t>(end - first), instant + first, place, series, &up[first], &east[first],
                                     &north[first]);
    }
}

Column extraterrestrial_by_day(const Column& instants, double to_local) {
    Column irradiance(instants.size());
    double day_begin = 0, day_end = 0, of_day = nan;
    for (Eigen::Index i = 0; i < instants.size(); ++i) {
        const double local = instants[i] + to_local;
        if (!(local >= day_begin && local < day_end)) {
            day_begin = 86400 * std::floor(local / 86400);
            day_end = day_begin + 86400;
            of_day = extraterrestrial_irradiance(day_of_year(date_of(static_cast<Instant>(day_begin))));
        }
        irradiance[i] = of_day;
    }
    return irradiance;
}

}  // namespace detail

SunPosition sun_position(ConstInstantColumn time_utc, double latitude, double longitude) {
    const Column instants = time_utc.cast<double>();
    return angles_of(SunVectors(instants.data(), instants.size(), sun_place(latitude, longitude)));
}

SunAngles sun_angles(Instant time_utc, double latitude, double longitude) {
    const double instant = static_cast<double>(time_utc);
    const SunPosition sun = angles_of(SunVectors(&instant, 1, sun_place(latitude, longitude)));
    return {sun.zenith[0], sun.azimuth[0]};
}

double refraction(double elevation, double pressure, double temperature) {
    if (elevation < horizon) return 0;
    const double angle = (elevation + 10.3 / (elevation + 5.11)) * radian;
    return pressure / 101000 * 283 / (273 + temperature) * 1.02 / (60 * std::tan(angle));
}

SunTimes sun_times(Date date, double latitude, double longitude, double utc_offset) {
    const kernel::SunPlace place = sun_place(latitude, longitude);
    require_between(utc_offset, -24, 24, "utc_offset");
    const double start = date.days * 86400.0 - utc_offset * 3600;
    constexpr int steps = 96;
    constexpr double step = 86400.0 / steps;
    std::vector<double> times;
    for (int i = 0; i <= steps; ++i) times.push_back(start + i * step);
    const Column sampled = over_horizon(times, place);
    const auto around = [&](const double* best, double sign) {
        const double middle = times[static_cast<std::size_t>(best - sampled.data())];
        return turning_point(std::max(start, middle - step), std::min(start + 86400, middle + step), sign, place);
    };
    // The turning points are put among the samples, so that a rise and set close together are not stepped over.
    const double noon = around(std::max_element(sampled.data(), sampled.data() + sampled.size()), 1);
    const double midnight = around(std::min_element(sampled.data(), sampled.data() + sampled.size()), -1);
    times.insert(times.end(), {noon, midnight});
    std::sort(times.begin(), times.end());

    SunTimes events;
    events.noon = std::llround(noon);
    const Column height = over_horizon(times, place);
    for (std::size_t i = 1; i < times.size(); ++i) {
        const double before = height[static_cast<Eigen::Index>(i - 1)], after = height[static_cast<Eigen::Index>(i)];
        if ((before < 0) == (after < 0)) continue;
        std::optional<Instant>& event = before < 0 ? events.rise : events.set;
        if (!event) event = std::llround(crossing(times[i - 1], times[i], place));
    }
    events.up_all_day = !events.rise && !events.set && over_horizon(noon, place) >= 0;
    return events;
}

double air_mass(double zenith) {
    if (!(zenith >= 0 && zenith <= 90)) return nan;
    return 1 / (std::cos(zenith * radian) + 0.50572 * std::pow(96.07995 - zenith, -1.6364));
}

double extraterrestrial_irradiance(int day_of_year, double solar_constant) {
    const double b = 2 * pi * (day_of_year - 1) / 365;
    return solar_constant * (1.00011 + 0.034221 * std::cos(b) + 0.00128 * std::sin(b) + 0.000719 * std::cos(2 * b) +
                             0.000077 * std::sin(2 * b));
}

SunHours sun_hours(const Weather& weather) {
    const Eigen::Index n = weather.size();
    const Column instants = weather.time_utc.cast<double>() + weather.sun_offset;
    SunVectors vectors(instants.data(), n, sun_place(weather.site.latitude, weather.site.longitude));
    SunPosition angles = angles_of(vectors);
    SunHours sun;
    sun.extraterrestrial = detail::extraterrestrial_by_day(instants, weather.site.utc_offset * 3600);
    sun.air_mass.resize(n);
    kernel::kernels().air_mass(static_cast<std::size_t>(n), vectors.up.data(), angles.zenith.data(), sun.air_mass.data());
    sun.cos_zenith = std::move(vectors.up);
    sun.east = std::move(vectors.east);
    sun.north = std::move(vectors.north);
    sun.zenith = std::move(angles.zenith);
    sun.azimuth = std::move(angles.azimuth);
    return sun;
}

}  // namespace libseal
