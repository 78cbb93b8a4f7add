#include "support/catch.hpp"

#include "libseal/core/date.hpp"
#include "libseal/core/error.hpp"
#include "support/problems.hpp"

using namespace libseal;

TEST_CASE("a date survives its text", "[law]") {
    const int days = GENERATE(-200000, -1, 0, 1, 19000, 20788, 2000000);
    CHECK(parse_date(to_text(Date{days})).days == days);
}

TEST_CASE("months are counted from an anchor and cut to a shorter month", "[core]") {
    const Date anchor = make_date(2026, 1, 31);
    CHECK(to_text(add_months(anchor, 1)) == "2026-02-28");
    CHECK(to_text(add_months(anchor, 2)) == "2026-03-31");
    CHECK(to_text(add_months(anchor, 25)) == "2028-02-29");
    CHECK(to_text(add_months(anchor, -2)) == "2025-11-30");
}

TEST_CASE("months lead to no year that a date does not have, however many they are", "[core][bad_input]") {
    const Date anchor = make_date(2026, 1, 31);
    CHECK(to_text(add_months(anchor, 12 * 7973 + 11)) == "9999-12-31");
    CHECK(to_text(add_months(anchor, -12 * 626)) == "1400-01-31");
    for (const int months : {12 * 7973 + 12, -12 * 626 - 1, 2147483647, -2147483647 - 1}) {
        const auto problems = libseal_test::problems_of([&] { add_months(anchor, months); });
        REQUIRE(problems.size() == 1);
        CHECK(problems[0].field == "months");
        CHECK(problems[0].got == std::to_string(months));
    }
}

TEST_CASE("days of the week and of the year follow the calendar", "[core]") {
    CHECK(weekday(make_date(2026, 11, 25)) == 2);  // a Wednesday
    CHECK(weekday(make_date(1969, 12, 31)) == 2);
    CHECK(day_of_year(make_date(2024, 12, 31)) == 366);
}

TEST_CASE("what is no day is refused", "[core]") {
    CHECK_THROWS_AS(make_date(2026, 2, 29), ValueError);
    CHECK_THROWS_AS(parse_date("2026-2-9"), ValueError);
    CHECK_THROWS_AS(parse_date("2026-04-31"), ValueError);
    Date date;
    CHECK_FALSE(try_parse_date("13/04/2026", date));
}

TEST_CASE("an instant before 1970 falls on its own day", "[core]") {
    CHECK(to_text_utc(make_instant(1969, 12, 31, 23, 59, 59)) == "1969-12-31T23:59:59Z");
    CHECK(date_of(-1) == make_date(1969, 12, 31));
    CHECK(date_of(make_instant(2001, 1, 1, 24)) == make_date(2001, 1, 2));
}
