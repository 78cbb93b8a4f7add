// Wind of the typical year: a Weibull law with a daily course that meets the irradiance-weighted mean.

#include <algorithm>
#include <cmath>

#include "kernel/column_functions.hpp"
#include "typical_year_parts.hpp"

namespace libseal::detail {
namespace {

constexpr double kPeak = 14.5;       // solar hour of the strongest wind [h]
constexpr double kNightSpread = 1.3; // spread by night against day
constexpr double kStrongest = 5.0;   // of the mean: the law is cut there
constexpr double kUsualSpread = 0.47;
constexpr double kMostCourse = 2.5;

struct Gusts {
    const Column& gust;      // ln of a standard exponential variate of each hour
    Column course;           // cos of the hour against the peak
    Column daylight;         // 1 or 0
};

/// Wind of one spread, relative to the month's mean, before the daily course. @source Justus 1978: k = cv^-1.086.
Column relative_wind(const Gusts& gusts, double spread) {
    const double by_day = std::pow(spread, 1.086), by_night = std::pow(std::min(1.2, kNightSpread * spread), 1.086);
    const double mean_day = std::tgamma(1 + by_day), mean_night = std::tgamma(1 + by_night);
    const auto by_light = [&](double day, double night) { return night + gusts.daylight * (day - night); };
    return exponential(gusts.gust * by_light(by_day, by_night) - by_light(std::log(mean_day), std::log(mean_night))).min(kStrongest);
}

/// Multiplies by exp(course * cos) so that the irradiance-weighted mean over the plain mean is `ratio`.
/// @param course  Where to start; becomes what was found.
void meet_sunny_wind(Eigen::Ref<Column> wind, ConstColumn cosine, ConstColumn ghi, double ratio, double& course) {
    const Column base = wind;
    const double sun = ghi.sum();
    for (int pass = 0; pass < 20; ++pass) {
        wind = base * exponential(course * cosine);
        const double mean = wind.mean(), sunny = (ghi * wind).sum() / sun;
        const double miss = sunny / mean - ratio;
        if (std::abs(miss) < 1e-6) return;
        const double mean_slope = (wind * cosine).mean(), sunny_slope = (ghi * wind * cosine).sum() / sun;
        const double slope = (sunny_slope - sunny / mean * mean_slope) / mean;
        if (!(std::abs(slope) > 1e-9)) return;
        course = std::clamp(course - std::clamp(miss / slope, -0.4, 0.4), -kMostCourse, kMostCourse);
    }
    wind = base * exponential(course * cosine);
}

Column wind_of_spread(const Station& station, const SunYear& sun, const Gusts& gusts, double spread,
                      std::array<double, 12>& courses) {
    Column wind = relative_wind(gusts, spread);
    for (int m = 0; m < 12; ++m) {
        const MonthSpan& span = month_spans()[m];
        const MonthNormals& month = station.months[m];
        auto part = wind.segment(span.first, span.count);
        const auto ghi = sun.ghi.segment(span.first, span.count);
        const auto cosine = gusts.course.segment(span.first, span.count);
        if (month.wind_speed <= 0) {
            part.setZero();
            continue;
        }
        const double usual = 1 + 0.5 * std::min(1.4, 0.28 + 0.16 * month.ghi / month.wind_speed) * 0.75;
        const double ratio = month.wind_when_sunny > 0 ? month.wind_when_sunny / month.wind_speed : usual;
        if (ghi.sum() > 0) meet_sunny_wind(part, cosine, ghi, ratio, courses[m]);
        part *= month.wind_speed / part.mean();
    }
    return wind;
}

/// Standard deviation over mean in hours of sunshine.
double daytime_spread(const Column& wind, const Column& ghi) {
    double n = 0, sum = 0, squares = 0;
    for (int i = 0; i < kHours; ++i) {
        if (ghi[i] <= 20) continue;
        n += 1;
        sum += wind[i];
        squares += wind[i] * wind[i];
    }
    if (!(sum > 0)) return 0;
    return std::sqrt(std::max(0.0, squares * n / (sum * sum) - 1));
}

}  // namespace

Column make_wind(const Station& station, const Geometry& geometry, const SunYear& sun, const YearDraws& draws) {
    const Gusts gusts{draws.gust, ((geometry.solar_time - kPeak) * (2 * kPi / 24)).cos(), (geometry.cos_zenith > 0).cast<double>()};

    const double wanted = station.wind_daytime_cv > 0 ? station.wind_daytime_cv : kUsualSpread;
    double spread = wanted;
    std::array<double, 12> courses{};
    Column wind = wind_of_spread(station, sun, gusts, spread, courses);
    for (int pass = 0; pass < 6; ++pass) {
        const double now = daytime_spread(wind, sun.ghi);
        if (!(now > 0) || std::abs(now - wanted) < 0.002) break;
        spread = std::clamp(spread * wanted / now, 0.1, 1.2);
        wind = wind_of_spread(station, sun, gusts, spread, courses);
    }
    return wind;
}

}  // namespace libseal::detail
