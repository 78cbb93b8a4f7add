#pragma once
// Holidays by rule, and days of business between dates.

#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "libseal/core/date.hpp"

namespace libseal {

/// One holiday of every year: a date, the nth weekday of a month, or days from Easter Sunday.
struct HolidayRule {
    std::string name{};
    std::string kind = "date";  ///< "date" (month, day), "weekday" (month, weekday, nth) or "easter" (offset)
    int month = 1;              ///< 1 to 12
    int day = 1;                ///< 1 to 31; a year without that day has no such holiday
    int weekday = 0;            ///< 0 Monday ... 6 Sunday
    int nth = 1;                ///< 1 to 5 from the front, -1 the last of the month
    int offset = 0;             ///< [d] after Easter Sunday, negative before
    int since = 1400;           ///< first year
    int until = 9999;           ///< last year
    /// When it falls on a weekend: "none", "friday_or_monday" (Saturday to Friday, Sunday to Monday), "sunday_to_monday",
    /// "weekend_to_monday".
    std::string shift = "none";
};

/// Holidays of a country or trade.
struct HolidayRules {
    std::string name{};
    std::string source{};
    std::vector<HolidayRule> rules{};
};

/// A day off by a rule, with the name that the rule gives it.
struct Holiday {
    Date day{};        ///< as observed
    std::string name{};
};

/// Easter Sunday of the Gregorian calendar. @throws ValueError  unless 1583 <= year <= 9999.
/// @source  Anonymous Gregorian algorithm (Meeus, Astronomical Algorithms).
Date easter(int year);

/// Rules inside the library: "us_federal".
/// @throws ValueError  unknown name, with the nearest known one.  @source  5 U.S.C. 6103.
const HolidayRules& holiday_rules(std::string_view name);
/// Names that `holiday_rules` takes.
std::vector<std::string> holiday_rule_names();

/// Reads rules, schema `libseal/holidays/1`.
/// @throws FileError, ValueError  with line, column and field of up to 50 problems.
HolidayRules read_holiday_rules(const std::string& path);
/// The same from text in memory; `name` stands for the file in errors.
HolidayRules read_holiday_rules_text(std::string_view text, const std::string& name);

/// Days off that are observed within a year, in order. 1 January on a Saturday may be observed in the year before.
/// @throws ValueError  unless 1584 <= year <= 9998.
std::vector<Holiday> holidays(const HolidayRules& rules, int year);
/// Is a day observed as a holiday?
bool is_holiday(const HolidayRules& rules, Date day);

/// Days of business in [begin, end): Monday to Friday without holidays.
/// @throws ValueError  if begin > end or the years are beyond those of `holidays`.
int business_days(Date begin, Date end, const HolidayRules& rules);
/// The first day of business on or after a day.
Date next_business_day(Date day, const HolidayRules& rules);
/// The nth day of business after a day (n > 0) or before it (n < 0); for 0 the first on or after it.
/// @throws ValueError  unless |n| <= 100000 and the result is within the years of `holidays`.
Date add_business_days(Date day, int n, const HolidayRules& rules);

}  // namespace libseal
