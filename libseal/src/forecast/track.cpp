#include "libseal/forecast/track.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"

namespace libseal {
namespace {

constexpr double days_per_year = 365.25;

constexpr double search_years = 1000;  // no day is looked for beyond

/// Days before each month of a common year.
constexpr std::array<int, 13> month_starts = {0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365};

constexpr bool is_leap(int year) { return year % 4 == 0 && (year % 100 != 0 || year % 400 == 0); }
/// 29 Februaries of the years before this one.
constexpr int leap_days_before(int year) { return (year - 1) / 4 - (year - 1) / 100 + (year - 1) / 400; }
/// Days from 1970-01-01 to the first of a month.
constexpr std::int32_t day_number(int year, int month) {
    const int of_years = 365 * (year - 1970) + leap_days_before(year) - leap_days_before(1970);
    return of_years + month_starts[static_cast<std::size_t>(month - 1)] + (month > 2 && is_leap(year) ? 1 : 0);
}

constexpr Date last_day{day_number(9999, 12) + 30};

/// Without the call that std::floor is on plain x86.
std::int32_t floor_of(double day) {
    const auto whole = static_cast<std::int32_t>(day);
    return whole - (day < whole ? 1 : 0);
}

struct DayOfYear {
    int year;
    int days;  ///< since its 1 January
};

/// From whole rounds of 400, 100, 4 and 1 years; the last year of 100 and of 4 is a leap year's day longer or shorter.
DayOfYear day_of_year(std::int32_t day) {
    constexpr int first = -day_number(1, 1);
    int left = day + first;
    const int of_400 = left / 146097;
    left -= 146097 * of_400;
    const int of_100 = std::min(left / 36524, 3);
    left -= 36524 * of_100;
    const int of_4 = left / 1461;
    left -= 1461 * of_4;
    const int of_1 = std::min(left / 365, 3);
    return {400 * of_400 + 100 * of_100 + 4 * of_4 + of_1 + 1, left - 365 * of_1};
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
    if (day < itinerary.front().from) return {0, itinerary.front().from};
    const int last = static_cast<int>(itinerary.size()) - 1;
    Date asked = day;
    if (day >= itinerary.back().to) {
        if (repeat_months == 0) return {last, last_day};
        // Go back by whole rounds; months are counted from the day asked for, never stepped.
        int back = repeat_months;
        while (add_months(day, -back) >= itinerary.back().to) back += repeat_months;
        asked = add_months(day, -back);
    }
    const auto stay = std::find_if(itinerary.begin(), itinerary.end(), [&](const Stay& one) { return asked < one.to; });  // there is one
    return {static_cast<int>(stay - itinerary.begin()), day + std::max(1, std::min(stay->to - asked, 31))};
}

bool ages_alike(int a, int b, const std::vector<const ClockYear*>& clocks, const std::vector<double>& factors) {
    const auto i = static_cast<std::size_t>(a), j = static_cast<std::size_t>(b);
    return clocks[i] == clocks[j] && (factors.empty() || factors[i] == factors[j]);
}

/// The month from which on one clock goes on to the end and no day is dated; the number of months if there is none.
std::size_t steady_from(const std::vector<MonthOfStay>& months, const std::vector<const ClockYear*>& clocks,
                        const std::vector<double>& factors) {
    for (const MonthOfStay& month : months)
        if (month.stay < 0 || static_cast<std::size_t>(month.stay) >= clocks.size())
            throw_value_error("clocks", "a clock for stay " + std::to_string(month.stay), std::to_string(clocks.size()));
    const int last = months.back().stay;
    const DatedDays& dated = clocks[static_cast<std::size_t>(last)]->dated;
    std::size_t first = months.size();
    while (first > 0 && ages_alike(months[first - 1].stay, last, clocks, factors)) --first;
    while (first < months.size() && !dated.rate.empty() && months[first].from < dated.end()) ++first;
    // Not within a month, however its stays are cut.
    while (first > 0 && first < months.size() && months[first].month == months[first - 1].month &&
           ages_alike(months[first - 1].stay, last, clocks, factors))
        ++first;
    return first;
}

}  // namespace

std::vector<MonthOfStay> months_of_itinerary(const Itinerary& itinerary, Date from, Date to) {
    const int span = months_between(itinerary.front().from, std::min(itinerary.back().to, make_date(9999, 1, 1)));
    const bool open_end = year_month_day(itinerary.back().to).year >= 9999;
    const int repeat = itinerary.size() > 1 && !open_end && span >= 12 ? span / 12 * 12 : 0;
    std::vector<MonthOfStay> months;
    const YearMonthDay first = year_month_day(from);
    int year = first.year, month = first.month;
    for (Date day = from; day < to;) {
        const Date month_end{day_number(month == 12 ? year + 1 : year, month % 12 + 1)};
        const Held held = held_on(itinerary, day, repeat);
        const Date end = std::min({month_end, held.until, to});
        if (!months.empty() && months.back().to == day && months.back().stay == held.stay && months.back().month == month)
            months.back().to = end;
        else
            months.push_back({day, end, held.stay, year, month});
        day = end;
        if (day == month_end) {
            year += month == 12 ? 1 : 0;
            month = month % 12 + 1;
        }
    }
    return months;
}

SteadyYears::SteadyYears(const std::array<ClockTerms, 12>& rate, int first_year)
    : first_year_(first_year), first_leap_days_(leap_days_before(first_year)) {
    for (std::size_t m = 0; m < 12; ++m) {
        daily_[m] = (1 / days_per_year) * rate[m];
        total_daily_[m] = daily_[m].total();
        before_[m + 1] = before_[m] + (month_starts[m + 1] - month_starts[m]) * daily_[m];
        total_before_[m + 1] = before_[m + 1].total();
    }
}

double SteadyYears::start_of_year(int year) const {
    return (year - first_year_) * total_before_[12] + (leap_days_before(year) - first_leap_days_) * total_daily_[1];
}

template <class Sum>
auto SteadyYears::put_together(double day, const Sum& sum) const {
    const std::int32_t whole = floor_of(day);
    auto [year, in_year] = day_of_year(whole);
    const bool leap = is_leap(year);
    double leap_days = leap_days_before(year) - first_leap_days_;
    if (leap && in_year >= month_starts[2] + 1) {  // from 1 March on a leap year is a common one and a day of February
        leap_days += 1;
        in_year -= 1;
    } else if (leap && in_year == month_starts[2]) {
        return sum(year - first_year_, leap_days, std::size_t{2}, std::size_t{1}, day - whole);
    }
    auto month = static_cast<std::size_t>(in_year / 31);
    if (in_year >= month_starts[month + 1]) ++month;
    return sum(year - first_year_, leap_days, month, month, in_year - month_starts[month] + (day - whole));
}

ClockTerms SteadyYears::at(double day) const {
    return put_together(day, [&](int years, double leap_days, std::size_t before, std::size_t month, double days) {
        return years * before_[12] + leap_days * daily_[1] + before_[before] + days * daily_[month];
    });
}

double SteadyYears::total_at(double day) const {
    return put_together(day, [&](int years, double leap_days, std::size_t before, std::size_t month, double days) {
        return years * total_before_[12] + leap_days * total_daily_[1] + total_before_[before] + days * total_daily_[month];
    });
}

double SteadyYears::instant_of(double age) const {
    const double leap_day = total_daily_[1];
    int year = first_year_ + floor_of(age / (total_before_[12] + 0.2425 * leap_day));
    double start = start_of_year(year);
    while (start >= age && year > first_year_) start = start_of_year(--year);
    for (double next = start_of_year(year + 1); next < age; next = start_of_year(year + 1)) start = next, ++year;
    // The first month by whose end the age is reached.
    const bool leap = is_leap(year);
    const double longer = leap ? leap_day : 0;
    const auto end_of = [&](std::size_t month) { return start + total_before_[month] + (month >= 2 ? longer : 0); };
    std::size_t month = 1;
    for (std::size_t before = 1; before < 12; ++before) month += end_of(before) < age ? 1 : 0;  // nothing to guess for the processor
    const std::int32_t first_day = day_number(year, 1);
    const auto day_of_end = [&](std::size_t months) { return first_day + month_starts[months] + (months >= 2 && leap ? 1 : 0); };
    const double from = day_of_end(month - 1), from_age = month == 1 ? start : end_of(month - 1);
    const double to = day_of_end(month), to_age = end_of(month);
    return to_age > from_age ? std::clamp(from + (age - from_age) / (to_age - from_age) * (to - from), from, to) : from;
}

AgeTrack::AgeTrack(const std::vector<MonthOfStay>& months, const std::vector<const ClockYear*>& clocks,
                   const std::vector<double>& factors) {
    if (months.empty()) throw_value_error("months", "at least one", "none");
    if (!factors.empty() && factors.size() != clocks.size())
        throw_value_error("factors", std::to_string(clocks.size()) + " numbers, one per stay", std::to_string(factors.size()));
    for (const double factor : factors) require_not_negative(factor, "factors");
    const std::size_t steady = steady_from(months, clocks, factors);
    days_.reserve(steady + 1);
    sums_.reserve(steady + 1);
    days_.push_back(months.front().from.days);
    sums_.push_back({});
    for (std::size_t i = 0; i < steady;) {
        const auto stay = static_cast<std::size_t>(months[i].stay);
        const ClockYear& clock = *clocks[stay];
        const double factor = factors.empty() ? 1.0 : factors[stay];
        // Neighbours that age alike within a month are one piece: a stay cut in two changes no bit.
        Date to = months[i].to;
        for (++i; i < steady; ++i) {
            const bool alike = months[i].month == months[i - 1].month && ages_alike(months[i].stay, months[i - 1].stay, clocks, factors);
            if (!alike) break;
            to = months[i].to;
        }
        add_stretch(to, clock, months[i - 1].month, factor);
    }
    totals_.reserve(sums_.size());
    for (const ClockTerms& sum : sums_) totals_.push_back(totals_.empty() ? sum.total() : std::max(totals_.back(), sum.total()));
    end_ = months.back().to.days;
    end_sum_ = sums_.back();
    end_total_ = totals_.back();
    if (is_steady_after()) {
        const auto stay = static_cast<std::size_t>(months.back().stay);
        std::array<ClockTerms, 12> rate = clocks[stay]->month;
        if (!factors.empty())
            for (ClockTerms& month : rate) month = factors[stay] * month;
        steady_ = SteadyYears(rate, day_of_year(days_.back()).year);
        steady_start_ = steady_.at(days_.back());
        steady_start_total_ = steady_.total_at(days_.back());
        end_sum_ = sums_.back() + (steady_.at(end_) - steady_start_);
        end_total_ = totals_.back() + (steady_.total_at(end_) - steady_start_total_);
    }
    const auto mean_rate = [&](Date from, Date to) { return (1.0 / std::max(1, to - from)) * (at(to) - at(from)); };
    const Date start{days_.front()}, end{end_};
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
    if (day >= end_) return end_sum_ + (day - end_) * last_rate_;
    if (day >= days_.back()) return sums_.back() + (steady_.at(day) - steady_start_);
    const auto after = std::upper_bound(days_.begin(), days_.end(), day);
    const auto i = static_cast<std::size_t>(after - days_.begin()) - 1;
    const double part = (day - days_[i]) / (days_[i + 1] - days_[i]);
    return sums_[i] + part * (sums_[i + 1] - sums_[i]);
}

double AgeTrack::total_at(double day) const {
    if (day <= days_.front()) return (day - days_.front()) * first_rate_.total();
    if (day >= end_) return end_total_ + (day - end_) * last_rate_.total();
    if (day >= days_.back()) return totals_.back() + (steady_.total_at(day) - steady_start_total_);
    const auto after = std::upper_bound(days_.begin(), days_.end(), day);
    const auto i = static_cast<std::size_t>(after - days_.begin()) - 1;
    const double part = (day - days_[i]) / (days_[i + 1] - days_[i]);
    return totals_[i] + part * (totals_[i + 1] - totals_[i]);
}

double AgeTrack::instant_of_total(double age, double installed, double installed_total) const {
    const double latest = installed + search_years * days_per_year;
    if (!(age > 0)) return installed;
    const double wanted = installed_total + age;
    const auto beyond = [&](double day, double missing, double rate) {
        return rate > 0 ? std::min(latest, day + missing / rate) : latest;
    };
    if (wanted <= totals_.front())
        return std::max(installed, std::min<double>(days_.front(), beyond(days_.front(), wanted - totals_.front(), first_rate_.total())));
    if (wanted > totals_.back()) {
        if (wanted > end_total_) return beyond(end_, wanted - end_total_, last_rate_.total());
        const double instant = steady_.instant_of(steady_start_total_ + wanted - totals_.back());
        return std::clamp(std::clamp<double>(instant, days_.back(), end_), installed, latest);
    }
    const auto reached = std::lower_bound(totals_.begin(), totals_.end(), wanted);
    const auto i = static_cast<std::size_t>(reached - totals_.begin());
    const double part = (wanted - totals_[i - 1]) / (totals_[i] - totals_[i - 1]);
    return std::clamp(days_[i - 1] + part * (days_[i] - days_[i - 1]), installed, latest);
}

Date AgeTrack::day_of_total(double age, Date installed, double installed_total) const {
    if (!(age > 0)) return installed;
    const Date latest = std::min(installed + static_cast<int>(search_years * days_per_year), last_day);
    const double instant = instant_of_total(age, installed.days, installed_total);
    if (instant >= latest.days) return latest;
    const std::int32_t whole = floor_of(instant);
    const double into = instant - whole;
    Date day = std::max(installed, Date{whole + (into > 0 ? 1 : 0)});
    constexpr double rounding = 1e-3;  // far above that of the inverse, in days
    if (into > rounding && into < 1 - rounding && instant > installed.days) return day;
    // Close to a morning the inverse may round to either side: the morning itself decides.
    const auto reached = [&](Date on) { return total_at(on.days) - installed_total >= age; };
    while (day > installed && reached(day - 1)) day = day - 1;
    while (day < latest && !reached(day)) day = day + 1;
    return day;
}

std::vector<Date> AgeTrack::days_of_ages(const std::vector<double>& ages, Date installed) const {
    const double installed_total = total_at(installed.days);
    std::vector<Date> days;
    days.reserve(ages.size());
    for (const double age : ages) days.push_back(day_of_total(age, installed, installed_total));
    return days;
}

ClockTerms switched_age(const AgeTrack& before, const AgeTrack& after, Date installed, Date switch_day, Date day) {
    const Date change = std::clamp(switch_day, installed, std::max(installed, day));
    return before.at(change) - before.at(installed) + (after.at(day) - after.at(change));
}

}  // namespace libseal
