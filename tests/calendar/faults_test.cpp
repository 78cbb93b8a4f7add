// Each fault of a calendar alone, in the checker's own words.

#include <string>

#include "calendar/world.hpp"
#include "libseal/core/error.hpp"
#include "support/catch.hpp"
#include "support/problems.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

const Date monday = make_date(2027, 3, 1);

/// A look of an hour on a Monday in the first bay. Synthetic.
Calendar one_look() {
    Calendar calendar;
    calendar.year = 2027;
    calendar.as_of = make_date(2026, 11, 25);
    Visit look;
    look.uid = "a";
    look.kind = "inspection";
    look.coach = "c";
    look.first = look.last = monday;
    look.window = {monday - 20, monday};
    look.minutes = {50, 60, 80};
    look.day_minutes = {60};
    calendar.visits = {look};
    calendar.weeks = {{monday, 1, 40, 0, 0}};
    return calendar;
}

Visit other(const Visit& visit) {
    Visit copy = visit;
    copy.uid = "b";
    copy.coach = "d";
    copy.bay = 1;
    return copy;
}

}  // namespace

TEST_CASE("one thing wrong with a calendar is one fault, told with the visit or the week", "[calendar]") {
    Shop shop = sample_shop(3, 2);
    REQUIRE(faults(one_look(), shop) == "");
    const std::string name = "inspection of c on 2027-03-01 ";
    const auto told = [&](auto change) {
        Calendar bad = one_look();
        change(bad, bad.visits[0]);
        return faults(bad, shop);
    };
    CHECK(told([](Calendar&, Visit& v) { v.last = v.first - 1, v.minutes.mode = 0, v.day_minutes.clear(); }).find(name + "ends before it begins\n") == 0);
    CHECK(told([](Calendar& c, Visit&) { c.as_of = monday; }) == name + "is not after the day of the calendar\n");
    CHECK(told([](Calendar& c, Visit&) { c.year = 2026; }) == name + "is after the year\n");
    CHECK(told([](Calendar& c, Visit& v) { v.first = v.last = monday - 1, c.weeks.clear(); }) ==
          "inspection of c on 2027-02-28 begins on a day off\n2027-02-28: 60 person-minutes booked, 0 there\n");
    for (const int bay : {-1, 2}) CHECK(told([&](Calendar&, Visit& v) { v.bay = bay; }) == name + "stands in a bay that is not there\n");
    CHECK(told([](Calendar&, Visit& v) { v.last = v.first + 1, v.window.latest = v.last; }) == name + "has no minutes for each of its days\n");
    CHECK(told([](Calendar&, Visit& v) { v.last = v.first + 1, v.window.latest = v.last, v.day_minutes = {61, -1}; }) == name + "has minutes below zero\n");
    // A tenth and half an hour: 36 minutes off are as far as whole minutes of steps may lead.
    CHECK(told([](Calendar& c, Visit& v) { v.day_minutes = {96}, c.weeks[0].booked = 1.6; }) == "");
    CHECK(told([](Calendar& c, Visit& v) { v.day_minutes = {97}, c.weeks[0].booked = 97.0 / 60; }) == name + "books 97 of 60 person-minutes\n");
    CHECK(told([](Calendar&, Visit& v) { v.window.latest = v.first - 1; }) == name + "does not say that it is late\n");
    CHECK(told([](Calendar&, Visit& v) { v.window.latest = v.first - 1, v.flags = {"late: nobody free before 2027-03-01"}; }) == "");
    CHECK(told([](Calendar& c, Visit& v) { c.visits.push_back(other(v)), c.visits[1].uid = "a", c.weeks[0].booked = 2; }) ==
          "inspection of d on 2027-03-01 has the uid of another visit\n");
    CHECK(told([](Calendar& c, Visit& v) { c.visits.push_back(other(v)), c.visits[1].bay = 0, c.weeks[0].booked = 2; }) ==
          "inspection of d on 2027-03-01 stands in one bay with c from 2027-03-01\n");
    CHECK(told([](Calendar& c, Visit& v) { c.visits.push_back(other(v)), c.visits[1].coach = "c", c.weeks[0].booked = 2; }) == name + "meets the other visit of c from 2027-03-01\n");
    // What is cancelled takes no bay, no people and no coach.
    CHECK(told([](Calendar& c, Visit& v) {
              c.visits.push_back(other(v));
              c.visits[1].cancelled = true, c.visits[1].bay = 0, c.visits[1].coach = "c", c.visits[1].day_minutes = {1e6};
          }) == "");
    // A long stay meets what begins within it, also behind a shorter one.
    CHECK(told([](Calendar& c, Visit&) {
              c.visits.push_back(other(c.visits[0]));
              c.visits.push_back(other(c.visits[0]));
              c.visits[2].uid = "e", c.visits[2].coach = "e";
              c.visits[0].last = monday + 3, c.visits[0].window.latest = monday + 3, c.visits[0].day_minutes = {60, 0, 0, 0};
              c.visits[2].bay = 0, c.visits[2].first = c.visits[2].last = monday + 3, c.visits[2].window.latest = monday + 3;
              c.weeks[0].booked = 3;
          }) == "inspection of e on 2027-03-04 stands in one bay with c from 2027-03-01\n");
    shop.sealing_months = {6};
    shop.heated_bay = false;
    CHECK(told([](Calendar&, Visit& v) { v.kind = "work"; }) == "work of c on 2027-03-01 begins on a day without sealing\n");
    CHECK(told([](Calendar&, Visit&) {}) == "");
}

