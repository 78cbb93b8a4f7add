#include "libseal/ageing/clock.hpp"

#include <cmath>
#include <vector>

#include "libseal/climate/station.hpp"
#include "libseal/climate/typical_year.hpp"
#include "libseal/core/error.hpp"

namespace libseal {
namespace {

constexpr double gas_constant = 8.314462618e-3;  // [kJ/(mol K)], CODATA 2018
constexpr double reference_kelvin = 296.15;      // 23 degC
constexpr double reference_humidity = 50.0;      // [%]
constexpr double least_dated_days = 27;          // known days that make a dated month

struct Sums {
    ClockTerms terms;
    double intervals = 0;

    void add(double light, double heat, double moisture) {
        terms.light += light;
        terms.heat += heat;
        terms.moisture += moisture;
        intervals += 1;
    }
    ClockTerms mean() const {
        return {terms.light / intervals, terms.heat / intervals, terms.moisture / intervals};
    }
};

/// Calendar month of each interval's middle, in local standard time, as year * 12 + month - 1.
std::vector<int> month_indices(const Weather& weather) {
    std::vector<int> indices(static_cast<std::size_t>(weather.size()));
    const double to_middle = weather.site.utc_offset * 3600 - weather.step / 2;
    Date day{};
    int index = -1;
    for (Eigen::Index i = 0; i < weather.size(); ++i) {
        const double local = static_cast<double>(weather.time_utc[i]) + to_middle;
        const Date here = date_of(static_cast<Instant>(std::floor(local)));
        if (index < 0 || here != day) {
            day = here;
            const YearMonthDay ymd = year_month_day(day);
            index = ymd.year * 12 + ymd.month - 1;
        }
        indices[static_cast<std::size_t>(i)] = index;
    }
    return indices;
}

/// The three raw terms, hour by hour.
struct RawTerms {
    Column light, heat, moisture;
};

RawTerms raw_terms(const SurfaceHours& hours, const Sealant& family, Depth depth) {
    const bool under = depth == Depth::sheltered;
    const Column kelvin = 273.15 + (under ? (0.5 * (hours.surface_temperature + hours.air_temperature)).eval()
                                          : hours.surface_temperature);
    const Column humidity =
        under ? (0.5 * (hours.surface_humidity + hours.air_humidity)).eval() : hours.surface_humidity;
    // (T - Tref)/(T Tref R) rather than a difference of inverses: no digits are lost near the reference.
    const Column q = (kelvin - reference_kelvin) / (kelvin * (reference_kelvin * gas_constant));
    RawTerms terms;
    terms.heat = (family.energy_heat * q).exp();
    terms.moisture =
        (family.humidity_exponent * (humidity / reference_humidity).log() + family.energy_moisture * q).exp();
    if (under) {
        terms.light = Column::Zero(kelvin.size());
    } else {
        terms.light = (family.energy_light * q).exp();
        if (family.light_exponent == 1)
            terms.light *= hours.ultraviolet;
        else
            terms.light *= hours.ultraviolet.max(0).pow(family.light_exponent);
    }
    return terms;
}

}  // namespace

const ClockTerms& ClockYear::rate(int year, int month_of_year) const {
    const auto found = dated.find(year * 12 + month_of_year - 1);
    return found != dated.end() ? found->second : month[static_cast<std::size_t>(month_of_year - 1)];
}

ClockYear raw_clock(const Weather& weather, const SurfaceHours& hours, const Sealant& family, Depth depth) {
    const RawTerms terms = raw_terms(hours, family, depth);
    std::array<Sums, 12> months;
    std::map<int, Sums> dated;
    const std::vector<int> index = month_indices(weather);
    for (Eigen::Index i = 0; i < weather.size(); ++i) {
        const double light = terms.light[i], heat = terms.heat[i], moisture = terms.moisture[i];
        if (!std::isfinite(light) || !std::isfinite(heat) || !std::isfinite(moisture)) continue;
        const int month = index[static_cast<std::size_t>(i)];
        months[static_cast<std::size_t>(month % 12)].add(light, heat, moisture);
        if (!weather.typical) dated[month].add(light, heat, moisture);
    }
    ClockYear year;
    for (std::size_t m = 0; m < 12; ++m) {
        if (months[m].intervals == 0)
            throw_value_error("weather", "known irradiance, temperature, humidity and wind in every calendar month",
                              "none in month " + std::to_string(m + 1),
                              "give a whole year, fill the gaps, or leave it out to use the station table");
        year.month[m] = months[m].mean();
    }
    // A month counts as dated only if nearly all of it is known; else the mean of that calendar month stands for it.
    for (const auto& [month, sums] : dated)
        if (sums.intervals * weather.step >= least_dated_days * 86400) year.dated[month] = sums.mean();
    return year;
}

ClockTerms year_mean(const ClockYear& year) {
    static constexpr std::array<double, 12> days = {31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    ClockTerms sum;
    for (std::size_t m = 0; m < 12; ++m) {
        sum.light += year.month[m].light * days[m] / 365.25;
        sum.heat += year.month[m].heat * days[m] / 365.25;
        sum.moisture += year.month[m].moisture * days[m] / 365.25;
    }
    return sum;
}

ClockYear scaled_clock(const ClockYear& raw, const ClockTerms& reference, const Sealant& family) {
    const auto part = [](double weight, double value, double mean) { return weight > 0 ? weight * value / mean : 0; };
    const auto scaled = [&](const ClockTerms& t) {
        return ClockTerms{part(family.weight_light, t.light, reference.light),
                          part(family.weight_heat, t.heat, reference.heat),
                          part(family.weight_moisture, t.moisture, reference.moisture)};
    };
    ClockYear year;
    for (std::size_t m = 0; m < 12; ++m) year.month[m] = scaled(raw.month[m]);
    for (const auto& [month, terms] : raw.dated) year.dated[month] = scaled(terms);
    return year;
}

ClockReference clock_reference(const Catalogue& catalogue) {
    ClockReference reference;
    reference.weather = typical_year(find_station(catalogue.word("model/reference_station")), 0);
    reference.site = site_hours(reference.weather);
    reference.absorptance = catalogue.number("model/reference_absorptance");
    return reference;
}

ClockTerms reference_terms(const ClockReference& reference, const Sealant& family, Depth depth) {
    const auto terms_on = [&](const Plane& plane) {
        const SurfaceHours hours = surface_hours(reference.weather, reference.site, plane, reference.absorptance,
                                                 reference.emittance, CoverFactors{});
        return year_mean(raw_clock(reference.weather, hours, family, depth));
    };
    if (family.home == "roof") return terms_on({0, 180});
    ClockTerms mean;
    for (const double azimuth : {0.0, 90.0, 180.0, 270.0}) {
        const ClockTerms wall = terms_on({90, azimuth});
        mean.light += wall.light / 4;
        mean.heat += wall.heat / 4;
        mean.moisture += wall.moisture / 4;
    }
    return mean;
}

}  // namespace libseal
