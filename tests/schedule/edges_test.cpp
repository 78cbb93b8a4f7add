#include <cmath>
#include <tuple>

#include "libseal/catalogue/sealant.hpp"
#include "libseal/core/error.hpp"
#include "libseal/schedule/gates.hpp"
#include "libseal/schedule/verify.hpp"
#include "schedule/samples.hpp"
#include "support/built_in.hpp"
#include "support/problems.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

/// Synthetic hours from 00:00 of `first` on: 20 degC, dew point 5 degC, no wind, no rain.
Weather fair(Date first, int hours, double latitude, double longitude, double utc_offset) {
    Weather weather;
    weather.site = {"synthetic", latitude, longitude, 20, utc_offset};
    weather.time_utc.resize(hours);
    for (int h = 0; h < hours; ++h) weather.time_utc(h) = (first.days * 24LL + h + 1) * 3600 - static_cast<Instant>(utc_offset * 3600);
    for (const auto& name : weather_column_names()) weather_column(weather, name) = Column::Zero(hours);
    weather.air_temperature.setConstant(20);
    weather.dew_point.setConstant(5);
    weather.relative_humidity.setConstant(40);
    return weather;
}

Weather fair(int hours) { return fair(monday, hours, 41.8, -87.6, -6); }

const Bay outside{"lot", false, false};

/// The plan as far as it has come at `now`, from a schedule that began on Monday.
ScheduleOptions running_at(const Schedule& before, const std::vector<Booking>& bookings, const Shop& shop, Minute now) {
    ScheduleOptions options;
    options.now = now;
    options.running = running_steps(before, bookings, shop, now);
    return options;
}

}  // namespace

TEST_CASE("where the sun sets after midnight a day has light before and after the short night", "[schedule][law]") {
    // Synthetic sites just outside the polar circle whose clocks run ahead of the sun, and one within it.
    Gate gate;
    gate.daylight = true;
    for (const auto& [latitude, longitude, offset] : {std::tuple(64.1, -21.9, 0.0), {65.6, -168.0, -9.0}, {69.0, 33.0, 3.0}, {-65.7, -65.0, -3.0}})
        for (const Date first : {make_date(2027, 5, 10), make_date(2027, 6, 10), make_date(2027, 7, 15), make_date(2027, 12, 10)}) {
            const GateWeather weather({fair(first, 24, latitude, longitude, offset)});
            const Minute begin = minute_of(first), end = minute_of(first + 16);
            const auto spans = open_spans(gate, weather, outside, begin, end);
            std::size_t next = 0;
            Minute wrong = 0;
            for (Minute t = begin; t < end; ++t) {
                while (next < spans.size() && spans[next].to <= t) ++next;
                wrong += (next < spans.size() && spans[next].from <= t) != gate_open(gate, weather, outside, t) ? 1 : 0;
            }
            INFO(latitude << " from " << to_text(first));
            CHECK(wrong == 0);
            for (std::size_t i = 1; i < spans.size(); ++i) CHECK(spans[i].from > spans[i - 1].to);
            for (Date day = first; day < first + 16; day = day + 1) {
                const TimeSpan light = weather.daylight(day);
                CHECK(light.from <= light.to);
                for (Minute t = minute_of(day); t < minute_of(day + 1); t += 30)
                    if (weather.sun_is_up(t)) CHECK((light.from <= t && t < light.to));
            }
        }
}

TEST_CASE("rain is rain where the temperature of the hour is not known", "[schedule]") {
    Weather weather = fair(24);
    weather.air_temperature.segment(10, 2).setConstant(std::nan(""));
    weather.precipitation(10) = 2;
    weather.wind_speed(11) = 12;
    const GateWeather hours({weather});
    Gate gate = gate_for("climb", "", catalogue());
    CHECK(why_closed(gate, hours, outside, hour(10)) == "it rains");
    CHECK(why_closed(gate, hours, outside, hour(11)) == "wind 12.0 m/s, at most 9.0 allowed");
    CHECK(gate_open(gate, hours, outside, hour(12)));
    // The series behind knows the temperature; the rain is that of the first.
    Weather behind = fair(24);
    behind.air_temperature.setConstant(-20);
    const GateWeather both({weather, behind});
    CHECK(both.at(hour(10)).temperature == -20);
    CHECK(both.at(hour(10)).rain == 2);
    CHECK(both.at(hour(9)).temperature == 20);
    // A cure goes on by the clock of the bay where nobody knows how warm it is.
    CHECK(cure_rate_at(hours, hour(10), 20, catalogue()) == 1);
}

TEST_CASE("a plan that goes on later knows what has cured, and what the shop has waited, before its first day", "[schedule]") {
    Weather cold = fair(24 * 60);
    cold.air_temperature.setConstant(10);  // 10 K below the bay: a cure takes 1.75 times as long
    Edge wait = plain_edge(0, 1, 40 * 60);
    Shop shop = plain_shop();
    ScheduleOptions first;
    SECTION("a cure in the cold") {
        wait.clock = LagClock::cure;
        first.weather = {cold};
    }
    SECTION("working hours") { wait.clock = LagClock::working; }
    const std::vector<Booking> bookings{{plan_with({plain_step("cap", 60), plain_step("check", 60)}, {wait}, "a")}};
    const Schedule before = schedule(bookings, shop, monday, first);
    REQUIRE(before.steps.size() == 2);
    // By hand: done on Monday at 9:00. 40 h at 1.75 are 70 h: Thursday 7:00, so Thursday at 8:00; 40 working hours of 8 a day
    // with 7 left on Monday: Monday to Friday 39, the last one until 9:00 on the Monday after.
    CHECK(before.steps[0].end == hour(9));
    const Minute ready = first.weather.empty() ? hour(24 * 7 + 9) : hour(24 * 3 + 8);
    CHECK(before.steps[1].start == ready);
    for (const int day : {1, 2, 3}) {
        ScheduleOptions options = running_at(before, bookings, shop, hour(24 * day + 1));
        options.weather = first.weather;
        const Schedule again = schedule(bookings, shop, monday + day, options);
        INFO("from day " << day);
        REQUIRE(again.steps.size() == 2);
        CHECK(again.steps[1].start == ready);
        CHECK(again.score.moved == 0);
    }
}

