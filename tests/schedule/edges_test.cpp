#include <cmath>
#include <limits>
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

TEST_CASE("the weather of intervals of any length lies where its times say", "[schedule][law]") {
    // Synthetic: rain in the interval of Tuesday that ends at 12:00, by the times of the series.
    for (const int step : {3600, 900, 450, 90, 60, 1200, 7200}) {
        const int n = 48 * 3600 / step, wet = 36 * 3600 / step - 1;
        Weather weather = fair(n);
        weather.step = step;
        for (int i = 0; i < n; ++i) weather.time_utc(i) = monday.days * 86400LL + (i + 1LL) * step + 6 * 3600;
        weather.precipitation(wet) = 0.2;
        const GateWeather hours({weather});
        INFO("step " << step << " s");
        // Minutes that begin in the interval, whose beginning may lie within a minute.
        const Minute first = hour(36) - step / 60;
        CHECK(hours.at(first - 1).rain == 0);
        for (Minute t = first; t < hour(36); ++t) CHECK(hours.at(t).rain == 0.2);
        CHECK(hours.at(hour(36)).rain == 0);
        Gate gate;
        gate.dry_before = 0;
        const std::vector<TimeSpan> open = open_spans(gate, hours, outside, hour(24), hour(48));
        REQUIRE(open.size() == 2);
        CHECK(open[0] == TimeSpan{hour(24), first});
        CHECK(open[1] == TimeSpan{hour(36), hour(48)});
        // A change is never passed over: between two of them the weather is one.
        for (Minute t = hour(24); t < hour(48); ++t) {
            const Minute next = hours.next_change(t);
            if (hours.at(t).rain != hours.at(t + 1).rain) CHECK(next == t + 1);
        }
    }
}

TEST_CASE("a dew point of one series is not held against the temperature of a typical year", "[schedule]") {
    // Synthetic typical year: 12 degC, 7 K above its dew point.
    Weather typical = fair(make_date(2001, 1, 1), 8760, 41.8, -87.6, -6);
    typical.typical = true;
    typical.air_temperature.setConstant(12);
    typical.dew_point.setConstant(5);
    const Column none = Column::Constant(24, std::nan(""));
    const auto at = [&](double air, double dew) {
        Weather dated = fair(24);
        dated.air_temperature = none + air;
        dated.dew_point = none + dew;
        if (!std::isnan(air)) dated.air_temperature.setConstant(air);
        if (!std::isnan(dew)) dated.dew_point.setConstant(dew);
        return GateWeather({dated, typical}).at(hour(10));
    };
    const double unknown = std::nan("");
    // A day at -3 degC is no day of dew because the usual dew point of the season is 5 degC.
    CHECK(at(-3, unknown).temperature == -3);
    CHECK(at(-3, unknown).dew_point == Approx(-10));
    // A dew point of 15 degC is none of a morning at 12 degC.
    CHECK(at(unknown, 15).temperature == 12);
    CHECK(at(unknown, 15).dew_point == Approx(5));
    // Both or none: as they are.
    CHECK(at(20, 18).dew_point == 18);
    CHECK(at(unknown, unknown).temperature == 12);
    CHECK(at(unknown, unknown).dew_point == 5);
    // Two dated series tell of the same air, and are taken together.
    Weather warmth = fair(24), damp = fair(24);
    warmth.dew_point = damp.air_temperature = none;
    damp.dew_point.setConstant(19);
    CHECK(GateWeather({warmth, damp, typical}).at(hour(10)).temperature == 20);
    CHECK(GateWeather({warmth, damp, typical}).at(hour(10)).dew_point == 19);
    // A typical year without a dew point says nothing of dew.
    typical.dew_point.setConstant(unknown);
    CHECK(gate_open(gate_for("bond", "", catalogue()), GateWeather({warmth, typical}), outside, hour(12)));
}

