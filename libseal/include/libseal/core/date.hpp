#pragma once
// Calendar days and instants. Boost.Date_Time does the work in src/; this header stays cheap.

#include <compare>
#include <cstdint>
#include <string>
#include <string_view>

namespace libseal {

/// A day of the Gregorian calendar, years 1400 to 9999.
struct Date {
    std::int32_t days = 0;  ///< since 1970-01-01
    auto operator<=>(const Date&) const = default;
};

inline Date operator+(Date d, int days) { return {d.days + days}; }
inline Date operator-(Date d, int days) { return {d.days - days}; }
inline int operator-(Date a, Date b) { return a.days - b.days; }

struct YearMonthDay {
    int year;   ///< of the Gregorian calendar
    int month;  ///< 1 to 12
    int day;    ///< 1 to 31
};

/// @throws ValueError  if there is no such day.
Date make_date(int year, int month, int day);
YearMonthDay year_month_day(Date date);
/// 0 Monday ... 6 Sunday.
int weekday(Date date);
/// Day of the year, 1 to 366.
int day_of_year(Date date);
/// anchor + months, the day cut to the end of a shorter month. Count months from an anchor, never step.
Date add_months(Date anchor, int months);
/// anchor + years, in days of 365.25, rounded to the nearest day; cut to the calendar's ends.  @param years  [yr]
Date add_years(Date anchor, double years);
/// (b - a) in years of 365.25 days. [yr]
double years_between(Date a, Date b);

/// "2026-04-13".
std::string to_text(Date date);
/// Reads "2026-04-13". @throws ValueError  naming the text.
Date parse_date(std::string_view text);
/// The same without throwing; false if the text is not a date.
bool try_parse_date(std::string_view text, Date& date);

/// An instant: seconds since 1970-01-01T00:00:00 UTC, no leap seconds.
using Instant = std::int64_t;

/// Instant of a civil UTC time; hours may run over 24.
Instant make_instant(int year, int month, int day, int hour = 0, int minute = 0, int second = 0);
/// Day that holds the instant. floor, also before 1970.
inline Date date_of(Instant t) { return {static_cast<std::int32_t>(t >= 0 ? t / 86400 : -((86399 - t) / 86400))}; }
/// "2026-04-13T15:30:00Z".
std::string to_text_utc(Instant t);

}  // namespace libseal
