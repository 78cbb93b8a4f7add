// Calendars at the borders of what may be asked for.

#include <algorithm>
#include <limits>

#include "calendar/world.hpp"
#include "libseal/core/error.hpp"
#include "support/catch.hpp"
#include "support/problems.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

/// Synthetic: one coach, nothing seen on it, every layer due on `due`.
World due_on(Date due) {
    World w = world(23, 1);
    w.options.findings.clear();
    w.options.detailed_coaches = 0;
    w.forecast.due_50.setConstant(due.days);
    return w;
}

std::vector<const Visit*> of_kind(const Calendar& calendar, const std::string& kind) {
    std::vector<const Visit*> visits;
    for (const Visit& visit : calendar.visits)
        if (visit.kind == kind) visits.push_back(&visit);
    return visits;
}

}  // namespace

TEST_CASE("days before and after the due date may be any number: work that can wait does not begin before its year", "[calendar][bad_input]") {
    World w = due_on(make_date(2027, 6, 1));
    const Calendar usual = calendar_of(w);
    REQUIRE_FALSE(of_kind(usual, "work").empty());
    // 400 days reach the end of the year as well as any more do.
    w.options.earliest_days = w.options.latest_days = 400;
    const std::string all_year = calendar_of(w).json_text();
    w.options.earliest_days = w.options.latest_days = std::numeric_limits<int>::max();
    const Calendar any = calendar_of(w);
    CHECK(any.json_text() == all_year);
    CHECK(faults(any, sample_shop()) == "");
    for (const Visit* visit : of_kind(any, "work")) CHECK(visit->window.earliest >= make_date(2027, 1, 1));
}

TEST_CASE("a year that no forecast reaches is refused", "[calendar][bad_input]") {
    const World w = due_on(make_date(2027, 6, 1));
    const auto problem = [&](int year) {
        const auto problems = problems_of([&] { year_calendar(w.fleet, year, sample_shop(), w.forecast, w.options); });
        return problems.empty() ? Problem{} : problems.front();
    };
    REQUIRE(w.forecast.as_of == make_date(2026, 11, 25));
    CHECK(problem(2076).field == "year");
    CHECK(problem(2076).expected == "a year at most 49 after 2026-11-25");
    CHECK(problem(2200).got == "2200");
    CHECK(problem(2030).field == "");
}

TEST_CASE("a warranty of few days has a look as often all through the year, or says what is missing", "[calendar][law]") {
    World w = due_on(make_date(2040, 1, 1));  // nothing but looks
    w.forecast.inspect_by.setConstant(make_date(2027, 2, 1).days);
    w.options.warranty_days = 10;
    const Shop shop = sample_shop();
    const Calendar calendar = calendar_of(w, shop);
    CHECK(faults(calendar, shop) == "");
    CHECK(calendar.unplaced.empty());
    std::vector<Date> looks{w.forecast.as_of};
    for (const Visit* visit : of_kind(calendar, "inspection")) looks.push_back(visit->first);
    // 402 days from 25 November to the end of the next year: none of 10 days is without a look, but for a weekend or a holiday at their end.
    REQUIRE(looks.size() > 36);
    CHECK(looks.size() < 99);
    for (std::size_t i = 2; i < looks.size(); ++i) CHECK(looks[i] - looks[i - 1] <= 10);
    CHECK(make_date(2027, 12, 31) - looks.back() <= 10);
    // Every day or two: a hundredth look of a year is told, not dropped.
    w.options.warranty_days = 1;
    const Calendar daily = calendar_of(w, shop);
    CHECK(of_kind(daily, "inspection").size() == 99);
    REQUIRE(daily.unplaced.size() == 1);
    CHECK(daily.unplaced[0].action == "inspection");
    CHECK(daily.unplaced[0].constraint == "a calendar holds at most 99 looks at a coach");
    CHECK(daily.unplaced[0].due > of_kind(daily, "inspection").back()->first);
}

TEST_CASE("the way out of a trip is a day that is still to come", "[calendar]") {
    World w = due_on(make_date(2027, 6, 1));
    const std::string coach = w.fleet.coaches[0].id;
    const auto way_out = [&](Date from) {
        w.options.owner_dates = {{coach, from, make_date(2028, 6, 1), "trip", 100, ""}};
        const Calendar calendar = calendar_of(w);
        REQUIRE_FALSE(calendar.unplaced.empty());
        return calendar.unplaced[0].relaxation;
    };
    CHECK(way_out(make_date(2027, 1, 1)) == "a day at the shop before 2027-01-01");
    CHECK(way_out(make_date(2020, 1, 1)) == "a day at the shop before the trip ends");
}
