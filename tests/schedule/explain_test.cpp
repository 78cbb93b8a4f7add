#include "libseal/schedule/explain.hpp"

#include "libseal/schedule/verify.hpp"
#include "schedule/samples.hpp"

using namespace libseal;
using namespace libseal_test;

TEST_CASE("a latest end that people cannot meet: the set is smallest, the way out was tried", "[schedule]") {
    // Worked by hand: nine hours of work for one person, to be done on Monday by 17:00, when there are eight.
    Booking booking{plan_with({plain_step("strip", 240), plain_step("wash", 300)}, {plain_edge(0, 1)})};
    booking.latest = hour(17);
    const Shop shop = plain_shop();
    const Schedule none = schedule(std::vector<Booking>{booking}, shop, monday);
    CHECK(none.outcome == Outcome::infeasible);
    REQUIRE(none.obstacles.size() == 1);
    CHECK(none.obstacles[0] == "coach synthetic must be done by 2027-03-01 17:00; even alone it takes until 2027-03-02 09:00");
    const Conflict conflict = explain_conflict({booking}, shop, monday);
    CHECK_FALSE(conflict.feasible);
    CHECK(conflict.members == std::vector<std::string>{"the hours of work", "coach synthetic done by 2027-03-01 17:00"});
    REQUIRE_FALSE(conflict.relaxations.empty());
    CHECK(conflict.relaxations[0] == "coach synthetic done 1 days later");
    // An hour on Monday evening does not help a coach that must be gone by 17:00, one that may stay until 18:00 it does.
    Booking evening = booking;
    evening.latest = hour(18);
    CHECK(explain_conflict({evening}, shop, monday).relaxations[0] == "one more hour on 2027-03-01");
    CHECK(explain_conflict({{booking.plan}}, shop, monday).feasible);
}

TEST_CASE("two coaches on ladders with one ladder: a second one is the way out", "[schedule]") {
    std::vector<Booking> two;
    for (const char* coach : {"a", "b"}) {
        Step work = plain_step("cap", 300);
        work.reach = "ladder";
        two.push_back({plan_with({work}, {}, coach)});
        two.back().latest = hour(17);
    }
    Shop shop = plain_shop(2, 2);
    shop.ladders = 1;
    const Conflict conflict = explain_conflict(two, shop, monday);
    CHECK(std::count(conflict.members.begin(), conflict.members.end(), "the 1 ladder sets") == 1);
    CHECK(std::count(conflict.relaxations.begin(), conflict.relaxations.end(), "one more ladder set") == 1);
    // A short search that finds nothing says no more than that; all orders tried say that there is none.
    ScheduleOptions short_search;
    short_search.work_limit = 1;
    const Schedule hasty = schedule(two, shop, monday, short_search);
    CHECK(hasty.outcome == Outcome::none_found);
    REQUIRE(hasty.obstacles.size() == 1);
    CHECK(hasty.obstacles[0].find("must be done by 2027-03-01 17:00; the best found is ") != std::string::npos);
    CHECK(schedule(two, shop, monday).outcome == Outcome::infeasible);
    shop.ladders = 2;
    CHECK(schedule(two, shop, monday).outcome == Outcome::optimal);
}

TEST_CASE("a running plan keeps what was done, moves little for a walk-in and heeds an absence", "[schedule]") {
    std::vector<Booking> bookings;
    for (int g = 0; g < 3; ++g)
        bookings.push_back({plan_with({plain_step("look", 60), plain_step("strip", 120), plain_step("cap", 120, 1, true), plain_step("check", 30)},
                                      {plain_edge(0, 1), plain_edge(1, 2), plain_edge(2, 3, 1440)}, "coach " + std::to_string(g))});
    Shop shop = plain_shop(2, 4);
    const Schedule before = schedule(bookings, shop, monday);
    REQUIRE_FALSE(before.steps.empty());
    ScheduleOptions options;
    options.now = hour(10);
    options.running = running_steps(before, bookings, shop, options.now);
    const auto in_state = [&](StepState state) {
        return std::count_if(options.running.begin(), options.running.end(), [&](const RunningStep& s) { return s.state == state; });
    };
    CHECK(in_state(StepState::done) >= 1);
    CHECK(in_state(StepState::planned) >= 6);
    // Nothing new: nothing moves.
    const Schedule same = schedule(bookings, shop, monday, options);
    CHECK(same.score.moved == 0);
    for (std::size_t i = 0; i < before.steps.size(); ++i) CHECK(same.steps[i].start == before.steps[i].start);
    // A walk-in takes the gaps.
    std::vector<Booking> more = bookings;
    more.push_back({plan_with({plain_step("cover", 60)}, {}, "walk-in")});
    more.back().arrival = hour(11);
    const Schedule with = schedule(more, shop, monday, options);
    CHECK(verify(with, more, shop, monday, options).empty());
    CHECK(with.score.moved == 0);
    CHECK(with.stays[3].begin >= hour(11));
    // Somebody falls ill at once: what was theirs moves, the rest stays.
    Shop ill = shop;
    ill.absences.push_back({shop.people[1].id, hour(10), hour(24 * 5), "ill"});
    const Schedule without = schedule(bookings, ill, monday, options);
    CHECK(verify(without, bookings, ill, monday, options).empty());
    CHECK(without.score.moved >= 1);
    for (const StepTime& time : without.steps)
        if (time.start >= options.now) CHECK(std::count(time.people.begin(), time.people.end(), 1) == 0);
    // A step takes longer than planned: the actual end counts.
    ScheduleOptions late = options;
    for (RunningStep& step : late.running)
        if (step.state == StepState::started) step.end += 120;
    const Schedule delayed = schedule(bookings, shop, monday, late);
    CHECK(verify(delayed, bookings, shop, monday, late).empty());
}

