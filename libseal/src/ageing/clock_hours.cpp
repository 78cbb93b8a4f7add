#include "ageing/clock_hours.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/core/error.hpp"

namespace libseal::detail {
namespace {

constexpr double gas_constant = 8.314462618e-3;  // [kJ/(mol K)], CODATA 2018
constexpr double reference_kelvin = 296.15;      // 23 degC
constexpr double reference_humidity = 50.0;      // [%]
constexpr double driest = 0.001;                 // [%]
constexpr double least_hours = 22;               // known hours that make a dated day

bool known(const RateHours& rates, Eigen::Index i) {
    return std::isfinite(rates.light[i]) && std::isfinite(rates.heat[i]) && std::isfinite(rates.moisture[i]);
}

[[noreturn]] void throw_month(std::size_t month) {
    throw_value_error("weather", "known irradiance, temperature, humidity and wind in every calendar month",
                      "none in month " + std::to_string(month + 1),
                      "give a whole year, fill the gaps, or leave it out to use the station table");
}

/// Mean of a number of intervals.
struct Mean {
    ClockTerms sum;
    double count = 0;

    void add(const ClockTerms& terms) {
        sum = sum + terms;
        count += 1;
    }
    ClockTerms value() const { return {sum.light / count, sum.heat / count, sum.moisture / count}; }
};

std::array<ClockTerms, 12> values_of(const std::array<Mean, 12>& means) {
    std::array<ClockTerms, 12> months;
    for (std::size_t m = 0; m < 12; ++m) {
        if (means[m].count == 0) throw_month(m);
        months[m] = means[m].value();
    }
    return months;
}

}  // namespace

RateInputs::RateInputs(const SurfaceHours& hours, Depth depth) {
    const bool under = depth == Depth::sheltered;
    temperature = under ? (0.5 * (hours.surface_temperature + hours.air_temperature)).eval() : hours.surface_temperature;
    const Column kelvin = 273.15 + temperature;
    // (T - Tref)/(T Tref R) rather than a difference of inverses: no digits are lost near the reference.
    q = (kelvin - reference_kelvin) / (kelvin * (reference_kelvin * gas_constant));
    const Column humidity = under ? (0.5 * (hours.surface_humidity + hours.air_humidity)).eval() : hours.surface_humidity;
    log_humidity = ((humidity < driest).select(driest, humidity) / reference_humidity).log();  // no log of 0
    if (under) return;
    ultraviolet = hours.ultraviolet;
    log_ultraviolet = (ultraviolet <= 0).select(1.0, ultraviolet).log();  // the dark hours are told by the other column
}

RateHours rate_hours(const RateInputs& inputs, const Sealant& family, bool weighted_only) {
    const auto counts = [&](double weight) { return !weighted_only || weight > 0; };
    RateHours rates;
    if (counts(family.weight_heat)) rates.heat = (family.energy_heat * inputs.q).exp();
    else rates.heat = 0 * inputs.q;
    if (counts(family.weight_moisture))
        rates.moisture = (family.humidity_exponent * inputs.log_humidity + family.energy_moisture * inputs.q).exp();
    else rates.moisture = 0 * (inputs.log_humidity + inputs.q);
    if (inputs.ultraviolet.size() == 0) rates.light = Column::Zero(inputs.q.size());
    else if (!counts(family.weight_light)) rates.light = 0 * (inputs.ultraviolet + inputs.q);
    else if (family.light_exponent == 1) rates.light = (family.energy_light * inputs.q).exp() * inputs.ultraviolet;
    else rates.light = (inputs.ultraviolet <= 0).select(
        0 * inputs.q, (family.light_exponent * inputs.log_ultraviolet + family.energy_light * inputs.q).exp());
    return rates;
}

HourPlaces::HourPlaces(const Weather& weather) {
    const auto size = static_cast<std::size_t>(weather.size());
    month.resize(size);
    hour.resize(size);
    // An interval of more than an hour fills all hours whose middle it holds; a shorter one a part of the hour of its middle.
    const bool longer = weather.step > 3600;
    hours_each = longer ? static_cast<int>(std::lround(weather.step / 3600)) : 1;
    weight = longer ? 1 : weather.step / 3600;
    const double to_local = weather.site.utc_offset * 3600;
    Date day{};
    int index = -1;
    for (std::size_t i = 0; i < size; ++i) {
        const double end = static_cast<double>(weather.time_utc[static_cast<Eigen::Index>(i)]) + to_local;
        const double middle = end - weather.step / 2;
        const Date here = date_of(static_cast<Instant>(std::floor(middle)));
        if (index < 0 || here != day) {
            day = here;
            index = year_month_day(day).month - 1;
        }
        month[i] = static_cast<std::uint8_t>(index);
        hour[i] = static_cast<std::int64_t>(longer ? std::round((end - weather.step) / 3600) : std::floor(middle / 3600));
    }
    if (size == 0) return;
    first = date_of(hour.front() * 3600);
    last = date_of((hour.back() + hours_each - 1) * 3600);
}

std::array<ClockTerms, 12> month_means(const HourPlaces& places, const RateHours& rates) {
    std::array<Mean, 12> means;
    for (std::size_t i = 0; i < places.month.size(); ++i) {
        const auto k = static_cast<Eigen::Index>(i);
        if (known(rates, k)) means[places.month[i]].add({rates.light[k], rates.heat[k], rates.moisture[k]});
    }
    return values_of(means);
}

DayGatherer::DayGatherer(Date first, Date last)
    : first_(first), hours_(static_cast<std::size_t>(std::max(0, last - first + 1)) * 24) {}

void DayGatherer::add(const HourPlaces& places, const RateHours& rates) {
    const int me = ++owners_;
    const std::int64_t start = static_cast<std::int64_t>(first_.days) * 24;
    for (std::size_t i = 0; i < places.hour.size(); ++i) {
        const auto k = static_cast<Eigen::Index>(i);
        if (!known(rates, k)) continue;
        const ClockTerms part{rates.light[k], rates.heat[k], rates.moisture[k]};
        for (int h = 0; h < places.hours_each; ++h) {
            Hour& hour = hours_[static_cast<std::size_t>(places.hour[i] + h - start)];
            if (hour.owner != 0 && hour.owner != me) continue;
            hour.owner = me;
            hour.sum = hour.sum + places.weight * part;
            hour.weight += places.weight;
        }
    }
}

DatedDays DayGatherer::days() const {
    DatedDays days;
    const std::size_t count = hours_.size() / 24;
    for (std::size_t d = 0; d < count; ++d) {
        ClockTerms sum;
        double weight = 0;
        for (std::size_t h = 24 * d; h < 24 * (d + 1); ++h) {
            sum = sum + hours_[h].sum;
            weight += hours_[h].weight;
        }
        const bool enough = weight >= least_hours - 1e-9;
        if (days.rate.empty()) {
            if (!enough) continue;
            days.first = first_ + static_cast<int>(d);
        }
        days.rate.push_back(enough ? (1 / weight) * sum : ClockTerms{});
        days.known.push_back(enough ? 1 : 0);
    }
    while (!days.known.empty() && !days.known.back()) {
        days.known.pop_back();
        days.rate.pop_back();
    }
    return days;
}

std::array<ClockTerms, 12> DayGatherer::month_means(const DatedDays& days) {
    std::array<Mean, 12> means;
    for (std::size_t d = 0; d < days.rate.size(); ++d)
        if (days.known[d])
            means[static_cast<std::size_t>(year_month_day(days.first + static_cast<int>(d)).month - 1)].add(days.rate[d]);
    return values_of(means);
}

}  // namespace libseal::detail
