#include "libseal/core/date.hpp"

#include <algorithm>
#include <boost/date_time/gregorian/gregorian_types.hpp>
#include <charconv>
#include <cmath>
#include <cstdio>

#include "libseal/core/error.hpp"

namespace libseal {
namespace {

namespace greg = boost::gregorian;
constexpr int first_year = 1400;  // the range of Boost.Date_Time
constexpr int last_year = 9999;

bool day_exists(int year, int month, int day) {
    return year >= first_year && year <= last_year && month >= 1 && month <= 12 && day >= 1 &&
           day <= greg::gregorian_calendar::end_of_month_day(static_cast<unsigned short>(year),
                                                             static_cast<unsigned short>(month));
}

std::int32_t days_of(int year, int month, int day) {
    static const auto epoch = greg::date(1970, 1, 1).day_number();
    const greg::date date(static_cast<unsigned short>(year), static_cast<unsigned short>(month),
                          static_cast<unsigned short>(day));
    return static_cast<std::int32_t>(static_cast<long long>(date.day_number()) - static_cast<long long>(epoch));
}

greg::date to_boost(Date date) {
    static const Date lowest{days_of(first_year, 1, 1)}, highest{days_of(last_year, 12, 31)};
    if (date < lowest || date > highest)
        throw_value_error("date", "a day of the years 1400 to 9999", std::to_string(date.days) + " days since 1970-01-01");
    return greg::date(1970, 1, 1) + greg::days(date.days);
}

}  // namespace

Date make_date(int year, int month, int day) {
    if (!day_exists(year, month, day))
        throw_value_error("date", "a day of the years 1400 to 9999",
                          std::to_string(year) + "-" + std::to_string(month) + "-" + std::to_string(day));
    return {days_of(year, month, day)};
}

YearMonthDay year_month_day(Date date) {
    const auto ymd = to_boost(date).year_month_day();
    return {ymd.year, ymd.month, ymd.day};
}

int weekday(Date date) {
    const int day = (date.days + 3) % 7;  // 1970-01-01 was a Thursday
    return day < 0 ? day + 7 : day;
}

int day_of_year(Date date) { return to_boost(date).day_of_year(); }

Date add_months(Date anchor, int months) {
    const YearMonthDay ymd = year_month_day(anchor);
    const std::int64_t index = ymd.year * 12 + ymd.month - 1 + std::int64_t{months};
    if (index < 12 * first_year || index >= 12 * (last_year + 1))
        throw_value_error("months", "a result in the years 1400 to 9999", std::to_string(months));
    const int year = static_cast<int>(index / 12), month = static_cast<int>(index % 12) + 1;
    const int last = greg::gregorian_calendar::end_of_month_day(static_cast<unsigned short>(year),
                                                                static_cast<unsigned short>(month));
    return make_date(year, month, std::min(ymd.day, last));
}

Date add_years(Date anchor, double years) {
    static const double lowest = days_of(first_year, 1, 1), highest = days_of(last_year, 12, 31);
    const double days = anchor.days + std::round(years * 365.25);
    if (std::isnan(days)) throw_value_error("years", "a number", "nan");
    return {static_cast<std::int32_t>(std::clamp(days, lowest, highest))};
}

double years_between(Date a, Date b) { return (b.days - a.days) / 365.25; }

std::string to_text(Date date) {
    const YearMonthDay ymd = year_month_day(date);
    char text[40];
    std::snprintf(text, sizeof text, "%04d-%02d-%02d", ymd.year, ymd.month, ymd.day);
    return text;
}

bool try_parse_date(std::string_view text, Date& date) {
    if (text.size() != 10 || text[4] != '-' || text[7] != '-') return false;
    int parts[3];
    const std::string_view pieces[3] = {text.substr(0, 4), text.substr(5, 2), text.substr(8, 2)};
    for (int i = 0; i < 3; ++i) {
        for (const char c : pieces[i])
            if (c < '0' || c > '9') return false;
        std::from_chars(pieces[i].data(), pieces[i].data() + pieces[i].size(), parts[i]);
    }
    if (!day_exists(parts[0], parts[1], parts[2])) return false;
    date = {days_of(parts[0], parts[1], parts[2])};
    return true;
}

Date parse_date(std::string_view text) {
    Date date;
    if (!try_parse_date(text, date))
        throw_value_error("date", "a date such as 2026-04-13", "\"" + std::string(text) + "\"");
    return date;
}

Instant make_instant(int year, int month, int day, int hour, int minute, int second) {
    return static_cast<Instant>(make_date(year, month, day).days) * 86400 + hour * 3600 + minute * 60 + second;
}

std::string to_text_utc(Instant t) {
    const Date day = date_of(t);
    const int s = static_cast<int>(t - static_cast<Instant>(day.days) * 86400);
    char text[40];
    std::snprintf(text, sizeof text, "T%02d:%02d:%02dZ", s / 3600, s / 60 % 60, s % 60);
    return to_text(day) + text;
}

}  // namespace libseal