TEST_CASE("a plan made by hand is judged with amounts, not refused", "[schedule]") {
    const std::vector<Booking> bookings{{plan_with({plain_step("strip", 120), plain_step("cap", 120, 1, true)}, {plain_edge(0, 1)}, "a")}};
    const Shop shop = plain_shop();
    const std::string who = shop.people[0].id;
    const auto judged = [&](const std::vector<RunningStep>& steps) { return evaluate_schedule(schedule_by_hand(steps, bookings, shop), bookings, shop, monday); };
    CHECK(judged({{"a", "strip", hour(8), hour(10), {who}, ""}, {"a", "cap", hour(10), hour(12), {who}, ""}}).violations.empty());
    const auto kinds = [](const ScheduleEvaluation& e) {
        std::string text;
        for (const auto& v : e.violations) text += v.kind + " " + std::to_string(static_cast<int>(v.amount)) + " " + v.unit + "; ";
        return text;
    };
    CHECK(kinds(judged({{"a", "strip", hour(8), hour(10), {who}, ""}, {"a", "cap", hour(9), hour(11), {who}, ""}})) == "order 60 min; people 60 min; ");
    CHECK(kinds(judged({{"a", "strip", hour(8), hour(9), {who}, ""}, {"a", "cap", hour(10), hour(12), {who}, ""}})) == "work 60 min; ");
    CHECK(kinds(judged({{"a", "strip", hour(8), hour(10), {who}, ""}})) == "missing 1 1; ");
    CHECK(kinds(judged({{"a", "strip", hour(8), hour(10), {who}, ""}, {"a", "cap", hour(16), hour(18), {who}, ""}})) == "hours 60 min; ");
    CHECK(kinds(judged({{"a", "strip", hour(8), hour(10), {who}, ""}, {"a", "cap", hour(11), hour(14), {who}, ""}})) == "unbroken 1 pieces; ");
}

TEST_CASE("a conflict names the hours of a gate, the months with sealing and who is away, and what was tried against them", "[schedule]") {
    // Worked by hand: an hour of bead, to be done on Monday by 17:00.
    Step cap = plain_step("cap", 60, 1, true);
    cap.gate = "bond";
    Booking booking{plan_with({cap}, {})};
    booking.latest = hour(17);
    const std::string by_five = "coach synthetic done by 2027-03-01 17:00";
    using Words = std::vector<std::string>;
    Shop shop = plain_shop();
    ScheduleOptions options;
    REQUIRE(explain_conflict({booking}, shop, monday, options).feasible);

    // The bead is possible on Tuesday morning at the earliest: a day later, or where no weather counts.
    options.open_hours["bond"] = {{hour(32), hour(36)}};
    const Conflict gate = explain_conflict({booking}, shop, monday, options);
    CHECK_FALSE(gate.feasible);
    CHECK(gate.members == Words{"the hours in which \"bond\" is possible", by_five});
    CHECK(gate.relaxations == Words{"coach synthetic done 1 days later", "a heated bay"});
    options.open_hours.clear();

    // March is no month with sealing, and two weeks later it is March yet.
    shop.sealing_months = {4, 5, 6, 7, 8, 9, 10};
    const Conflict month = explain_conflict({booking}, shop, monday, options);
    CHECK(month.members == Words{"the months with sealing", by_five});
    CHECK(month.relaxations == Words{"a heated bay"});
    shop.sealing_months = plain_shop().sealing_months;

    // The only person is away on Monday: staying at work, another day or somebody else would help.
    const std::string reason = GENERATE(std::string(), std::string("course"));
    shop.absences = {{shop.people[0].id, hour(0), hour(24), reason}};
    const Conflict away = explain_conflict({booking}, shop, monday, options);
    CHECK(away.members == Words{"the 1 people and their skills",
                                "p0 away from 2027-03-01 00:00 to 2027-03-02 00:00" + (reason.empty() ? "" : " (" + reason + ")"), by_five});
    CHECK(away.relaxations == Words{"p0 not away from 2027-03-01 00:00", "coach synthetic done 1 days later", "one more person with every skill"});
}
