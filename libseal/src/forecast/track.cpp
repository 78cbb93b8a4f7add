#include "libseal/forecast/track.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"

namespace libseal {
namespace {

constexpr double days_per_year = 365.25;

constexpr double search_years = 1000;  // no day is looked for beyond

int months_between(Date a, Date b) {
    const YearMonthDay from = year_month_day(a), to = year_month_day(b);
    return (to.year - from.year) * 12 + to.month - from.month - (to.day < from.day ? 1 : 0);
}

/// Stay that holds on a day, and the day on which that can change.
struct Held {
    int stay;
    Date until;
};

Held held_on(const Itinerary& itinerary, Date day, int repeat_months) {
    const Date far = make_date(9999, 12, 31);
    if (day < itinerary.front().from) return {0, itinerary.front().from};
    const int last = static_cast<int>(itinerary.size()) - 1;
    Date asked = day;
    if (day >= itinerary.back().to) {
        if (repeat_months == 0) return {last, far};
        // Go back by whole rounds; months are counted from the day asked for, never stepped.
        int back = repeat_months;
        while (add_months(day, -back) >= itinerary.back().to) back += repeat_months;
        asked = add_months(day, -back);
    }
    for (int i = 0; i <= last; ++i) {
        const Stay& stay = itinerary[static_cast<std::size_t>(i)];
        if (asked < stay.to) return {i, day + std::max(1, std::min(stay.to - asked, 31))};
    }
    return {last, far};
}

}  // namespace

std::vector<MonthOfStay> months_of_itinerary(const Itinerary& itinerary, Date from, Date to) {
    const int span = months_between(itinerary.front().from, std::min(itinerary.back().to, make_date(9999, 1, 1)));
    const bool open_end = year_month_day(itinerary.back().to).year >= 9999;
    const int repeat = itinerary.size() > 1 && !open_end && span >= 12 ? span / 12 * 12 : 0;
    std::vector<MonthOfStay> months;
    for (Date day = from; day < to;) {
        const YearMonthDay ymd = year_month_day(day);
        const Date month_end = add_months(make_date(ymd.year, ymd.month, 1), 1);
        const Held held = held_on(itinerary, day, repeat);
        const Date end = std::min({month_end, held.until, to});
        if (!months.empty() && months.back().to == day && months.back().stay == held.stay &&
            months.back().month == ymd.month)
            months.back().to = end;
        else
            months.push_back({day, end, held.stay, ymd.year, ymd.month});
        day = end;
    }
    return months;
}

AgeTrack::AgeTrack(const std::vector<MonthOfStay>& months, const std::vector<const ClockYear*>& clocks,
                   const std::vector<double>& factors) {
    if (months.empty()) throw_value_error("months", "at least one", "none");
    if (!factors.empty() && factors.size() != clocks.size())
        throw_value_error("factors", std::to_string(clocks.size()) + " numbers, one per stay", std::to_string(factors.size()));
    for (const double factor : factors) require_not_negative(factor, "factors");
    days_.reserve(months.size() + 1);
    sums_.reserve(months.size() + 1);
    days_.push_back(months.front().from.days);
    sums_.push_back({});
    for (std::size_t i = 0; i < months.size();) {
        const auto stay = static_cast<std::size_t>(months[i].stay);
        if (months[i].stay < 0 || stay >= clocks.size())
            throw_value_error("clocks", "a clock for stay " + std::to_string(months[i].stay), std::to_string(clocks.size()));
        const ClockYear& clock = *clocks[stay];
        const double factor = factors.empty() ? 1.0 : factors[stay];
        // Neighbours that age alike within a month are one piece: a stay cut in two changes no bit.
        Date to = months[i].to;
        for (++i; i < months.size(); ++i) {
            const auto next = static_cast<std::size_t>(months[i].stay);
            const bool alike = months[i].month == months[i - 1].month && next < clocks.size() && clocks[next] == &clock &&
                               (factors.empty() || factors[next] == factor);
            if (!alike) break;
            to = months[i].to;
        }
        add_stretch(to, clock, months[i - 1].month, factor);
    }
    totals_.reserve(sums_.size());
    for (const ClockTerms& sum : sums_) totals_.push_back(totals_.empty() ? sum.total() : std::max(totals_.back(), sum.total()));
    const auto mean_rate = [&](Date from, Date to) { return (1.0 / std::max(1, to - from)) * (at(to) - at(from)); };
    const Date start{days_.front()}, end{days_.back()};
    first_rate_ = mean_rate(start, std::min(end, start + 365));
    last_rate_ = mean_rate(std::max(start, end - 365), end);
}

void AgeTrack::add_stretch(Date to, const ClockYear& clock, int month, double factor) {
    const ClockTerms usual = factor * clock.month[static_cast<std::size_t>(month - 1)];
    const DatedDays& dated = clock.dated;
    for (Date day{days_.back()}; day < to; day = Date{days_.back()}) {
        if (const ClockTerms* rate = dated.rate_on(day)) {
            add(day + 1, factor * *rate);
            continue;
        }
        // A run without days of its own: up to where they begin again.
        Date until = std::max(day + 1, dated.first);
        while (until < to && until < dated.end() && !dated.rate_on(until)) until = until + 1;
        add(until < dated.end() ? std::min(until, to) : to, usual);
    }
}

void AgeTrack::add(Date to, const ClockTerms& rate) {
    sums_.push_back(sums_.back() + ((to.days - days_.back()) / days_per_year) * rate);
    days_.push_back(to.days);
}

ClockTerms AgeTrack::at(double day) const {
    if (day <= days_.front()) return (day - days_.front()) * first_rate_;
    if (day >= days_.back()) return sums_.back() + (day - days_.back()) * last_rate_;
    const auto after = std::upper_bound(days_.begin(), days_.end(), day);
    const auto i = static_cast<std::size_t>(after - days_.begin()) - 1;
    const double part = (day - days_[i]) / (days_[i + 1] - days_[i]);
    return sums_[i] + part * (sums_[i + 1] - sums_[i]);
}

double AgeTrack::instant_of_age(double age, double installed) const {
    const double latest = installed + search_years * days_per_year;
    if (!(age > 0)) return installed;
    const double wanted = at(installed).total() + age;
    const auto beyond = [&](double day, double missing, double rate) {
        return rate > 0 ? std::min(latest, day + missing / rate) : latest;
    };
    if (wanted <= totals_.front())
        return std::max(installed, std::min<double>(days_.front(), beyond(days_.front(), wanted - totals_.front(), first_rate_.total())));
    if (wanted > totals_.back()) return beyond(days_.back(), wanted - totals_.back(), last_rate_.total());
    const auto reached = std::lower_bound(totals_.begin(), totals_.end(), wanted);
    const auto i = static_cast<std::size_t>(reached - totals_.begin());
    const double part = (wanted - totals_[i - 1]) / (totals_[i] - totals_[i - 1]);
    return std::clamp(days_[i - 1] + part * (days_[i] - days_[i - 1]), installed, latest);
}

Date AgeTrack::day_of_age(double age, Date installed) const {
    if (!(age > 0)) return installed;
    const Date latest = add_years(installed, search_years);
    const double instant = instant_of_age(age, installed.days);
    if (instant >= latest.days) return latest;
    Date day = std::max(installed, Date{static_cast<std::int32_t>(std::ceil(instant))});
    // The inverse rounds in its last digit: the morning itself decides.
    while (day > installed && age_between(installed, day - 1) >= age) day = day - 1;
    while (day < latest && age_between(installed, day) < age) day = day + 1;
    return day;
}

ClockTerms switched_age(const AgeTrack& before, const AgeTrack& after, Date installed, Date switch_day, Date day) {
    const Date change = std::clamp(switch_day, installed, std::max(installed, day));
    return before.at(change) - before.at(installed) + (after.at(day) - after.at(change));
}

}  // namespace libseal
