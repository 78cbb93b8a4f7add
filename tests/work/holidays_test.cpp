#include "libseal/work/holidays.hpp"

#include <set>

#include "libseal/core/error.hpp"
#include "support/catch.hpp"
#include "support/problems.hpp"
#include "support/published.hpp"

using namespace libseal;

TEST_CASE("Easter falls where the tables have it", "[work][published]") {
    // Dates of the project's science notes: church tables; 1818 and 2285 the earliest possible, 1943 and 2038 the latest.
    struct Case {
        int year, month, day;
    };
    const std::vector<Case> cases{{1818, 3, 22}, {1943, 4, 25}, {2000, 4, 23}, {2008, 3, 23}, {2011, 4, 24}, {2024, 3, 31},
                                  {2025, 4, 20}, {2026, 4, 5},  {2027, 3, 28}, {2028, 4, 16}, {2038, 4, 25}, {2285, 3, 22}};
    for (const Case& c : cases) CHECK(to_text(easter(c.year)) == to_text(make_date(c.year, c.month, c.day)));
    libseal_test::count_published("Easter, Gregorian tables", static_cast<int>(cases.size()));
    for (int year = 1583; year <= 9999; year += 7) {
        const Date day = easter(year);
        CHECK(weekday(day) == 6);
        CHECK(day >= make_date(year, 3, 22));
        CHECK(day <= make_date(year, 4, 25));
    }
    CHECK_THROWS_AS(easter(1582), ValueError);
}

TEST_CASE("federal holidays are observed on the days that 5 U.S.C. 6103 gives", "[work][published]") {
    const HolidayRules& rules = holiday_rules("us_federal");
    std::string text;
    for (const Holiday& one : holidays(rules, 2026)) text += to_text(one.day).substr(5) + " ";
    CHECK(text == "01-01 01-19 02-16 05-25 06-19 07-03 09-07 10-12 11-11 11-26 12-25 ");
    // 1 January 2028 is a Saturday: observed in 2027, which has twelve days off, and 2028 ten.
    CHECK(holidays(rules, 2027).size() == 12);
    CHECK(to_text(holidays(rules, 2027).back().day) == "2027-12-31");
    CHECK(holidays(rules, 2028).size() == 10);
    CHECK(is_holiday(rules, make_date(2021, 12, 31)));
    CHECK_FALSE(is_holiday(rules, make_date(2020, 6, 19)));
    const int counts[] = {250, 250, 249};
    for (int i = 0; i < 3; ++i)
        CHECK(business_days(make_date(2025 + i, 1, 1), make_date(2026 + i, 1, 1), rules) == counts[i]);
    libseal_test::count_published("5 U.S.C. 6103", 14);
}

TEST_CASE("adding days of business and counting them agree", "[work][law]") {
    const HolidayRules& rules = holiday_rules("us_federal");
    const Date start = make_date(2027, 12, 20);
    for (int d = 0; d < 40; ++d)
        for (const int n : {1, 2, 5, 23, 260}) {
            const Date day = start + d, later = add_business_days(day, n, rules);
            CHECK(business_days(day + 1, later + 1, rules) == n);
            CHECK(next_business_day(later, rules) == later);
            const Date earlier = add_business_days(day, -n, rules);
            CHECK(business_days(earlier, day, rules) == n);
        }
    CHECK(next_business_day(make_date(2027, 12, 31), rules) == make_date(2028, 1, 3));
    CHECK(add_business_days(make_date(2027, 12, 31), 0, rules) == make_date(2028, 1, 3));
    CHECK(business_days(start, start, rules) == 0);
    CHECK_THROWS_AS(business_days(start, start - 1, rules), ValueError);
}

