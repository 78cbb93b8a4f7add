#include "libseal/schedule/schedule.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/core/error.hpp"
#include "libseal/schedule/verify.hpp"
#include "support/catch.hpp"
#include "schedule/samples.hpp"
#include "support/problems.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

ScheduleOptions limited(int work_limit) {
    ScheduleOptions options;
    options.work_limit = work_limit;
    return options;
}

WorkPlan coach_plan(std::uint64_t seed) {
    const Coach coach = sample_trailer(seed);
    return plan_work(coach, sample_findings(coach, seed, 20), sample_forecast(coach, seed), sample_shop(),
                     sample_day());
}

}  // namespace

TEST_CASE("working time runs over breaks, nights and weekends", "[schedule]") {
    // Worked by hand: Friday 15:00 and five hours of work end on Monday at 11:00.
    const Shop shop = plain_shop();
    const Date friday = make_date(2027, 3, 5);
    CHECK(time_text(add_work(shop, shop.people[0], minute_of(friday, 15 * 60), 300)) == "2027-03-08 11:00");
    CHECK(time_text(next_working(shop, shop.people[0], minute_of(friday, 17 * 60))) == "2027-03-08 08:00");
    CHECK(time_text(next_working(shop, shop.people[0], minute_of(friday, 12 * 60 + 30))) ==
          "2027-03-05 13:00");
    CHECK(time_text(Minute{-1}) == "1969-12-31 23:59");
    Shop early = shop;
    early.people[0].to = 10 * 60;
    CHECK(time_text(add_work(early, early.people[0], minute_of(friday, 9 * 60), 120)) == "2027-03-08 09:00");
}

TEST_CASE("a cure runs through the night and the weekend, a bead does not", "[schedule]") {
    // Worked by hand: a bead that ends on Friday at 17:00 with 24 h of cure lets the next step start on
    // Monday at 8:00.
    const Shop shop = plain_shop();
    const WorkPlan plan =
        plan_with({plain_step("cap", 240, 1, true), plain_step("function_check", 30)}, {plain_edge(0, 1, 1440)});
    const Schedule result = schedule(plan, shop, make_date(2027, 3, 5));
    // The bead goes into the morning; 12:00 and a day is Saturday noon.
    REQUIRE(result.steps.size() == 2);
    CHECK(time_text(result.steps[0].end) == "2027-03-05 12:00");
    CHECK(time_text(result.steps[1].start) == "2027-03-08 08:00");
    CHECK(result.outcome == Outcome::optimal);
    CHECK(result.lower_bound == result.end);
    // From Monday noon the cure ends on Tuesday noon, in the break.
    const Schedule week = schedule(plan, shop, monday);
    CHECK(time_text(week.steps[1].start) == "2027-03-02 13:00");
}

TEST_CASE("a bead is not broken by the midday break, other work is", "[schedule]") {
    const Shop shop = plain_shop();
    const WorkPlan whole = plan_with({plain_step("strip", 120), plain_step("cap", 180, 1, true)}, {plain_edge(0, 1)});
    const Schedule result = schedule(whole, shop, monday);
    CHECK(time_text(result.steps[1].start) == "2027-03-01 13:00");
    CHECK(result.steps[1].pieces.size() == 1);
    const WorkPlan split = plan_with({plain_step("strip", 120), plain_step("wash", 180)}, {plain_edge(0, 1)});
    const Schedule pieces = schedule(split, shop, monday);
    CHECK(pieces.steps[1].pieces.size() == 2);
    CHECK(time_text(pieces.end) == "2027-03-01 14:00");
    // Five hours fit into no half day but into one day; ten hours into none.
    CHECK(time_text(
              schedule(plan_with({plain_step("strip", 240), plain_step("cap", 300, 1, true)}, {plain_edge(0, 1)}), shop, monday)
                  .steps[1]
                  .start) == "2027-03-02 08:00");
    CHECK(schedule(plan_with({plain_step("cap", 600, 1, true)}, {}), shop, monday).steps[0].pieces.size() == 3);
}