TEST_CASE("a running plan in another bay than the booking's is refused with its field", "[schedule][bad_input]") {
    const Shop shop = plain_shop(1, 2);
    std::vector<Booking> bookings{{plan_with({plain_step("strip", 60), plain_step("cap", 60)}, {plain_edge(0, 1)}, "a")}};
    bookings[0].bay = 0;
    ScheduleOptions options = running_at(schedule(bookings, shop, monday), bookings, shop, hour(9));
    REQUIRE(options.running[0].state == StepState::done);
    CHECK(schedule(bookings, shop, monday, options).steps.size() == 2);
    bookings[0].bay = 1;
    const auto problems = problems_of([&] { schedule(bookings, shop, monday, options); });
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].field == "running[0].bay");
}

TEST_CASE("work that goes on for months holds its person until then", "[schedule]") {
    // Synthetic: begun on Monday, expected to end weeks or years later; only one person.
    const Shop shop = plain_shop(1, 2);
    const std::vector<Booking> bookings{{plan_with({plain_step("strip", 60), plain_step("cap", 60)}, {plain_edge(0, 1)}, "a")}};
    const int days = GENERATE(20, 100, 200, 2000);
    ScheduleOptions options;
    options.now = hour(9);
    options.running = {{"a", "strip", hour(8), hour(24 * days), {shop.people[0].id}, "bay 1", StepState::started}};
    const Schedule found = schedule(bookings, shop, monday, options);
    REQUIRE(found.steps.size() == 2);
    CHECK(found.steps[1].start == next_working(shop, shop.people[0], hour(24 * days)));
    // Nothing begun, but "now" is long after the first day.
    ScheduleOptions late;
    late.now = hour(24 * days);
    const Schedule then = schedule(bookings, shop, monday, late);
    REQUIRE(then.steps.size() == 2);
    CHECK(then.steps[0].start == next_working(shop, shop.people[0], hour(24 * days)));
}

TEST_CASE("by hand: a coach with nothing but marks holds no bay, one with nothing to do counts nothing", "[schedule]") {
    const Shop shop = plain_shop(1, 1);
    const std::string who = shop.people[0].id;
    std::vector<Booking> bookings{{plan_with({plain_step("strip", 120)}, {}, "a")}, {plan_with({plain_step("seen", 0, 0)}, {}, "b")}, {plan_with({}, {}, "c")}};
    const Schedule plan = schedule_by_hand({{"a", "strip", hour(8), hour(10), {who}, ""}, {"b", "seen", hour(9), hour(9), {}, ""}}, bookings, shop);
    const ScheduleEvaluation found = evaluate_schedule(plan, bookings, shop, monday);
    for (const Violation& violation : found.violations) UNSCOPED_INFO(violation.text);
    CHECK(found.violations.empty());
    // From Monday 0:00: a until 10:00, b until 9:00.
    CHECK(found.score.stay == 19 * 60);
    CHECK(plan.stays[1].begin == hour(9));
    bookings[2].promised = bookings[2].latest = hour(7);
    CHECK(evaluate_schedule(plan, bookings, shop, monday).score.late == 0);
}

TEST_CASE("a sealant that endures frost is not laid in frost by somebody on a ladder or roof", "[schedule]") {
    // Synthetic: Monday at -3 degC, dry air, Tuesday at 12 degC.
    Weather weather = fair(24 * 14);
    weather.air_temperature.setConstant(12);
    weather.air_temperature.head(24).setConstant(-3);
    weather.dew_point.setConstant(-20);
    const double frost = sealant(catalogue(), "neutral_cure_silicone").lowest_temperature;
    const double ice = catalogue().number("gate/lowest_water_temperature");
    REQUIRE(frost < -3);
    REQUIRE(ice > -3);
    ScheduleOptions options;
    options.weather = {weather};
    for (const std::string reach : {"", "ladder", "roof"}) {
        Step cap = plain_step("cap", 60, 1, true);
        cap.gate = "bond";
        cap.family = "neutral_cure_silicone";
        cap.reach = reach;
        const WorkPlan plan = plan_with({cap}, {}, "a");
        const Shop shop = plain_shop();
        const Schedule found = schedule(plan, shop, monday, options);
        INFO(reach);
        REQUIRE(found.steps.size() == 1);
        CHECK(found.steps[0].start == hour(reach.empty() ? 8 : 32));
        // By hand on Monday: an hour in weather that does not allow it, if aloft.
        const Schedule early = schedule_by_hand({{"a", "cap", hour(8), hour(9), {shop.people[0].id}, ""}}, {{plan}}, shop);
        const auto wrong = evaluate_schedule(early, {{plan}}, shop, monday, options).violations;
        REQUIRE(wrong.size() == (reach.empty() ? 0u : 1u));
        if (!wrong.empty()) CHECK((wrong[0].kind == "weather" && wrong[0].amount == 60));
    }
}
