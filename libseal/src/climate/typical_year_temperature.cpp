// Air temperature of the typical year: season, spells, daily course.

#include <algorithm>
#include <cmath>

#include "typical_year_parts.hpp"

namespace libseal::detail {
namespace {

constexpr double kNoise = 0.11;            // of the daily range, per hour
constexpr double kRangeByClearness = 0.45; // how much more a clear day swings
// Daily course after Parton & Logan 1981: sine by day, decay by night.
constexpr double kSunriseLag = 0.29;       // [h]
constexpr double kAfterSunset = 1.58;      // [h] half of what the sine is longer than the day
constexpr double kNightDecay = 2.38;       // per night
constexpr double kMostPhase = 2.5;         // [h]
constexpr double kLeastSpread = 0.4, kMostSpread = 1.6;  // of the usual one
constexpr double kMostLink = 0.7;          // correlation of a day's temperature with its clearness

/// What is fitted in each month.
struct Fit {
    double range = 0;   ///< [K]
    double bend = 0;    ///< of the course, raises or lowers its mean against its extremes
    double phase = 0;   ///< [h] later
    double link = 0;    ///< correlation with the day's clearness
    double above = 0;   ///< spread of warm days [K]
    double below = 0;   ///< spread of cold days [K]
    double old_phase = 0, old_miss = 0;
    bool tried = false;
};

/// Course between 0 (coldest) and 1 of each hour.
Column unit_course(const Geometry& geometry) {
    Column course(kHours);
    const double last = std::exp(-kNightDecay);
    for (int i = 0; i < kHours; ++i) {
        const double day = std::clamp(2 * geometry.half_day[i], 3.0, 21.0);
        const double rise = 12 - geometry.half_day[i] + kSunriseLag;
        const double after = geometry.solar_time[i] - rise, since = after - 24 * std::floor(after / 24);
        const double length = day + 2 * kAfterSunset;
        if (since <= day) {
            course[i] = std::max(0.0, std::sin(kPi * since / length));
        } else {
            const double night = std::exp(-kNightDecay * (since - day) / (24 - day));
            course[i] = std::sin(kPi * day / length) * (night - last) / (1 - last);
        }
    }
    return course;
}

/// A series of hours that is a ring.
class Ring {
public:
    explicit Ring(const Column& hours) : hours_(kHours + 2 * kReach) { hours_ << hours.tail(kReach), hours, hours.head(kReach); }
    /// One month of the series `later` hours later, up to the most that a course is moved, by straight lines between hours.
    auto month(const MonthSpan& span, double later) const {
        const int whole = static_cast<int>(std::floor(later)), first = kReach + span.first - whole;
        const double rest = later - whole;
        return (1 - rest) * hours_.segment(first, span.count) + rest * hours_.segment(first - 1, span.count);
    }

private:
    static constexpr int kReach = 4;
    static_assert(kReach > kMostPhase + 1);
    Column hours_;
};

class Thermometer {
public:
    Thermometer(const Station& station, const Geometry& geometry, const SunYear& sun, const YearDraws& draws)
        : station_(station), sun_(sun), spells_(draws.temperature_spell), unit_(unit_course(geometry)), course_(kHours) {
        Column noise(kHours);
        std::array<double, 12> means;
        Column swing = Column::Ones(kDays);
        for (int m = 0; m < 12; ++m) {
            const MonthSpan& span = month_spans()[m];
            const MonthNormals& month = station.months[m];
            means[m] = month.air_temperature;
            fits_[m].range = month.daily_maximum - month.daily_minimum;
            fits_[m].above = fits_[m].below = daily_spread(month);
            fits_[m].link = usual_link(m);
            noise.segment(span.first, span.count) = kNoise * fits_[m].range * draws.temperature_noise.segment(span.first, span.count);
            const Column clearness = sun.day_clearness.segment(span.first_day(), span.days());
            if (clearness.isFinite().all() && clearness.mean() > 0)
                swing.segment(span.first_day(), span.days()) =
                    (1 + kRangeByClearness * (clearness / clearness.mean() - 1)).max(0.15);
        }
        season_and_noise_ = hours_from_months(means) + noise;
        swing_ = hours_from_days(swing);
    }

    TemperatureYear run() {
        constexpr int kPasses = 14;
        for (int pass = 0; pass < kPasses; ++pass) {
            compose();
            if (pass + 1 < kPasses)
                for (int m = 0; m < 12; ++m) correct(m);
        }
        return {air_, anomaly_, course_};
    }

private:
    /// Sunny days are warm in summer and cold in winter.
    double usual_link(int m) const {
        const double season = 0.08 - 0.30 * std::cos(2 * kPi * m / 12);
        return station_.site.latitude < 0 ? 0.16 - season : season;
    }