TEST_CASE("two people share the work of one coach", "[schedule]") {
    const WorkPlan plan =
        plan_with({plain_step("a", 240), plain_step("b", 240), plain_step("c", 60, 2)}, {plain_edge(0, 2), plain_edge(1, 2)});
    const Schedule two = schedule(plan, plain_shop(2), monday);
    CHECK(time_text(two.end) == "2027-03-01 14:00");
    CHECK(two.outcome == Outcome::optimal);
    CHECK(two.steps[2].people == std::vector<int>{0, 1});
    CHECK(two.steps[2].waited_for.find("bed_before_cap") != std::string::npos);
}

TEST_CASE("a step for more people than there are is infeasible, and the way out is told", "[schedule]") {
    const WorkPlan plan = plan_with({plain_step("wash", 60), plain_step("water_test", 60, 2)}, {plain_edge(0, 1)});
    const Schedule result = schedule(plan, plain_shop(1), monday);
    CHECK(result.outcome == Outcome::infeasible);
    CHECK(result.steps.empty());
    REQUIRE(result.obstacles.size() == 1);
    CHECK(result.obstacles[0].find("water_test needs 2 people") != std::string::npos);
    CHECK(result.relaxations.at(0).find("1 more person") != std::string::npos);
    CHECK(result.relaxations.at(1).find("longest_cure_wait 0") != std::string::npos);
    // Two who never meet are no two.
    Shop shifts = plain_shop(2);
    shifts.people[0].to = 12 * 60;
    shifts.people[1].from = 12 * 60;
    CHECK(schedule(plan, shifts, monday).outcome == Outcome::infeasible);
}

TEST_CASE("no bead is laid on a day on which the shop does not seal", "[schedule]") {
    Shop shop = plain_shop();
    shop.closed = {{monday, monday + 3, "fair"}};
    Step cap = plain_step("cap", 60, 1, true);
    cap.gate = "bond";
    const Schedule result = schedule(plan_with({plain_step("wash", 60), cap}, {plain_edge(0, 1)}), shop, monday);
    CHECK(day_of(result.steps[0].start) == monday);
    CHECK(day_of(result.steps[1].start) == monday + 3);
}

TEST_CASE("any plan of any coach is scheduled validly and alike in every run", "[schedule][law]") {
    const std::uint64_t seed = GENERATE(range(1, 7));
    const WorkPlan plan = coach_plan(seed);
    const Shop shop = sample_shop(static_cast<int>(2 + seed % 2));
    ScheduleOptions options;
    options.work_limit = 6;
    options.seed = seed;
    const Schedule result = schedule(plan, shop, monday, options);
    REQUIRE((result.outcome == Outcome::feasible || result.outcome == Outcome::optimal));
    CHECK(verify(result, plan, shop, monday).empty());
    CHECK(result.end >= result.lower_bound);
    CHECK(result.score.urgent >= result.bound.urgent);
    CHECK(result.score.stay >= result.bound.stay);
    if (result.outcome == Outcome::optimal) CHECK(result.score.stay == result.bound.stay);
    CHECK(std::count_if(result.steps.begin(), result.steps.end(),
                        [](const StepTime& t) { return t.critical; }) >= 2);
    for (const StepTime& time : result.steps) CHECK_FALSE(time.waited_for.empty());
    CHECK(schedule_json(result, plan, shop) ==
          schedule_json(schedule(plan, shop, monday, options), plan, shop));
    // Roof before walls also in time.
    Minute roof_done = 0, wall_begun = std::numeric_limits<Minute>::max();
    for (const StepTime& time : result.steps) {
        const Step& s = plan.steps[static_cast<std::size_t>(time.step)];
        if (s.kind != "cap") continue;
        if (s.surface == "roof") roof_done = std::max(roof_done, time.end);
        if (s.surface.find("wall") != std::string::npos) wall_begun = std::min(wall_begun, time.start);
    }
    CHECK(roof_done <= wall_begun);
    // More schedules never make it worse.
    ScheduleOptions one = options;
    one.work_limit = 1;
    CHECK(schedule(plan, shop, monday, one).score >= result.score);
}

