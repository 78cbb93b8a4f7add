#include "ageing/clock_hours.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/core/error.hpp"

namespace libseal::detail {
namespace {

constexpr double least_hours = 22;               // known hours that make a dated day

bool known(const RateHours& rates, Eigen::Index i) {
    return std::isfinite(rates.light[i]) && std::isfinite(rates.heat[i]) && std::isfinite(rates.moisture[i]);
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

void throw_month(std::size_t month) {
    throw_value_error("weather", "known irradiance, temperature, humidity and wind in every calendar month",
                      "none in month " + std::to_string(month + 1),
                      "give a whole year, fill the gaps, or leave it out to use the station table");
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