TEST_CASE("a shop's own rules are read, and wrong ones are named with their place", "[work][bad_input]") {
    const std::string text = R"({"schema": "libseal/holidays/1", "name": "own", "rules": [
  {"name": "Good Friday", "easter": -2},
  {"name": "leap", "month": 2, "day": 29},
  {"name": "last Friday", "month": 5, "weekday": "friday", "nth": -1},
  {"name": "fifth Monday", "month": 3, "weekday": "monday", "nth": 5},
  {"name": "Sunday moves", "month": 8, "day": 1, "shift": "sunday_to_monday"}]})";
    const HolidayRules rules = read_holiday_rules_text(text, "own.json");
    std::string days;
    for (const int year : {2027, 2028})
        for (const Holiday& one : holidays(rules, year)) days += to_text(one.day) + " ";
    // By hand: the last Fridays of May, no fifth Monday in March 2028; 1 August 2027 is a Sunday.
    CHECK(days == "2027-03-26 2027-03-29 2027-05-28 2027-08-02 2028-02-29 2028-04-14 2028-05-26 2028-08-01 ");
    struct Case {
        std::string from, to, field;
        int line;
    };
    const Case c = GENERATE(Case{"\"easter\": -2", "\"easter\": -200", "rules[0].easter", 2},
                            Case{"\"easter\": -2", "\"esater\": -2", "rules[0].esater", 2},
                            Case{"\"day\": 29", "\"day\": 30", "rules[1].day", 3},
                            Case{"\"nth\": -1", "\"nth\": 0", "rules[2].nth", 4},
                            Case{"\"friday\"", "\"fryday\"", "rules[2].weekday", 4},
                            Case{"sunday_to_monday", "monday", "rules[4].shift", 6});
    const auto problems = libseal_test::problems_of(
        [&] { read_holiday_rules_text(libseal_test::replaced(text, c.from, c.to), "own.json"); });
    REQUIRE_FALSE(problems.empty());
    CAPTURE(c.from, c.to);
    CHECK(problems[0].field == c.field);
    CHECK(problems[0].line == c.line);
    CHECK_THROWS_AS(holiday_rules("us_fedral"), ValueError);
    CHECK_THROWS_AS(holidays(rules, 1400), ValueError);
}

TEST_CASE("each way of moving a weekend's holiday, and the years in which a rule holds", "[work]") {
    const auto days = [](const std::string& rule, int first, int last) {
        const HolidayRules rules = read_holiday_rules_text(R"({"schema": "libseal/holidays/1", "name": "own", "rules": [{"name": "day", )" + rule + "}]}", "own.json");
        std::string text;
        for (int year = first; year <= last; ++year)
            for (const Holiday& one : holidays(rules, year)) text += to_text(one.day) + " ";
        return text;
    };
    // By the calendar: 1 August is a Friday in 2025, a Saturday in 2026, a Sunday in 2027 and a Tuesday in 2028.
    const std::string august = "\"month\": 8, \"day\": 1";
    CHECK(days(august, 2025, 2028) == "2025-08-01 2026-08-01 2027-08-01 2028-08-01 ");
    CHECK(days(august + ", \"shift\": \"none\"", 2026, 2027) == "2026-08-01 2027-08-01 ");
    CHECK(days(august + ", \"shift\": \"friday_or_monday\"", 2025, 2028) == "2025-08-01 2026-07-31 2027-08-02 2028-08-01 ");
    CHECK(days(august + ", \"shift\": \"sunday_to_monday\"", 2025, 2028) == "2025-08-01 2026-08-01 2027-08-02 2028-08-01 ");
    CHECK(days(august + ", \"shift\": \"weekend_to_monday\"", 2025, 2028) == "2025-08-01 2026-08-03 2027-08-02 2028-08-01 ");
    // Both years of the rule count; an observed day may lie outside them: 1 January 2028 is a Saturday.
    CHECK(days(august + ", \"since\": 2026, \"until\": 2027", 2025, 2028) == "2026-08-01 2027-08-01 ");
    const std::string new_year = "\"month\": 1, \"day\": 1, \"since\": 2028, \"until\": 2028, \"shift\": ";
    CHECK(days(new_year + "\"friday_or_monday\"", 2026, 2029) == "2027-12-31 ");
    CHECK(days(new_year + "\"weekend_to_monday\"", 2026, 2029) == "2028-01-03 ");
    // 31 December 2028 is a Sunday: its Monday is in the next year.
    CHECK(days("\"month\": 12, \"day\": 31, \"since\": 2028, \"until\": 2028, \"shift\": \"sunday_to_monday\"", 2027, 2029) == "2029-01-01 ");
    // A weekday of the first of a month and of its last day: May 2027 begins on a Saturday and ends on a Monday.
    CHECK(days("\"month\": 5, \"weekday\": \"saturday\", \"nth\": 1", 2027, 2027) == "2027-05-01 ");
    CHECK(days("\"month\": 5, \"weekday\": \"monday\", \"nth\": -1", 2027, 2027) == "2027-05-31 ");
    CHECK(days("\"month\": 5, \"weekday\": \"monday\", \"nth\": 5", 2027, 2027) == "2027-05-31 ");
}
