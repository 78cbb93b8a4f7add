#include "libseal/climate/sun.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "climate/lengths.hpp"
#include "libseal/core/require.hpp"

namespace libseal {
namespace {

constexpr double pi = 3.14159265358979323846;
constexpr double radian = pi / 180;
constexpr double nan = std::numeric_limits<double>::quiet_NaN();
constexpr double parallax = 6371.01 / 149597890.0;  // radius of the earth over its distance from the sun
constexpr double horizon = -0.8333;                 // centre of the sun when its upper limb rises, refraction included

constexpr double psa_from = 1577836800;  // 2020-01-01
constexpr double psa_to = 2556144000;    // 2051-01-01
constexpr double grena_epoch = 32872;    // 2060-01-01 in days since 1970

/// Unit vector to the sun on the rotating earth at longitude 0: cos(dec) cos(w), cos(dec) sin(w), sin(dec).
struct Equatorial {
    double x, y, z;
};

/// Ecliptic longitude, obliquity and sidereal angle [rad] to the vector. Working with vectors spares the right
/// ascension, the declination and their inverse functions.
Equatorial turned(double ecliptic, double obliquity, double sidereal) {
    const double x = std::cos(ecliptic), s = std::sin(ecliptic);
    const double y = std::cos(obliquity) * s, z = std::sin(obliquity) * s;
    const double c = std::cos(sidereal), d = std::sin(sidereal);
    return {x * c + y * d, x * d - y * c, z};
}

/// PSA with the coefficients of 2020. t [s since 1970 UTC].
Equatorial psa(double t) {
    const double day = std::floor(t / 86400);
    const double n = t / 86400 - 10957.5;       // days since 2000-01-01 12:00
    const double hour = (t - day * 86400) / 3600;
    const double omega = 2.267127827 - 9.300339267e-4 * n;
    const double anomaly = 6.239468336 + 1.720200135e-2 * n;
    const double ecliptic = 4.895036035 + 1.720279602e-2 * n + 3.338320972e-2 * std::sin(anomaly) +
                            3.497596876e-4 * std::sin(2 * anomaly) - 1.544353226e-4 - 8.689729360e-6 * std::sin(omega);
    const double obliquity = 4.090904909e-1 - 6.213605399e-9 * n + 4.418094944e-5 * std::cos(omega);
    const double sidereal_hours = 6.697096103 + 6.570984737e-2 * n + hour;
    return turned(ecliptic, obliquity, sidereal_hours * 15 * radian);
}

/// Grena's third algorithm. Terrestrial time runs 70 to about 90 s ahead in 2010 to 2110; 75 s is within 0.001 deg.
Equatorial grena(double t) {
    const double days = t / 86400 - grena_epoch;
    const double terrestrial = days + 1.1574e-5 * 75;
    const double w = 0.0172019715 * terrestrial;
    const double ecliptic = -1.388803 + 1.720279216e-2 * terrestrial + 3.3366e-2 * std::sin(w - 0.06172) +
                            3.53e-4 * std::sin(2 * w - 0.1163);
    const double obliquity = 4.089567e-1 - 6.19e-9 * terrestrial;
    return turned(ecliptic, obliquity, 1.7528311 + 6.300388099 * days);
}

/// A place on earth, its sines and cosines taken once.
struct Place {
    double sin_latitude, cos_latitude, sin_longitude, cos_longitude;
    Place(double latitude, double longitude) {
        require_between(latitude, -90, 90, "latitude");
        require_between(longitude, -180, 180, "longitude");
        sin_latitude = std::sin(latitude * radian);
        cos_latitude = std::cos(latitude * radian);
        sin_longitude = std::sin(longitude * radian);
        cos_longitude = std::cos(longitude * radian);
    }
};

/// Unit vector to the sun in the frame of a place, parallax applied.
struct Local {
    double up, east, north;
};

Local local_sun(double t, const Place& p) {
    const Equatorial e = t >= psa_from && t < psa_to ? psa(t) : grena(t);
    const double x = e.x * p.cos_longitude - e.y * p.sin_longitude;
    const double y = e.y * p.cos_longitude + e.x * p.sin_longitude;
    const double up = p.cos_latitude * x + p.sin_latitude * e.z;
    const double north = p.cos_latitude * e.z - p.sin_latitude * x;
    // First order in the parallax, which moves the sun down by parallax * sin(zenith): exact to 1e-9.
    const double flat = 1 + parallax * up;
    return {up - parallax * (1 - up * up), -y * flat, north * flat};
}

double zenith_of(const Local& s) { return std::atan2(std::sqrt(s.east * s.east + s.north * s.north), s.up) / radian; }

double azimuth_of(const Local& s) {
    const double azimuth = std::atan2(s.east, s.north) / radian;
    return azimuth < 0 ? azimuth + 360 : azimuth;
}

/// Height over the rise and set line [deg].
double over_horizon(double t, const Place& place) { return 90 - zenith_of(local_sun(t, place)) - horizon; }

/// Instant in [a, b] of the largest (sign 1) or smallest (sign -1) height, by golden section.
double turning_point(double a, double b, double sign, const Place& place) {
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
double crossing(double a, double b, const Place& place) {
    const bool rising = over_horizon(a, place) < 0;
    while (b - a > 0.25) {
        const double middle = (a + b) / 2;
        ((over_horizon(middle, place) < 0) == rising ? a : b) = middle;
    }
    return (a + b) / 2;
}

}  // namespace

SunPosition sun_position(ConstInstantColumn time_utc, double latitude, double longitude) {
    const Place place(latitude, longitude);
    SunPosition sun{Column(time_utc.size()), Column(time_utc.size())};
    for (Eigen::Index i = 0; i < time_utc.size(); ++i) {
        const Local s = local_sun(static_cast<double>(time_utc[i]), place);
        sun.zenith[i] = zenith_of(s);
        sun.azimuth[i] = azimuth_of(s);
    }
    return sun;
}

SunAngles sun_angles(Instant time_utc, double latitude, double longitude) {
    const Local s = local_sun(static_cast<double>(time_utc), Place(latitude, longitude));
    return {zenith_of(s), azimuth_of(s)};
}

double refraction(double elevation, double pressure, double temperature) {
    if (elevation < horizon) return 0;
    const double angle = (elevation + 10.3 / (elevation + 5.11)) * radian;
    return pressure / 101000 * 283 / (273 + temperature) * 1.02 / (60 * std::tan(angle));
}

SunTimes sun_times(Date date, double latitude, double longitude, double utc_offset) {
    const Place place(latitude, longitude);
    require_between(utc_offset, -24, 24, "utc_offset");
    const double start = date.days * 86400.0 - utc_offset * 3600;
    constexpr int steps = 96;
    constexpr double step = 86400.0 / steps;
    double height[steps + 1];
    for (int i = 0; i <= steps; ++i) height[i] = over_horizon(start + i * step, place);
    const auto around = [&](double* best, double sign) {
        const double middle = start + static_cast<double>(best - height) * step;
        return turning_point(std::max(start, middle - step), std::min(start + 86400, middle + step), sign, place);
    };
    // The turning points are put among the samples, so that a rise and set close together are not stepped over.
    const double noon = around(std::max_element(height, height + steps + 1), 1);
    const double midnight = around(std::min_element(height, height + steps + 1), -1);
    std::vector<double> times{noon, midnight};
    for (int i = 0; i <= steps; ++i) times.push_back(start + i * step);
    std::sort(times.begin(), times.end());

    SunTimes events;
    events.noon = std::llround(noon);
    double before = over_horizon(times[0], place);
    for (std::size_t i = 1; i < times.size(); ++i) {
        const double after = over_horizon(times[i], place);
        if ((before < 0) != (after < 0)) {
            std::optional<Instant>& event = before < 0 ? events.rise : events.set;
            if (!event) event = std::llround(crossing(times[i - 1], times[i], place));
        }
        before = after;
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
    const Place place(weather.site.latitude, weather.site.longitude);
    const Eigen::Index n = weather.size();
    SunHours sun{Column(n), Column(n), Column(n), Column(n), Column(n), Column(n), Column(n)};
    const double to_local = weather.site.utc_offset * 3600;
    Date day{std::numeric_limits<std::int32_t>::min()};
    double extraterrestrial = nan;
    for (Eigen::Index i = 0; i < n; ++i) {
        const double t = static_cast<double>(weather.time_utc[i]) + weather.sun_offset;
        const Date today = date_of(static_cast<Instant>(std::floor(t + to_local)));
        if (today != day) {
            day = today;
            extraterrestrial = extraterrestrial_irradiance(day_of_year(day));
        }
        const Local s = local_sun(t, place);
        const double zenith = zenith_of(s);
        sun.cos_zenith[i] = s.up;
        sun.east[i] = s.east;
        sun.north[i] = s.north;
        sun.zenith[i] = zenith;
        sun.azimuth[i] = azimuth_of(s);
        sun.extraterrestrial[i] = extraterrestrial;
        sun.air_mass[i] = s.up > 0 ? air_mass(std::max(0.0, zenith - refraction(90 - zenith))) : nan;
    }
    return sun;
}

}  // namespace libseal