TEST_CASE("times beyond a hundred years and hours of a gate that nothing asks for are refused", "[schedule][bad_input]") {
    Step bead = plain_step("bead", 60);
    bead.gate = "bond";
    const WorkPlan plan = plan_with({bead}, {}, "a");
    const auto refused = [&](Minute arrival, const ScheduleOptions& options) {
        const auto problems = problems_of([&] { schedule({{plan, arrival}}, plain_shop(), monday, options); });
        return problems.empty() ? Problem{} : problems.front();
    };
    const Minute century = minute_of(monday + 36525);
    for (const Minute far : {century + 1, std::numeric_limits<Minute>::max()}) {
        CHECK(refused(far, {}).field == "bookings[0].arrival");
        CHECK(refused(far, {}).expected == "a time within 100 years of 2027-03-01");
        ScheduleOptions options;
        options.now = far;
        CHECK(refused(0, options).field == "now");
        options = {};
        options.running = {{"a", "bead", hour(8), far, {}, "", StepState::started}};
        CHECK(refused(0, options).field == "running[0].end");
    }
    // Long ago is from the start on.
    ScheduleOptions early;
    early.now = std::numeric_limits<Minute>::min();
    CHECK(schedule({{plan, std::numeric_limits<Minute>::min()}}, plain_shop(), monday, early).steps.at(0).start == hour(8));
    // A mistyped gate would leave its steps to any weather.
    ScheduleOptions options;
    options.open_hours["bnod"] = {{hour(24), hour(48)}};
    CHECK(refused(0, options).field == "open_hours");
    CHECK(refused(0, options).got == "\"bnod\"");
    CHECK(refused(0, options).hint == "did you mean \"bond\"?");
    options.open_hours = {{"coat", {{hour(24), hour(48)}}}, {"bond", {{hour(24), hour(48)}}}};
    CHECK(schedule({{plan}}, plain_shop(), monday, options).steps.at(0).start == hour(32));
}

TEST_CASE("a coach with nothing to do stands in the bay that it was given and may be late", "[schedule]") {
    Booking booking{plan_with({}, {}, "a"), hour(10), hour(9), 0, 1};
    const Schedule idle = schedule({booking}, plain_shop(1, 2), monday);
    REQUIRE(idle.outcome == Outcome::optimal);
    CHECK(idle.stays.at(0).bay == 1);
    CHECK(idle.stays[0].late == 60);
    CHECK(verify(idle, {booking}, plain_shop(1, 2), monday) == std::vector<std::string>{});
    CHECK(evaluate_schedule(idle, {booking}, plain_shop(1, 2), monday).score.late == idle.score.late);
}

TEST_CASE("who is missing for a step is told as one person or several", "[schedule]") {
    Shop shop = plain_shop(2);
    for (const Person& person : shop.people) shop.absences.push_back({person.id, hour(-24 * 365), hour(24 * 366 * 10), "away"});
    const Schedule none = schedule(plan_with({plain_step("wash", 60), plain_step("lift", 60, 2)}, {}), shop, monday);
    CHECK(none.outcome == Outcome::infeasible);
    CHECK(none.obstacles == std::vector<std::string>{"wash needs a person; nobody who can do it has working time",
                                                     "lift needs 2 people at once; no such team has common working time"});
    const Schedule alone = schedule(plan_with({plain_step("wash", 60)}, {}), shop, monday);
    CHECK(alone.relaxations == std::vector<std::string>{"working time on days that allow these steps"});
}

TEST_CASE("work goes on through midnight where somebody works on both sides of it", "[schedule]") {
    // A shop of days without a night: what must not be broken is not broken at midnight.
    Shop shop = plain_shop();
    shop.open_from = 0, shop.open_to = 1440, shop.break_from = shop.break_to = 0;
    shop.people[0].from = 0, shop.people[0].to = 1440;
    for (const int hours_of_work : {20, 30, 100}) {
        const WorkPlan plan = plan_with({plain_step("cap", 60.0 * hours_of_work, 1, true)}, {});
        const Schedule result = schedule(plan, shop, monday);
        REQUIRE(result.steps.size() == 1);
        CHECK(verify(result, plan, shop, monday).empty());
        CHECK(result.steps[0].pieces.size() == 1);
        CHECK(result.end == hour(hours_of_work));
    }
    // Longer than Monday to Friday: broken by the weekend alone.
    const WorkPlan week = plan_with({plain_step("cap", 60.0 * 125, 1, true)}, {});
    const Schedule broken = schedule(week, shop, monday);
    CHECK(verify(broken, week, shop, monday).empty());
    CHECK(broken.end == hour(24 * 7 + 5));
    // Four hours and four hours by day, and overtime from ten in the evening to three: five hours without a break lie in the night alone.
    Shop late = plain_shop();
    late.overtime = {{late.people[0].id, hour(22), hour(24)}, {late.people[0].id, hour(24), hour(27)}};
    const WorkPlan night = plan_with({plain_step("cap", 300, 1, true)}, {});
    const Schedule through = schedule(night, late, monday);
    REQUIRE(through.steps.size() == 1);
    CHECK(verify(through, night, late, monday).empty());
    CHECK(through.steps[0].pieces == std::vector<TimeSpan>{{hour(22), hour(27)}});
    // Six hours fit into no stretch, but into one day.
    const WorkPlan day = plan_with({plain_step("cap", 360, 1, true)}, {});
    const Schedule by_day = schedule(day, late, monday);
    CHECK(verify(by_day, day, late, monday).empty());
    CHECK(by_day.end == hour(15));
}
