// Dew point and relative humidity of the typical year.

#include <algorithm>
#include <cmath>

#include "climate/magnus.hpp"
#include "kernel/column_functions.hpp"
#include "typical_year_parts.hpp"

namespace libseal::detail {
namespace {

constexpr double kHourNoise = 0.9;  // [K]
constexpr double kLeastFollow = -0.6, kMostFollow = 0.8;
constexpr double kSoftness = 2.5;   // [K]

/// One month: what the dew point is made of, and what it must meet.
struct Month {
    Column air, exponent;        // [degC], ln of saturation pressure but for a constant
    Column base, spell, course;  // [K]
    double dew_wanted = 0, humidity_wanted = 0;

    struct Result {
        Column dew, humidity;
        double dew_miss = 0, humidity_miss = 0;
    };

    /// `follow` > 0: the dew point follows the daily course and strays less from the temperature; < 0 the reverse.
    Result at(double offset, double follow) const {
        Result r;
        const Column depression = air - (dew_wanted + offset + base + std::exp(-0.8 * follow) * spell + follow * course);
        // The depression nears 0 softly: air is often damp and seldom saturated.
        r.dew = air - (depression.max(0.0) + kSoftness * logarithm(1 + exponential(-depression.abs() / kSoftness)));
        r.humidity = 100 * exponential(magnus_exponent(r.dew) - exponent);
        r.dew_miss = r.dew.mean() - dew_wanted;
        r.humidity_miss = r.humidity.mean() - humidity_wanted;
        return r;
    }

    /// Offset for the mean humidity alone, by secant with a bracket.
    Result meet_humidity(double offset, double follow) const {
        double low = -60, high = 60, slope = 0;
        Result r = at(offset, follow);
        for (int pass = 0; pass < 60 && std::abs(r.humidity_miss) > 1e-6; ++pass) {
            (r.humidity_miss > 0 ? high : low) = offset;
            if (slope <= 0) slope = std::max(0.2, 0.06 * r.humidity.mean());  // vapour pressure: 6 % per K
            const double next = offset - r.humidity_miss / slope, before = r.humidity_miss, was = offset;
            offset = next > low && next < high ? next : 0.5 * (low + high);
            r = at(offset, follow);
            slope = (r.humidity_miss - before) / (offset - was);
        }
        return r;
    }

    /// Newton on offset and follow for both means; where they contradict each other the humidity is met.
    Result meet_both() const {
        constexpr double h = 0.02;
        double offset = 0, follow = 0, a = 0, b = 0, c = 0, d = 0;
        for (int pass = 0; pass < 9; ++pass) {
            const Result r = at(offset, follow);
            if (std::abs(r.dew_miss) < 1e-3 && std::abs(r.humidity_miss) < 3e-3) break;
            if (pass % 3 == 0) {  // the slopes serve three steps
                const Result o = at(offset + h, follow), f = at(offset, follow + h);
                a = (o.dew_miss - r.dew_miss) / h;
                b = (f.dew_miss - r.dew_miss) / h;
                c = (o.humidity_miss - r.humidity_miss) / h;
                d = (f.humidity_miss - r.humidity_miss) / h;
            }
            const double determinant = a * d - b * c;
            if (std::abs(determinant) < 1e-9) break;
            offset -= std::clamp((r.dew_miss * d - r.humidity_miss * b) / determinant, -1.5, 1.5);
            const double step = (a * r.humidity_miss - c * r.dew_miss) / determinant;
            follow = std::clamp(follow - std::clamp(step, -0.3, 0.3), kLeastFollow, kMostFollow);
        }
        return meet_humidity(offset, follow);
    }
};

}  // namespace

HumidityYear make_humidity(const Station& station, const TemperatureYear& temperature, const YearDraws& draws) {
    std::array<double, 12> means;
    for (int m = 0; m < 12; ++m) means[m] = station.months[m].dew_point;
    const Column season = hours_from_months(means);
    HumidityYear year{Column(kHours), Column(kHours)};
    for (int m = 0; m < 12; ++m) {
        const MonthSpan& span = month_spans()[m];
        const MonthNormals& figures = station.months[m];
        const auto part = [&](const Column& c) { return c.segment(span.first, span.count); };
        const double depression = figures.air_temperature - figures.dew_point;
        const double air_spread = daily_spread(figures);
        const double spread = std::max(0.5, -0.1 + 0.98 * air_spread + 0.10 * depression);
        const double link = std::clamp(0.41 - 0.029 * depression + 0.12 * air_spread, -0.5, 0.95);
        Month month;
        month.air = part(temperature.air);
        month.exponent = magnus_exponent(month.air);
        month.base = part(season) - figures.dew_point + link * spread / air_spread * part(temperature.anomaly);
        month.spell = std::sqrt(1 - link * link) * spread * part(draws.dew_spell) + kHourNoise * part(draws.dew_noise);
        month.course = part(temperature.course);
        month.dew_wanted = figures.dew_point;
        month.humidity_wanted = figures.relative_humidity;
        const Month::Result result = month.meet_both();
        year.dew_point.segment(span.first, span.count) = result.dew;
        year.relative_humidity.segment(span.first, span.count) = result.humidity;
    }
    return year;
}

}  // namespace libseal::detail
