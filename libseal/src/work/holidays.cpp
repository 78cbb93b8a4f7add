#include "libseal/work/holidays.hpp"

#include <algorithm>
#include <cstdlib>
#include <optional>

#include "core/json.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

using detail::JsonView;

constexpr int first_year = 1584, last_year = 9998;

const char* const us_federal_text = R"({
  "schema": "libseal/holidays/1",
  "name": "us_federal",
  "source": "5 U.S.C. 6103; first years from memory",
  "rules": [
    {"name": "New Year's Day", "month": 1, "day": 1, "shift": "friday_or_monday"},
    {"name": "Birthday of Martin Luther King, Jr.", "month": 1, "weekday": "monday", "nth": 3, "since": 1986},
    {"name": "Washington's Birthday", "month": 2, "weekday": "monday", "nth": 3, "since": 1971},
    {"name": "Memorial Day", "month": 5, "weekday": "monday", "nth": -1, "since": 1971},
    {"name": "Juneteenth National Independence Day", "month": 6, "day": 19, "since": 2021, "shift": "friday_or_monday"},
    {"name": "Independence Day", "month": 7, "day": 4, "shift": "friday_or_monday"},
    {"name": "Labor Day", "month": 9, "weekday": "monday", "nth": 1, "since": 1894},
    {"name": "Columbus Day", "month": 10, "weekday": "monday", "nth": 2, "since": 1971},
    {"name": "Veterans Day", "month": 11, "day": 11, "since": 1978, "shift": "friday_or_monday"},
    {"name": "Thanksgiving Day", "month": 11, "weekday": "thursday", "nth": 4, "since": 1942},
    {"name": "Christmas Day", "month": 12, "day": 25, "shift": "friday_or_monday"}
  ]
})";

const std::vector<std::string>& weekday_names() {
    static const std::vector<std::string> names{"monday", "tuesday",  "wednesday", "thursday",
                                                "friday", "saturday", "sunday"};
    return names;
}

int days_in(int year, int month) {
    return month == 12 ? 31 : make_date(year, month + 1, 1) - make_date(year, month, 1);
}

std::optional<Date> nominal(const HolidayRule& rule, int year) {
    if (year < rule.since || year > rule.until) return std::nullopt;
    if (rule.kind == "easter") return easter(year) + rule.offset;
    const int length = days_in(year, rule.month);
    if (rule.kind == "date")
        return rule.day <= length ? std::optional(make_date(year, rule.month, rule.day)) : std::nullopt;
    const Date first = make_date(year, rule.month, 1);
    const int front = (rule.weekday - weekday(first) + 7) % 7;
    const int day = rule.nth > 0 ? front + 7 * (rule.nth - 1) : front + 7 * ((length - 1 - front) / 7);
    return day < length ? std::optional(first + day) : std::nullopt;
}

std::optional<Date> observed(const HolidayRule& rule, int year) {
    const std::optional<Date> day = nominal(rule, year);
    if (!day) return day;
    const int on = weekday(*day);
    if (on == 5 && rule.shift == "friday_or_monday") return *day - 1;
    if (on == 5 && rule.shift == "weekend_to_monday") return *day + 2;
    if (on == 6 && rule.shift != "none") return *day + 1;
    return day;
}

HolidayRule read_rule(const JsonView& view) {
    view.check_keys({"name", "month", "day", "weekday", "nth", "easter", "since", "until", "shift"});
    HolidayRule rule;
    rule.name = view.required("name").text();
    rule.since = static_cast<int>(view.member("since").integer(1400, 9999, rule.since));
    rule.until = static_cast<int>(view.member("until").integer(1400, 9999, rule.until));
    rule.shift = view.member("shift").word({"none", "friday_or_monday", "sunday_to_monday", "weekend_to_monday"}, "none");
    const bool day = view.member("day").present(), on = view.member("weekday").present(),
               moves = view.member("easter").present();
    if (day + on + moves != 1) {
        view.fail("one of day, weekday and easter", std::to_string(day + on + moves) + " of them");
        return rule;
    }
    if (moves) {
        rule.kind = "easter";
        rule.offset = static_cast<int>(view.member("easter").integer(-80, 250, 0));
        return rule;
    }
    rule.month = static_cast<int>(view.required("month").integer(1, 12, 1));
    if (day) {
        rule.day = static_cast<int>(view.member("day").integer(1, days_in(2000, rule.month), 1));
        return rule;
    }
    rule.kind = "weekday";
    const std::string name = view.member("weekday").word(weekday_names(), weekday_names()[0]);
    rule.weekday = static_cast<int>(
        std::find(weekday_names().begin(), weekday_names().end(), name) - weekday_names().begin());
    rule.nth = static_cast<int>(view.required("nth").integer(-1, 5, 1));
    if (rule.nth == 0) view.member("nth").fail("1 to 5, or -1 for the last", "0");
    return rule;
}