TEST_CASE("a longest wait that cannot be kept is told with its steps and its rule", "[schedule]") {
    // A day of cure lies between two steps that may be at most ten hours apart.
    Edge closed = plain_edge(0, 2);
    closed.rule = "cover_open_paths";
    closed.longest = 600;
    const WorkPlan plan = plan_with({plain_step("strip", 60), plain_step("cap", 60), plain_step("bead", 60)}, {plain_edge(0, 1), plain_edge(1, 2, 1440), closed});
    const Schedule result = schedule(plan, plain_shop(), monday);
    CHECK((result.outcome != Outcome::feasible && result.outcome != Outcome::optimal));
    REQUIRE(result.obstacles.size() == 1);
    CHECK(result.obstacles[0] == "a longest wait cannot be kept: at best bead begins 1500 min after strip, cover_open_paths asks for at most 600 min");
}

TEST_CASE("the verifier notices every kind of fault", "[schedule]") {
    const WorkPlan plan = coach_plan(3);
    const Shop shop = sample_shop(2);
    const Schedule good = schedule(plan, shop, monday, limited(1));
    REQUIRE(verify(good, plan, shop, monday).empty());
    const auto faults = [&](const Schedule& bad) { return verify(bad, plan, shop, monday).size(); };
    std::size_t worked = 0;
    while (good.steps[worked].pieces.empty() || plan.steps[worked].id.find("visit") == 0) ++worked;
    const auto shifted = [&](Minute by) {
        Schedule bad = good;
        StepTime& time = bad.steps[worked];
        time.start += by;
        time.end += by;
        for (TimeSpan& piece : time.pieces) piece.from += by, piece.to += by;
        return bad;
    };
    CHECK(faults(shifted(-10080)) > 0);    // before its predecessors and the first day
    CHECK(faults(shifted(5 * 1440)) > 0);  // after its successors
    CHECK(faults(shifted(12 * 60)) > 0);   // at night
    Schedule bad = good;
    bad.steps.pop_back();
    CHECK(faults(bad) > 0);
    bad = good;
    bad.steps[worked].pieces.back().to -= 1;
    bad.steps[worked].end -= 1;
    CHECK(faults(bad) > 0);
    bad = good;
    bad.steps[worked].people = {0, 1};
    CHECK(faults(bad) > 0);
    bad = good;
    bad.steps[worked].people = {7};
    CHECK(faults(bad) > 0);
    bad = good;
    for (StepTime& time : bad.steps)
        if (time.people == std::vector<int>{1}) time.people = {0};  // one person does the work of two
    CHECK(faults(bad) > 0);
    const auto told = [&](const auto& change) {
        Schedule other = good;
        change(other);
        const auto found = verify(other, plan, shop, monday);
        REQUIRE(found.size() == 1);
        return found[0];
    };
    const std::string nowhere = "a time for a step that no plan has";
    for (const int place : {-1, static_cast<int>(plan.steps.size())}) CHECK(told([&](Schedule& s) { s.steps[0].step = place; }).find(nowhere) != std::string::npos);
    for (const int place : {-1, 1}) {
        CHECK(told([&](Schedule& s) { s.steps[0].booking = place; }).find(nowhere) != std::string::npos);
        CHECK(told([&](Schedule& s) { s.stays[0].bay = place < 0 ? -1 : static_cast<int>(bays_of(shop).size()); }).find("stands in a bay that the shop does not have") != std::string::npos);
    }
    bad = good;
    std::swap(bad.steps[0], bad.steps[1]);
    CHECK(faults(bad) > 0);
    // A bead cut in two by the break although it fits into an afternoon.
    const Shop plain = plain_shop();
    const WorkPlan cap = plan_with({plain_step("cap", 120, 1, true)}, {});
    Schedule cut = schedule(cap, plain, monday);
    const Minute ten = minute_of(monday, 11 * 60);
    cut.steps[0].pieces = {{ten, ten + 60}, {ten + 120, ten + 180}};
    cut.steps[0].start = ten;
    cut.steps[0].end = cut.stays[0].end = ten + 180;
    cut.score.stay = cut.stays[0].end - minute_of(monday);
    CHECK(verify(cut, cap, plain, monday).size() == 1);
}

