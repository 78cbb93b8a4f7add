// Sun of the typical year: hourly clearness of a truncated exponential law.

#include <algorithm>
#include <cmath>
#include <limits>

#include "climate/sun_vectors.hpp"
#include "kernel/column_functions.hpp"
#include "typical_year_parts.hpp"

namespace libseal::detail {
namespace {

constexpr double kLeastClearness = 0.12;
constexpr double kMostClearness = 0.99;
constexpr double kUsualSlope = 0.55;       // [h] of centroid per unit of shift: where the search starts
constexpr double kMostShift = 1.0;         // beyond this the centroid is a clock error, not weather

/// Clear-sky global irradiance, the form of Haurwitz 1945 with constants of our own. [W/m2]
Column clear_sky(const Geometry& geometry, double elevation) {
    const Column& up = geometry.cos_zenith;
    const double scale = 0.93 * (1 + 0.03 * elevation / 1000);
    return (up > 0.003).select(scale * geometry.extraterrestrial * up * exponential(-0.10 / up.max(0.01)), 0.0);
}

/// Law of clearness with density ~ exp(g k) between the two limits, g not 0.
struct ClearnessLaw {
    static constexpr double width = kMostClearness - kLeastClearness;
    double g;
    double rise = std::expm1(g * width);

    /// Clearness over the least at ranks u, and how it moves with g.
    void at(const Column& ranks, Column& above, Column& slope) const {
        const Column inner = 1 + ranks * rise;
        above = logarithm(inner) / g;
        slope = (ranks * (width * (rise + 1)) / inner - above) / g;
    }
};

/// g for which the month's clear irradiance, weighted by clearness, has the sum wanted.
double solve_law(const Column& ranks, const Column& clear, double wanted, double start) {
    double low = -60, high = 60, g = start;
    const double least = kLeastClearness * clear.sum();
    Column above(ranks.size()), slopes(ranks.size());
    for (int pass = 0; pass < 40; ++pass) {
        if (std::abs(g) < 1e-4) g = 1e-4;
        ClearnessLaw{g}.at(ranks, above, slopes);
        const double sum = least + (clear * above).sum(), slope = (clear * slopes).sum();
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
    const Column& score;                       // random part of an hour's score
    Column side;                               // -1 sunrise ... 0 noon ... 1 sunset
    std::array<std::vector<int>, 12> hours;    // with sun
};

Sky make_sky(const Station& station, const Geometry& geometry, const YearDraws& draws) {
    Sky sky{clear_sky(geometry, station.site.elevation), draws.sun_score, (geometry.solar_time - 12) / geometry.half_day.max(1.0), {}};
    for (int m = 0; m < 12; ++m) {
        const MonthSpan& span = month_spans()[m];
        for (int i = span.first; i < span.first + span.count; ++i)
            if (sky.clear[i] > 0) sky.hours[m].push_back(i);
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
        const double g = std::abs(laws[m]) < 1e-6 ? 1e-6 : laws[m];
        Column above(ranks.size()), slope(ranks.size());
        ClearnessLaw{g}.at(ranks, above, slope);
        Column global = clear * (kLeastClearness + above);
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
    const Column instants = time_utc.cast<double>() + Weather{}.sun_offset;
    const SunVectors sun(instants.data(), kHours, sun_place(site.latitude, site.longitude));
    const double sin_lat = std::sin(site.latitude * kPi / 180), cos_lat = std::cos(site.latitude * kPi / 180);
    Geometry geometry{sun.up, extraterrestrial_by_day(instants, site.utc_offset * 3600), Column(kHours), Column(kHours)};
    // Declination and the equation of time hardly move within a day: one hour speaks for it.
    for (int day = 0; day < kDays; ++day) {
        const int i = 24 * day + 12;
        const double up = sun.up[i], north = sun.north[i];
        const double hour_angle = std::atan2(-sun.east[i], up * cos_lat - north * sin_lat);
        const double sin_dec = up * sin_lat + north * cos_lat, cos_dec = std::sqrt(std::max(1e-12, 1 - sin_dec * sin_dec));
        const double cos_set = std::clamp(-sin_lat * sin_dec / std::max(1e-9, cos_lat * cos_dec), -1.0, 1.0);
        geometry.half_day.segment(24 * day, 24).setConstant(std::acos(cos_set) * 12 / kPi);
        for (int hour = 0; hour < 24; ++hour) {
            const double time = hour + hour_angle * 12 / kPi;
            geometry.solar_time[24 * day + hour] = time - 24 * std::floor(time / 24);
        }
    }
    return geometry;
}

SunYear make_sun(const Station& station, const Geometry& geometry, const YearDraws& draws) {
    const Sky sky = make_sky(station, geometry, draws);
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