TEST_CASE("weeks, overtime, bound and gap are added up again", "[calendar]") {
    const Shop shop = sample_shop(3, 2);
    const auto told = [&](auto change) {
        Calendar bad = one_look();
        change(bad);
        return faults(bad, shop);
    };
    CHECK(told([](Calendar& c) { c.weeks[0].booked = 1.1; }) == "week of 2027-03-01: the hours do not add up\n");
    CHECK(told([](Calendar& c) { c.weeks[0].start = monday - 1; }) == "week of 2027-02-28: does not begin on a Monday\n");
    CHECK(told([](Calendar& c) { c.weeks[0].overtime = 0.5; }).find("week of 2027-03-01: overtime is not what is beyond the capacity\n") == 0);
    CHECK(told([](Calendar& c) { c.weeks[0].capacity = 0.25, c.weeks[0].overtime = 0.75, c.weeks[0].overtime_limit = 0.75; }) == "");
    CHECK(told([](Calendar& c) { c.weeks[0].capacity = 0.25, c.weeks[0].overtime = 0.75, c.weeks[0].overtime_limit = 0.5; }) ==
          "week of 2027-03-01: more overtime than the shop offers\n");
    CHECK(told([](Calendar& c) { c.moving_cost = 100, c.bound = 90, c.gap = 0.1; }) == "");
    CHECK(told([](Calendar& c) { c.moving_cost = 100, c.bound = 90, c.gap = 0.2; }) == "the gap is not that of cost and bound\n");
    CHECK(told([](Calendar& c) { c.gap = 0.2; }) == "the gap is not that of cost and bound\n");
    CHECK(told([](Calendar& c) { c.moving_cost = 1, c.bound = 2, c.gap = -1; }) == "the bound is above the cost\n");
    // More than the people of a day have: three of them.
    const std::string people = told([](Calendar& c) { c.visits[0].minutes.mode = 3000, c.visits[0].day_minutes = {3000}, c.weeks[0].booked = 50, c.weeks[0].overtime = 10, c.weeks[0].overtime_limit = 10; });
    CHECK(people.find("2027-03-01: 3000 person-minutes booked, ") == 0);
}

TEST_CASE("a calendar from a forecast refuses findings and work of what is not in the fleet, as one that forecasts itself", "[calendar][bad_input]") {
    World w = world(12, 1);
    Finding finding = w.options.findings.at(0);
    finding.coach = "nobody";
    w.options.findings.push_back(finding);
    const auto from_forecast = problems_of([&] { calendar_of(w); });
    const auto by_itself = problems_of([&] { year_calendar(w.fleet, 2027, sample_shop(), w.forecast.as_of, w.options); });
    REQUIRE(from_forecast.size() == 1);
    REQUIRE(by_itself.size() == 1);
    CHECK(from_forecast[0].field == by_itself[0].field);
    CHECK(from_forecast[0].got == "\"nobody\"");
}