void check_year(int year) {
    if (year < first_year || year > last_year)
        throw_value_error("year", std::to_string(first_year) + " to " + std::to_string(last_year),
                          std::to_string(year));
}

/// Asks many days, most of them of the year before.
class BusinessDays {
public:
    explicit BusinessDays(const HolidayRules& rules) : rules_(rules) {}
    bool on(Date day) {
        if (weekday(day) >= 5) return false;
        if (const int year = year_month_day(day).year; year != year_) {
            holidays_ = holidays(rules_, year);
            year_ = year;
        }
        return !std::binary_search(holidays_.begin(), holidays_.end(), Holiday{day, ""}, [](const Holiday& a, const Holiday& b) { return a.day < b.day; });
    }

private:
    const HolidayRules& rules_;
    int year_ = 0;
    std::vector<Holiday> holidays_;
};

}  // namespace

Date easter(int year) {
    if (year < 1583 || year > 9999) throw_value_error("year", "1583 to 9999", std::to_string(year));
    const int a = year % 19, b = year / 100, c = year % 100, d = b / 4, e = b % 4, f = (b + 8) / 25;
    const int g = (b - f + 1) / 3, h = (19 * a + b - d - g + 15) % 30, i = c / 4, k = c % 4;
    const int l = (32 + 2 * e + 2 * i - h - k) % 7, m = (a + 11 * h + 22 * l) / 451;
    const int n = h + l - 7 * m + 114;
    return make_date(year, n / 31, n % 31 + 1);
}

const HolidayRules& holiday_rules(std::string_view name) {
    static const HolidayRules us_federal = read_holiday_rules_text(us_federal_text, "us_federal");
    if (name != "us_federal") {
        const std::string near = nearest_name(name, holiday_rule_names());
        throw_value_error("holiday_rules", "\"us_federal\"", "\"" + std::string(name) + "\"",
                          near.empty() ? "" : "did you mean " + near + "?");
    }
    return us_federal;
}

std::vector<std::string> holiday_rule_names() { return {"us_federal"}; }

HolidayRules read_holiday_rules_text(std::string_view text, const std::string& name) {
    const detail::JsonDocument document{std::string(text), name};
    detail::Problems problems;
    const JsonView root = JsonView::root(document, problems);
    HolidayRules result;
    if (root.check_schema("libseal/holidays/1")) {
        root.check_keys({"schema", "name", "source", "rules"});
        result.name = root.required("name").text();
        result.source = root.member("source").text();
        for (const JsonView& view : root.required("rules").items(limits::holiday_rules)) result.rules.push_back(read_rule(view));
    }
    problems.throw_if_any();
    return result;
}

HolidayRules read_holiday_rules(const std::string& path) {
    return read_holiday_rules_text(read_text_file(path), path);
}

std::vector<Holiday> holidays(const HolidayRules& rules, int year) {
    check_year(year);
    std::vector<Holiday> days;
    // An observed day may lie in the year before or after its own.
    for (const HolidayRule& rule : rules.rules)
        for (int y = year - 1; y <= year + 1; ++y)
            if (const auto day = observed(rule, y); day && year_month_day(*day).year == year)
                days.push_back({*day, rule.name});
    std::stable_sort(days.begin(), days.end(), [](const Holiday& a, const Holiday& b) { return a.day < b.day; });
    return days;
}

bool is_holiday(const HolidayRules& rules, Date day) {
    const int year = year_month_day(day).year;
    check_year(year);
    for (const HolidayRule& rule : rules.rules)
        for (int y = year - 1; y <= year + 1; ++y)
            if (observed(rule, y) == day) return true;
    return false;
}

int business_days(Date begin, Date end, const HolidayRules& rules) {
    if (begin > end) throw_value_error("end", "at or after " + to_text(begin), to_text(end));
    int count = 0;
    BusinessDays business(rules);
    for (Date day = begin; day < end; day = day + 1) count += business.on(day) ? 1 : 0;
    return count;
}

Date next_business_day(Date day, const HolidayRules& rules) {
    BusinessDays business(rules);
    while (!business.on(day)) day = day + 1;
    return day;
}

Date add_business_days(Date day, int n, const HolidayRules& rules) {
    if (n < -100000 || n > 100000) throw_value_error("n", "-100000 to 100000", std::to_string(n));
    if (n == 0) return next_business_day(day, rules);
    BusinessDays business(rules);
    for (int left = std::abs(n); left > 0;) {
        day = n > 0 ? day + 1 : day - 1;
        if (business.on(day)) --left;
    }
    return day;
}

}  // namespace libseal
