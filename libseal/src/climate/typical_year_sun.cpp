// Sun of the typical year: hourly clearness of a truncated exponential law.

#include <algorithm>
#include <cmath>
#include <limits>

#include "libseal/climate/sun.hpp"
#include "typical_year_parts.hpp"

namespace libseal::detail {
namespace {

constexpr double kLeastClearness = 0.12;
constexpr double kMostClearness = 0.99;
constexpr double kDayShare = 0.40;         // of the variance of an hour's score that its day has
constexpr double kDayPersistence = 0.25;
constexpr double kHourPersistence = 0.60;
constexpr double kUsualSlope = 0.55;       // [h] of centroid per unit of shift: where the search starts
constexpr double kMostShift = 1.0;         // beyond this the centroid is a clock error, not weather

/// Clear-sky global irradiance, the form of Haurwitz 1945 with constants of our own. [W/m2]
double clear_sky(double cos_zenith, double extraterrestrial, double elevation) {
    if (cos_zenith <= 0.003) return 0;
    return 0.93 * extraterrestrial * cos_zenith * std::exp(-0.10 / std::max(cos_zenith, 0.01)) *
           (1 + 0.03 * elevation / 1000);
}

/// Clearness at rank u of the law with density ~ exp(g k) between the two limits.
double clearness_at(double u, double g) {
    const double width = kMostClearness - kLeastClearness;
    if (std::abs(g) < 1e-6) return kLeastClearness + u * width;
    return kLeastClearness + std::log1p(u * std::expm1(g * width)) / g;
}

/// g for which the month's clear irradiance, weighted by clearness, has the sum wanted.
double solve_law(ConstColumn ranks, ConstColumn clear, double wanted, double start) {
    const double width = kMostClearness - kLeastClearness;
    double low = -60, high = 60, g = start;
    for (int pass = 0; pass < 40; ++pass) {
        if (std::abs(g) < 1e-4) g = 1e-4;
        const double rise = std::expm1(g * width);
        double sum = 0, slope = 0;
        for (Eigen::Index i = 0; i < ranks.size(); ++i) {
            const double inner = 1 + ranks[i] * rise, log_inner = std::log(inner);
            sum += clear[i] * (kLeastClearness + log_inner / g);
            slope += clear[i] * (ranks[i] * width * (rise + 1) / inner - log_inner / g) / g;
        }
        (sum < wanted ? low : high) = g;
        if (std::abs(sum - wanted) < 1e-5 * wanted) break;
        const double next = g + (wanted - sum) / slope;
        g = next > low && next < high ? next : 0.5 * (low + high);
        if (high - low < 1e-9) break;
    }
    return g;
}

/// Everything that does not change while the centroid is sought.
struct Sky {
    Column clear;                              // clear-sky global of each hour [W/m2]
    Column score;                              // random part of an hour's score
    Column side;                               // -1 sunrise ... 0 noon ... 1 sunset
    std::array<std::vector<int>, 12> hours;    // with sun
};

Sky make_sky(const Station& station, const Geometry& geometry, std::uint64_t seed) {
    Sky sky{Column(kHours), Column(kHours), Column(kHours), {}};
    const Column day = normal_scores(persistent_series(seed, Draw::sun_day, kDays, kDayPersistence));
    const Column hour = persistent_series(seed, Draw::sun_hour, kHours, kHourPersistence);
    for (int m = 0; m < 12; ++m) {
        const MonthSpan& span = month_spans()[m];
        for (int i = span.first; i < span.first + span.count; ++i) {
            sky.clear[i] = clear_sky(geometry.cos_zenith[i], geometry.extraterrestrial[i], station.site.elevation);
            sky.score[i] = std::sqrt(kDayShare) * day[i / 24] + std::sqrt(1 - kDayShare) * hour[i];
            sky.side[i] = (geometry.solar_time[i] - 12) / std::max(geometry.half_day[i], 1.0);
            if (sky.clear[i] > 0) sky.hours[m].push_back(i);
        }
    }
    return sky;
}

/// Twilight months: the little light there is, diffuse, in the hour of the highest sun of each day.
void twilight_month(const MonthSpan& span, const Geometry& geometry, double daily, SunYear& sun) {
    for (int day = span.first_day(); day < span.first_day() + span.days(); ++day) {
        Eigen::Index highest = 0;
        geometry.cos_zenith.segment(24 * day, 24).maxCoeff(&highest);
        sun.ghi[24 * day + highest] = daily;
        sun.dhi[24 * day + highest] = daily;
    }
}

/// GHI and ranks of the year with clearness moved by `shift` from morning to afternoon.
void fill_global(const Station& station, const Geometry& geometry, const Sky& sky, double shift,
                 std::array<double, 12>& laws, SunYear& sun) {
    sun.ghi.setZero(kHours);
    sun.dhi.setZero(kHours);
    sun.rank.setZero(kHours);
    for (int m = 0; m < 12; ++m) {
        const MonthSpan& span = month_spans()[m];
        const double wanted = station.months[m].ghi * 1000 * span.days();
        const std::vector<int>& hours = sky.hours[m];
        if (wanted <= 0) continue;
        if (hours.empty()) {
            twilight_month(span, geometry, station.months[m].ghi * 1000, sun);
            continue;
        }
        Column score(hours.size()), clear(hours.size());
        for (std::size_t k = 0; k < hours.size(); ++k) {
            score[k] = sky.score[hours[k]] + shift * sky.side[hours[k]];
            clear[k] = sky.clear[hours[k]];
        }
        const Column ranks = uniform_ranks(score);
        laws[m] = solve_law(ranks, clear, wanted, laws[m]);
        Column global(hours.size());
        for (std::size_t k = 0; k < hours.size(); ++k) global[k] = clear[k] * clearness_at(ranks[k], laws[m]);
        global *= wanted / global.sum();
        for (std::size_t k = 0; k < hours.size(); ++k) {
            sun.ghi[hours[k]] = global[k];
            sun.rank[hours[k]] = ranks[k];
        }
    }
}

double centroid(const Column& ghi) {
    double weighted = 0;
    for (int i = 0; i < kHours; ++i) weighted += ghi[i] * (i % 24 + 0.5);
    return weighted / ghi.sum();
}

/// Secant on the shift until the year's centroid is the station's.
void meet_centroid(const Station& station, const Geometry& geometry, const Sky& sky, SunYear& sun) {
    std::array<double, 12> laws;
    laws.fill(1.0);
    fill_global(station, geometry, sky, 0, laws, sun);
    const double target = station.sun_centroid;
    if (!(target > 0) || sun.ghi.sum() <= 0) return;
    double old_shift = 0, old_centroid = centroid(sun.ghi), shift = std::clamp((target - old_centroid) / kUsualSlope, -0.5, 0.5);
    for (int pass = 0; pass < 8 && std::abs(old_centroid - target) > 0.003; ++pass) {
        fill_global(station, geometry, sky, shift, laws, sun);
        const double now = centroid(sun.ghi);
        const double step = now == old_centroid ? 0 : (target - now) * (shift - old_shift) / (now - old_centroid);
        old_shift = shift;
        old_centroid = now;
        shift = std::clamp(shift + std::clamp(step, -0.5, 0.5), -1.5 * kMostShift, 1.5 * kMostShift);
    }
    if (std::abs(old_shift) > kMostShift) {
        sun.centroid_ignored = true;
        fill_global(station, geometry, sky, 0, laws, sun);
    }
}

void score_days(const Sky& sky, SunYear& sun) {
    sun.day_clearness.setConstant(kDays, std::numeric_limits<double>::quiet_NaN());
    sun.day_score.setZero(kDays);
    for (int day = 0; day < kDays; ++day) {
        const double clear = sky.clear.segment(24 * day, 24).sum();
        if (clear > 0) sun.day_clearness[day] = sun.ghi.segment(24 * day, 24).sum() / clear;
    }
    for (const MonthSpan& span : month_spans()) {
        const auto days = sun.day_clearness.segment(span.first_day(), span.days());
        if (days.isFinite().all()) sun.day_score.segment(span.first_day(), span.days()) = normal_scores(days);
    }
}

}  // namespace

Geometry geometry_of(const Site& site, const InstantColumn& time_utc) {
    Weather place;
    place.site = site;
    place.time_utc = time_utc;
    const SunHours sun = sun_hours(place);
    const double sin_lat = std::sin(site.latitude * kPi / 180), cos_lat = std::cos(site.latitude * kPi / 180);
    Geometry geometry{sun.cos_zenith, sun.extraterrestrial, Column(kHours), Column(kHours)};
    // Declination and the equation of time hardly move within a day: one hour speaks for it.
    for (int day = 0; day < kDays; ++day) {
        const int i = 24 * day + 12;
        const double up = sun.cos_zenith[i], north = sun.north[i];
        const double hour_angle = std::atan2(-sun.east[i], up * cos_lat - north * sin_lat);
        const double sin_dec = up * sin_lat + north * cos_lat, cos_dec = std::sqrt(std::max(1e-12, 1 - sin_dec * sin_dec));
        const double cos_set = std::clamp(-sin_lat * sin_dec / std::max(1e-9, cos_lat * cos_dec), -1.0, 1.0);
        geometry.half_day.segment(24 * day, 24).setConstant(std::acos(cos_set) * 12 / kPi);
        for (int hour = 0; hour < 24; ++hour)
            geometry.solar_time[24 * day + hour] = std::fmod(hour + hour_angle * 12 / kPi + 24, 24.0);
    }
    return geometry;
}

SunYear make_sun(const Station& station, const Geometry& geometry, std::uint64_t seed) {
    const Sky sky = make_sky(station, geometry, seed);
    SunYear sun;
    meet_centroid(station, geometry, sky, sun);
    sun.dni.setZero(kHours);
    for (int m = 0; m < 12; ++m) {
        const MonthSpan& span = month_spans()[m];
        const double unit = 1000.0 * span.days();
        if (station.months[m].ghi > 0 && !sky.hours[m].empty())
            split_month(geometry, sky.hours[m], station.months[m].dhi * unit, station.months[m].dni * unit, sun);
    }
    score_days(sky, sun);
    return sun;
}

}  // namespace libseal::detail