TEST_CASE("calls that make no sense are refused, and a stop is heeded", "[schedule][bad_input]") {
    const WorkPlan plan = plan_with({plain_step("wash", 60)}, {});
    CHECK_THROWS_AS(schedule(plan, plain_shop(), monday, limited(0)), ValueError);
    CHECK_THROWS_AS(schedule(plan, Shop{}, monday), ValueError);
    CHECK(schedule(WorkPlan{}, plain_shop(), monday).outcome == Outcome::optimal);
    ScheduleOptions options;
    options.watch.stop.stop();
    const Schedule stopped = schedule(coach_plan(2), sample_shop(2), monday, options);
    CHECK(stopped.outcome == Outcome::cancelled);
    CHECK(stopped.tried <= 1);
}

TEST_CASE("bookings, running plans and hours that cannot be are refused with their field", "[schedule][bad_input]") {
    const WorkPlan plan = plan_with({plain_step("wash", 60)}, {}, "a");
    const auto refused = [](const std::vector<Booking>& bookings, const ScheduleOptions& options) {
        const auto problems = problems_of([&] { schedule(bookings, plain_shop(2, 2), monday, options); });
        return problems.empty() ? Problem{} : problems.front();
    };
    Booking booking{plan};
    booking.bay = 2;
    CHECK(refused({booking}, {}).field == "bookings[0].bay");
    CHECK(refused({booking}, {}).expected == "-1 or a bay from 0 to 1");
    booking.bay = -2;
    CHECK(refused({booking}, {}).field == "bookings[0].bay");
    booking.bay = 1;
    CHECK(refused({booking}, {}).field == "");
    CHECK(refused({{plan}, {plan}}, {}).field == "bookings[1].plan.coach");

    ScheduleOptions options;
    const auto running = [&](const RunningStep& step) {
        options.running = {step};
        return refused({{plan}}, options);
    };
    CHECK(running({"a", "wash", hour(9), hour(8), {"p0"}, "bay 1", StepState::planned}).field == "running[0].end");
    const Problem nobody = running({"a", "wash", hour(8), hour(9), {"p00"}, "bay 1", StepState::planned});
    CHECK(nobody.field == "running[0].people");
    CHECK(nobody.hint == "did you mean \"p0\"?");
    CHECK(running({"a", "wash", hour(8), hour(9), {"somebody else"}, "bay 1", StepState::planned}).hint == "");
    CHECK(running({"a", "wash", hour(8), hour(9), {"p0"}, "bay 7", StepState::done}).field == "running[0].bay");
    CHECK(running({"a", "wash", hour(8), hour(9), {"p0"}, "bay 2", StepState::done}).field == "");
    options.running.push_back(options.running[0]);
    CHECK(refused({{plan}}, options).field == "running[1]");

    for (const std::vector<TimeSpan>& spans : {std::vector<TimeSpan>{{hour(9), hour(9)}}, {{hour(9), hour(8)}}, {{hour(8), hour(10)}, {hour(9), hour(11)}}}) {
        ScheduleOptions open;
        open.open_hours["bond"] = spans;
        const Problem problem = refused({{plan}}, open);
        CHECK(problem.field == "open_hours.bond[" + std::to_string(spans.size() - 1) + "]");
        CHECK(problem.expected == "spans in order that do not overlap");
    }
    ScheduleOptions touching;
    touching.open_hours["bond"] = {{hour(8), hour(9)}, {hour(9), hour(10)}};
    CHECK(refused({{plan}}, touching).field == "");
}