    void compose() {
        Column days(kDays);
        for (int m = 0; m < 12; ++m) {
            const MonthSpan& span = month_spans()[m];
            const Fit& fit = fits_[m];
            const int d = span.first_day(), n = span.days();
            Column z = fit.link * sun_.day_score.segment(d, n) +
                       std::sqrt(1 - fit.link * fit.link) * spells_.segment(d, n);
            z -= z.mean();
            z /= std::sqrt(z.square().mean());
            z = (z > 0).select(fit.above * z, fit.below * z);
            days.segment(d, n) = z - z.mean();
            auto c = course_.segment(span.first, span.count);
            c = unit_.month(span, fit.phase);
            const Column shape = c * (1 + fit.bend * (c - 1));
            c = fit.range * swing_.segment(span.first, span.count) * (shape - shape.mean());
            c -= c.mean();
        }
        anomaly_ = hours_from_days(days);
        air_ = season_and_noise_ + anomaly_ + course_;
        for (int m = 0; m < 12; ++m) {
            auto month = air_.segment(month_spans()[m].first, month_spans()[m].count);
            month += station_.months[m].air_temperature - month.mean();
        }
    }

    /// One step of a month's fit towards mean extremes, absolute extremes and the temperature in the sun.
    void correct(int m) {
        const MonthSpan& span = month_spans()[m];
        const MonthNormals& month = station_.months[m];
        Fit& fit = fits_[m];
        double high = 0, low = 0;
        for (int day = span.first_day(); day < span.first_day() + span.days(); ++day) {
            high += air_.segment(24 * day, 24).maxCoeff() / span.days();
            low += air_.segment(24 * day, 24).minCoeff() / span.days();
        }
        const double range = month.daily_maximum - month.daily_minimum;
        fit.range *= std::clamp(range / std::max(high - low, 0.1), 0.7, 1.4);
        const double middle = 0.5 * (high + low - month.daily_maximum - month.daily_minimum);
        fit.bend = std::clamp(fit.bend - 4 * middle / std::max(range, 1.0), -0.95, 0.95);
        const auto air = air_.segment(span.first, span.count);
        const double usual = daily_spread(month);
        const auto nearer = [&](double spread, double surplus) {
            return std::clamp(spread - 0.2 * surplus, kLeastSpread * usual, kMostSpread * usual);
        };
        if (month.highest > month.lowest) {
            fit.above = nearer(fit.above, air.maxCoeff() - month.highest);
            fit.below = nearer(fit.below, month.lowest - air.minCoeff());
        }
        warm_the_sun(m);
    }

    /// Moves the course later or earlier, then the link, until the irradiance-weighted mean is met.
    void warm_the_sun(int m) {
        const MonthSpan& span = month_spans()[m];
        const double wanted = station_.months[m].temperature_when_sunny;
        const auto ghi = sun_.ghi.segment(span.first, span.count);
        const double sum = ghi.sum();
        if (!std::isfinite(wanted) || !(sum > 0)) return;
        Fit& fit = fits_[m];
        const double miss = wanted - (ghi * air_.segment(span.first, span.count)).sum() / sum;
        const double range = std::max(1.0, fit.range);
        double slope = 0.1 * range;
        if (fit.tried && std::abs(fit.phase - fit.old_phase) > 1e-4) {
            const double measured = (miss - fit.old_miss) / (fit.phase - fit.old_phase);
            if (measured > 0) slope = std::max(measured, 0.03 * range);
        }
        fit.tried = true;
        fit.old_phase = fit.phase;
        fit.old_miss = miss;
        fit.phase = std::clamp(fit.phase - std::clamp(miss / slope, -0.6, 0.6), -kMostPhase, kMostPhase);
        if (std::abs(fit.phase) >= kMostPhase) {
            const double gain = 0.5 / (0.35 * std::max(0.5 * (fit.above + fit.below), 0.5));
            fit.link = std::clamp(fit.link + std::clamp(gain * miss, -0.15, 0.15), -kMostLink, kMostLink);
        }
    }

    const Station& station_;
    const SunYear& sun_;
    const Column& spells_;
    std::array<Fit, 12> fits_;
    Ring unit_;
    Column course_, season_and_noise_, swing_, anomaly_, air_;
};

}  // namespace

double daily_spread(const MonthNormals& month) {
    return std::max(0.5, -0.27 + 0.26 * std::min(20.0, month.highest - month.daily_maximum) +
                             0.25 * std::min(25.0, month.daily_minimum - month.lowest));
}

TemperatureYear make_temperature(const Station& station, const Geometry& geometry, const SunYear& sun, const YearDraws& draws) {
    return Thermometer(station, geometry, sun, draws).run();
}

}  // namespace libseal::detail
