#include "libseal/forecast/track.hpp"

#include <algorithm>

namespace libseal {
namespace {

constexpr double days_per_year = 365.25;

ClockTerms plus(const ClockTerms& a, const ClockTerms& b, double factor) {
    return {a.light + factor * b.light, a.heat + factor * b.heat, a.moisture + factor * b.moisture};
}

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

AgeTrack::AgeTrack(const std::vector<MonthOfStay>& months, const std::vector<const ClockYear*>& clocks) {
    days_.reserve(months.size() + 1);
    sums_.reserve(months.size() + 1);
    days_.push_back(months.front().from.days);
    sums_.push_back({});
    for (const auto& part : months) {
        const ClockTerms& rate = clocks[static_cast<std::size_t>(part.stay)]->rate(part.year, part.month);
        sums_.push_back(plus(sums_.back(), rate, (part.to - part.from) / days_per_year));
        days_.push_back(part.to.days);
    }
    const auto mean_rate = [&](Date from, Date to) {
        return plus({}, plus(at(to), at(from), -1.0), 1.0 / std::max(1, to - from));
    };
    const Date start{days_.front()}, end{days_.back()};
    first_rate_ = mean_rate(start, std::min(end, start + 365));
    last_rate_ = mean_rate(std::max(start, end - 365), end);
}

ClockTerms AgeTrack::at(Date day) const {
    if (day.days <= days_.front()) return plus({}, first_rate_, day.days - days_.front());
    if (day.days >= days_.back()) return plus(sums_.back(), last_rate_, day.days - days_.back());
    const auto after = std::upper_bound(days_.begin(), days_.end(), day.days);
    const auto i = static_cast<std::size_t>(after - days_.begin()) - 1;
    const double part = static_cast<double>(day.days - days_[i]) / (days_[i + 1] - days_[i]);
    return plus(sums_[i], plus(sums_[i + 1], sums_[i], -1.0), part);
}

}  // namespace libseal