TEST_CASE("a coach that left, or a step taken off the plan, changes nothing for the others", "[schedule]") {
    const std::vector<Booking> bookings{{plan_with({plain_step("wash", 60), plain_step("cap", 60)}, {plain_edge(0, 1)}, "a")}};
    const Shop shop = plain_shop();
    const Schedule before = schedule(bookings, shop, monday);
    ScheduleOptions options;
    options.now = hour(9);
    options.running = running_steps(before, bookings, shop, options.now);
    const std::string alone = schedule_json(schedule(bookings, shop, monday, options), bookings, shop);
    options.running.insert(options.running.begin(), {"b", "wash", hour(8), hour(17), {"p0"}, "bay 1", StepState::started});
    options.running.push_back({"a", "polish", hour(10), hour(12), {"p0"}, "bay 1", StepState::planned});
    CHECK(schedule_json(schedule(bookings, shop, monday, options), bookings, shop) == alone);
}

TEST_CASE("work on a ladder or roof in a shop without sets is infeasible, and the sets are the way out", "[schedule]") {
    Step ladder = plain_step("wall", 60), roof = plain_step("top", 60);
    ladder.reach = "ladder";
    roof.reach = "roof";
    const WorkPlan plan = plan_with({ladder, roof}, {});
    Shop shop = plain_shop();
    shop.ladders = shop.platforms = 0;
    const Schedule none = schedule(plan, shop, monday);
    CHECK(none.outcome == Outcome::infeasible);
    CHECK(none.stopped == "2 steps cannot be done by this shop");
    CHECK(none.obstacles == std::vector<std::string>{"wall needs a ladder set; the shop has none", "top needs a platform set; the shop has none"});
    CHECK(none.relaxations == std::vector<std::string>{"a ladder set", "a platform set"});
    shop.ladders = 1;
    CHECK(schedule(plan, shop, monday).relaxations == std::vector<std::string>{"a platform set"});
    shop.platforms = 1;
    CHECK(schedule(plan, shop, monday).outcome == Outcome::optimal);
    // Of two coaches it is said which.
    shop.ladders = 0;
    WorkPlan other = plan_with({plain_step("wash", 60)}, {}, "other");
    CHECK(schedule({{other}, {plan}}, shop, monday).obstacles == std::vector<std::string>{"synthetic wall needs a ladder set; the shop has none"});
}

TEST_CASE("a stop during the proof keeps the schedule that the search has found", "[schedule]") {
    // Synthetic: eleven steps of odd lengths for two people, too many orders for a quick proof.
    std::vector<Step> steps;
    std::vector<Edge> edges;
    for (int j = 0; j < 11; ++j) steps.push_back(plain_step("s" + std::to_string(j), 35 + 17 * j, 1, true));
    edges.push_back(plain_edge(0, 5, 900));
    const WorkPlan plan = plan_with(steps, edges);
    ScheduleOptions options = limited(1000);
    std::vector<std::string> stages;
    options.watch.progress = [&](const Progress& progress) {
        stages.push_back(progress.stage);
        if (progress.stage == "proof") options.watch.stop.stop();
    };
    const Schedule result = schedule(plan, plain_shop(2), monday, options);
    REQUIRE(!stages.empty());
    REQUIRE(stages.back() == "proof");
    CHECK(result.outcome == Outcome::cancelled);
    CHECK(result.stopped == "a stop was asked for");
    REQUIRE(result.steps.size() == steps.size());
    CHECK(verify(result, plan, plain_shop(2), monday).empty());
}
