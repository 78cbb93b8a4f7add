#include "libseal/schedule/working_time.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "libseal/core/error.hpp"
#include "libseal/schedule/gates.hpp"
#include "schedule/samples.hpp"
#include "support/problems.hpp"

using namespace libseal;
using namespace libseal_test;

TEST_CASE("five hours from Friday afternoon end on Monday at eleven, 24 hours on Wednesday evening", "[schedule]") {
    // Worked by hand: Monday to Friday, 8 to 12 and 13 to 17.
    const Shop shop = plain_shop();
    const Minute friday = minute_of(make_date(2027, 3, 5));
    const WorkingTime time(shop, shop.people[0], friday - 7 * 1440, friday + 21 * 1440);
    const auto at = [&](int day, int h) { return friday + day * 1440 + h * 60; };
    CHECK(time.add_work(at(0, 15), 300) == at(3, 11));
    CHECK(time.add_work(at(0, 17), 24 * 60) == at(5, 17));
    CHECK(time.next(at(0, 17) + 24 * 60) == at(3, 8));  // 24 h elapsed
    CHECK(time.subtract_work(at(3, 11), 300) == at(0, 15));
    // Forward the earliest end, backward the latest beginning.
    CHECK(time.add_work(at(0, 8), 480) == at(0, 17));
    CHECK(time.subtract_work(at(3, 17), 480) == at(3, 8));
    CHECK(time.subtract_work(at(3, 8), 60) == at(0, 16));
    CHECK(time.work_between(at(0, 0), at(7, 0)) == 5 * 480);
    CHECK(time.work_between(at(1, 0), at(0, 0)) == 0);
    CHECK_THROWS_AS(time.add_work(at(0, 8), 1000000), ValueError);
    CHECK_THROWS_AS(time.subtract_work(at(0, 8), 1000000), ValueError);
    CHECK_THROWS_AS(time.add_work(at(0, 8), -1), ValueError);
    CHECK_THROWS_AS(time.next(at(22, 0)), ValueError);
    CHECK_THROWS_AS(WorkingTime({{10, 20}, {15, 30}}), ValueError);
    CHECK_THROWS_AS(WorkingTime({{10, 10}}), ValueError);
    CHECK(WorkingTime({{10, 20}, {20, 30}}).spans().size() == 1);
    CHECK(WorkingTime(std::vector<TimeSpan>{}).work_between(0, 100) == 0);
}

TEST_CASE("working time answers as a walk over days and minutes does, absences left out", "[schedule][law]") {
    Shop shop = plain_shop();
    const Minute start = minute_of(make_date(2027, 12, 27));
    shop.holiday_rules = {"us_federal"};
    shop.absences = {{shop.people[0].id, start + 1440 + 600, start + 2 * 1440 + 660, "course"}};
    const Person& person = shop.people[0];
    const WorkingTime time(shop, person, start, start + 20 * 1440);
    std::vector<Minute> minutes;
    for (Date day = day_of(start); minute_of(day) < start + 20 * 1440; day = day + 1)
        for (const TimeSpan& span : working_spans(shop, person, day))
            for (Minute t = span.from; t < span.to; ++t) minutes.push_back(t);
    int wrong = 0;
    for (Minute t = start; t < start + 10 * 1440; t += 37) {
        const std::size_t first = std::lower_bound(minutes.begin(), minutes.end(), t) - minutes.begin();
        wrong += time.next(t) != minutes[first] || time.next(t) != next_working(shop, person, t);
        for (const int work : {1, 59, 240, 241, 700}) {
            wrong += time.add_work(t, work) != minutes[first + work - 1] + 1;
            wrong += time.add_work(t, work) != add_work(shop, person, t, work);
            if (first >= static_cast<std::size_t>(work)) wrong += time.subtract_work(t, work) != minutes[first - work];
            wrong += time.work_between(t, time.add_work(t, work)) != work;
        }
    }
    CHECK(wrong == 0);
    CHECK(minutes.size() == static_cast<std::size_t>(time.work_between(start, start + 20 * 1440)));
    // Friday, 31 December 2027 is a day off, and the person is away from Tuesday 10:00 to Wednesday 11:00.
    CHECK(time.work_between(start, start + 7 * 1440) == 480 + 120 + 300 + 480);
}

TEST_CASE("working time that never comes, or of a stretch that cannot be, is refused", "[schedule][bad_input]") {
    Shop shop = plain_shop();
    const Person& person = shop.people[0];
    const auto stretch = [&](Minute from, Minute to) { return problems_of([&] { WorkingTime(shop, person, from, to); }); };
    // 100 years of 365.25 days are 36525 days.
    CHECK(stretch(hour(0), hour(0) + Minute{36525} * 1440).empty());
    const auto refused = [&](Minute from, Minute to, const std::string& field, const std::string& expected) {
        const auto problems = stretch(from, to);
        REQUIRE(problems.size() == 1);
        CHECK(problems[0].field == field);
        CHECK(problems[0].expected == expected);
    };
    refused(hour(1), hour(0), "to", "at or after from");
    refused(hour(0), hour(0) + Minute{36525} * 1440 + 1, "to", "at most 100 years after from");
    // Days beyond the calendar are none of another year: a walk over them would not end.
    const Minute first = minute_of(make_date(1400, 1, 1)), last = minute_of(make_date(9999, 12, 31), 1440);
    CHECK(stretch(first, first + 1440).empty());
    CHECK(stretch(last - 1440, last).empty());
    refused(first - 1, first, "from", "a time of the years 1400 to 9999");
    refused(last, last + 1, "to", "a time of the years 1400 to 9999");
    for (const Minute far : {Minute{1'000'000'000'000'000}, Minute{-1'000'000'000'000'000}, std::numeric_limits<Minute>::max() - 1440}) {
        const auto kept = [&](const auto& call) { return problems_of(call).size(); };
        refused(far, far + 1440, "from", "a time of the years 1400 to 9999");
        CHECK(kept([&] { WorkingClock(shop, far, far + 1440); }) == 1);
        CHECK(kept([&] { CureClock(GateWeather({}), Bay{}, 20, Catalogue::built_in(), far, far + 1440); }) == 1);
        CHECK(kept([&] { open_spans(Gate{}, GateWeather({}), Bay{}, far, far + 1440); }) == 1);
    }
    for (const double endless : {std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity(), std::nan(""), 1e300}) {
        CHECK(problems_of([&] { (void)WorkingClock(shop, hour(0), hour(24)).ready(hour(8), endless); }).at(0).field == "lag");
        CHECK(problems_of([&] { (void)CureClock(GateWeather({}), Bay{}, 20, Catalogue::built_in(), hour(0), hour(24)).ready(hour(8), endless); }).at(0).field == "lag");
    }
    CHECK(problems_of([&] { WorkingClock(shop, hour(0), hour(0) + 2 * Minute{36525} * 1440 + 1); }).at(0).expected == "at most 200 years after from");
    CHECK(WorkingTime(shop, person, hour(9), hour(9)).spans().empty());
    // The person is away for four years.
    shop.absences = {{person.id, hour(0), hour(0) + 4 * 366 * 1440, "sabbatical"}};
    for (const auto& problems : {problems_of([&] { (void)next_working(shop, person, hour(8)); }), problems_of([&] { (void)add_work(shop, person, hour(8), 1); })}) {
        REQUIRE(problems.size() == 1);
        CHECK(problems[0].field == "shop");
        CHECK(problems[0].expected == "working time of p0 within three years of 2027-03-01 08:00");
    }
    CHECK(add_work(shop, person, hour(8), 0) == hour(8));
    // For two years it is only a long wait: the first working day behind 731 days, 1 March 2029, is a Thursday.
    shop.absences[0].to = minute_of(make_date(2029, 3, 1));
    CHECK(time_text(next_working(shop, person, hour(8))) == "2029-03-01 08:00");
    CHECK(time_text(add_work(shop, person, hour(8), 90)) == "2029-03-01 09:30");
}
