#include "libseal/schedule/verify.hpp"

#include <functional>

#include "libseal/core/error.hpp"
#include "libseal/schedule/explain.hpp"
#include "schedule/samples.hpp"
#include "support/problems.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

std::string field_of(const std::vector<Problem>& problems) { return problems.empty() ? std::string() : problems.front().field; }

/// Synthetic: two coaches, each with two hours at the ladder and two hours of bead; two people, bays and ladder sets. All of it is
/// done on Monday from 8 to 12, the coaches beside each other.
struct Morning {
    std::vector<Booking> bookings;
    Shop shop = plain_shop(2, 2);
    ScheduleOptions options;
    Schedule good;

    Morning() {
        for (const char* coach : {"a", "b"}) {
            Step strip = plain_step("strip", 120);
            strip.reach = "ladder";
            bookings.push_back({plan_with({strip, plain_step("cap", 120, 1, true), plain_step("left", 0, 0)}, {plain_edge(0, 1), plain_edge(0, 2)}, coach)});
        }
        good = schedule(bookings, shop, monday);
    }

    /// Kinds and amounts of what a changed schedule breaks.
    template <class Change>
    std::string broken(Change change) {
        Schedule other = good;
        change(other);
        std::string text;
        for (const Violation& v : evaluate_schedule(other, bookings, shop, monday, options).violations)
            text += v.kind + " " + std::to_string(static_cast<int>(v.amount)) + " " + v.unit + "; ";
        return text;
    }
    std::string broken() {
        return broken([](Schedule&) {});
    }
};

void put(StepTime& time, Minute from, Minute to) {
    time.start = from;
    time.end = to;
    time.pieces = {{from, to}};
}

}  // namespace

TEST_CASE("a good schedule with one rule made stricter breaks that rule alone", "[schedule]") {
    Morning m;
    REQUIRE(m.good.steps.size() == 6);
    REQUIRE(verify(m.good, m.bookings, m.shop, monday).empty());
    REQUIRE(m.good.stays[0].end == hour(12));
    REQUIRE(m.good.stays[1].end == hour(12));
    CHECK(m.broken() == "");

    SECTION("latest end") {
        m.bookings[1].latest = hour(11);
        CHECK(m.broken() == "latest 60 min; ");
        CHECK(evaluate_schedule(m.good, m.bookings, m.shop, monday).score.broken == 60);
        CHECK(verify(m.good, m.bookings, m.shop, monday) == std::vector<std::string>{"coach b is done 60 min after its latest end"});
    }
    SECTION("bay") {
        m.bookings[0].bay = 1 - m.good.stays[0].bay;
        CHECK(m.broken() == "bay 1 1; ");
        m.bookings[0].bay = -1;
        CHECK(m.broken([](Schedule& s) { s.stays[0].bay = s.stays[1].bay; }) == "bay 240 min; ");
        CHECK(m.broken([](Schedule& s) { s.stays[0].end = hour(11); }) == "bay 60 min; ");
        CHECK(m.broken([](Schedule& s) { s.stays[0].begin = hour(9); }) == "bay 60 min; ");
    }
    SECTION("ladder") {
        m.shop.ladders = 1;
        CHECK(m.broken() == "ladder 1 1; ");
        for (Booking& booking : m.bookings) booking.plan.steps[0].reach = "roof";
        m.shop.platforms = 0;
        CHECK(m.broken() == "ladder 2 1; ");  // both begin at eight
    }
    SECTION("longest wait") {
        m.bookings[0].plan.edges[0].longest = 60;
        const auto afternoon = [](Schedule& s) {
            put(s.steps[1], hour(13), hour(15));
            s.stays[0].end = hour(15);
        };
        CHECK(m.broken(afternoon) == "longest_wait 120 min; ");
        Schedule late = m.good;
        afternoon(late);
        CHECK(evaluate_schedule(late, m.bookings, m.shop, monday).score.broken == 120);
        m.bookings[0].plan.edges[0].longest = 180;
        CHECK(m.broken(afternoon) == "");
    }
    SECTION("wait in working time") {
        m.bookings[0].plan.edges[0].clock = LagClock::working;
        const auto at_one = [](Schedule& s) {
            put(s.steps[1], hour(13), hour(15));
            s.stays[0].end = hour(15);
        };
        m.bookings[0].plan.edges[0].lag = 120;  // from ten to twelve; the break does not count
        CHECK(m.broken(at_one) == "");
        m.bookings[0].plan.edges[0].lag = 121;
        CHECK(m.broken(at_one).substr(0, 6) == "order ");
    }
}

TEST_CASE("a good schedule in which one step is changed breaks the rule of that step alone", "[schedule]") {
    Morning m;
    REQUIRE(m.good.steps.size() == 6);
    // Marks in time take none.
    CHECK(m.broken([](Schedule& s) { s.steps[2].end += 30; }) == "work 30 min; ");
    CHECK(m.broken([](Schedule& s) { s.steps[2].pieces = {{s.steps[2].start, s.steps[2].start + 5}}; }) == "work 0 min; ");
    // A step without pieces, or whose pieces begin or end elsewhere, has none of its two hours where it says.
    CHECK(m.broken([](Schedule& s) { s.steps[0].pieces.clear(); }) == "work 120 min; ");
    CHECK(m.broken([](Schedule& s) { s.steps[0].pieces.front().from += 1; }) == "work 120 min; ");
    CHECK(m.broken([](Schedule& s) { s.steps[0].pieces.back().to -= 1; }) == "work 120 min; ");
    // An hour and a half instead of two, with the end before noon.
    CHECK(m.broken([](Schedule& s) { put(s.steps[1], hour(10), hour(11) + 30); }) == "work 30 min; ");
    // Half an hour of nothing between two pieces.
    CHECK(m.broken([](Schedule& s) {
              s.steps[1].pieces = {{hour(10), hour(11)}, {hour(11) + 30, hour(12) + 30}};
              s.steps[1].end = s.stays[0].end = hour(12) + 30;
          }) == "work 30 min; hours 30 min; unbroken 1 pieces; ");
    CHECK(m.broken([](Schedule& s) { s.steps[0].people = {2}; }) == "people 1 people; ");
    CHECK(m.broken([](Schedule& s) { s.steps[0].people = {-1}; }) == "people 1 people; ");
    CHECK(m.broken([](Schedule& s) { s.steps[0].people.clear(); }).substr(0, 16) == "people 1 people;");
    // Both coaches at once by one person: the two steps of the other coach overlap.
    CHECK(m.broken([](Schedule& s) { s.steps[3].people = s.steps[4].people = s.steps[0].people = s.steps[1].people; }) == "people 120 min; people 120 min; ");
    CHECK(m.broken([](Schedule& s) { s.stays.pop_back(); }) == "missing 1 1; ");
    CHECK(m.broken([](Schedule& s) { std::swap(s.stays[0], s.stays[1]); }) == "missing 1 1; ");
    for (const int nobody : {-1, 2}) CHECK(m.broken([&](Schedule& s) { s.stays[1].booking = nobody; }) == "missing 1 1; ");
    CHECK(m.broken([](Schedule& s) { s.steps.erase(s.steps.begin()); }) == "missing 1 1; ");
}

TEST_CASE("five hours of unbroken work may be cut by the midday break but not by a night", "[schedule]") {
    // Half days have four hours, days eight.
    const std::vector<Booking> bookings{{plan_with({plain_step("cap", 300, 1, true)}, {})}};
    const Shop shop = plain_shop();
    const Schedule day = schedule(bookings, shop, monday);
    REQUIRE(day.steps.size() == 1);
    CHECK(day.steps[0].pieces.size() == 2);
    Schedule night = day;
    night.steps[0].start = hour(15);
    night.steps[0].end = night.stays[0].end = hour(35);
    night.steps[0].pieces = {{hour(15), hour(17)}, {hour(32), hour(35)}};
    night.stays[0].begin = hour(15);
    const ScheduleEvaluation found = evaluate_schedule(night, bookings, shop, monday);
    REQUIRE(found.violations.size() == 1);
    CHECK(found.violations[0].kind == "unbroken");
    CHECK(found.violations[0].amount == 1);
    CHECK(found.violations[0].text == "cap is spread over days though it fits into one");
}

TEST_CASE("what has begun stays where it is, with its whole shift told", "[schedule]") {
    Morning m;
    REQUIRE(m.good.steps.size() == 6);
    m.options.running = running_steps(m.good, m.bookings, m.shop, hour(10));
    m.options.now = hour(10);
    CHECK(m.broken() == "");
    // Done from 7:30 to 9:30, says the running plan; the schedule has it half an hour later.
    RunningStep& strip = m.options.running[0];
    REQUIRE(strip.state == StepState::done);
    strip.start -= 30, strip.end -= 30;
    CHECK(m.broken() == "running 30 min; ");
    strip.start += 30;  // now begun at eight, but done half an hour earlier
    CHECK(m.broken() == "running 30 min; ");
    // Still going on at eleven: it ends then at the earliest.
    strip.end = hour(10);
    strip.state = StepState::started;
    CHECK(m.broken() == "");
    m.options.now = hour(11);
    CHECK(m.broken() == "running 60 min; arrival 60 min; arrival 60 min; arrival 60 min; arrival 60 min; ");  // two beads, two marks
    // Somebody who does not work here, in a planned step of the running plan.
    m.options.now = hour(10);
    CHECK(m.broken([](Schedule& s) { s.steps[1].people = {7}; }) == "people 1 people; ");
}

TEST_CASE("who and what is busy with begun work is not free for planned work", "[schedule]") {
    Morning m;
    m.options.now = hour(9);
    m.options.running = running_steps(m.good, m.bookings, m.shop, m.options.now);  // both are at the ladder since eight
    CHECK(m.broken() == "");
    // Both have begun: that is as it was, whoever did it.
    const auto by_one = [](Schedule& s) { s.steps[3].people = s.steps[0].people; };
    CHECK(m.broken(by_one).find("people 120 min") == std::string::npos);
    // The bead of one coach from half past nine, by whom the begun work of the other has until ten.
    const auto planned = [](Schedule& s) {
        s.steps[1].people = s.steps[3].people;
        put(s.steps[1], hour(10) - 30, hour(12) - 30);
    };
    CHECK(m.broken(planned).find("people 30 min; ") != std::string::npos);
    // One set of ladders alone, and begun work has it until ten.
    m.bookings[1].plan.steps[1].reach = "ladder";
    m.shop.ladders = 1;
    CHECK(m.broken() == "");
    const auto at_once = [&](Schedule& s) { put(s.steps[4], hour(10) - 30, hour(12) - 30); };
    CHECK(m.broken(at_once).find("ladder") != std::string::npos);
}

TEST_CASE("a schedule of other bookings or another shop is refused where it would be taken apart", "[schedule][bad_input]") {
    const Morning m;
    REQUIRE(m.good.steps.size() == 6);
    struct Case {
        const char* field;
        std::function<void(Schedule&)> change;
        bool stays;  ///< only those that ask where coaches stand mind
    };
    const std::vector<Case> cases{
        {"schedule.steps[0]", [](Schedule& s) { s.steps[0].booking = 2; }, false},
        {"schedule.steps[5]", [](Schedule& s) { s.steps[5].booking = -1; }, false},
        {"schedule.steps[1]", [](Schedule& s) { s.steps[1].step = 3; }, false},
        {"schedule.steps[1]", [](Schedule& s) { s.steps[1].step = -1; }, false},
        {"schedule.steps[3].people", [](Schedule& s) { s.steps[3].people = {2}; }, false},
        {"schedule.steps[3].people", [](Schedule& s) { s.steps[3].people = {-1}; }, false},
        {"schedule.stays", [](Schedule& s) { s.stays.clear(); }, true},
        {"schedule.stays[0].booking", [](Schedule& s) { std::swap(s.stays[0], s.stays[1]); }, true},
        {"schedule.stays[1].bay", [](Schedule& s) { s.stays[1].bay = 2; }, true},
        {"schedule.stays[1].bay", [](Schedule& s) { s.stays[1].bay = -1; }, true},
    };
    for (const Case& c : cases) {
        Schedule other = m.good;
        c.change(other);
        INFO(c.field);
        CHECK(field_of(problems_of([&] { explain(other, m.bookings, m.shop, monday, 0, 0); })) == c.field);
        CHECK(field_of(problems_of([&] { running_steps(other, m.bookings, m.shop, hour(9)); })) == c.field);
        CHECK(field_of(problems_of([&] { schedule_json(other, m.bookings, m.shop); })) == (c.stays ? "" : c.field));
    }
    Schedule fewer = m.good;
    fewer.steps.pop_back();
    CHECK(field_of(problems_of([&] { explain(fewer, m.bookings, m.shop, monday, 0, 0); })) == "schedule.steps");
    fewer = m.good;
    std::swap(fewer.steps[0], fewer.steps[1]);
    CHECK(field_of(problems_of([&] { explain(fewer, m.bookings, m.shop, monday, 0, 0); })) == "schedule.steps[0]");
    using Pair = std::pair<int, int>;  // a name for each: clang 14 does not capture the names of a binding
    for (const Pair& which : {Pair{-1, 0}, {2, 0}, {0, -1}, {0, 3}})
        CHECK(field_of(problems_of([&] { explain(m.good, m.bookings, m.shop, monday, which.first, which.second); })) == "step");
    CHECK(explain(m.good, m.bookings, m.shop, monday, 1, 2).front().kind == "order");
    // What is written with a coach outside every bay reads back, and is refused only when asked where it stands.
    Schedule outside = m.good;
    outside.stays[1].bay = -1;
    const Schedule again = read_schedule_text(schedule_json(outside, m.bookings, m.shop), "outside.json", m.bookings, m.shop);
    CHECK(again.stays[1].bay == -1);
    CHECK_THROWS_AS(running_steps(again, m.bookings, m.shop, hour(9)), ValueError);
}

TEST_CASE("times far off are told at once", "[schedule][bad_input]") {
    const Shop shop = plain_shop();
    const std::vector<Booking> bookings{{plan_with({plain_step("wash", 60)}, {})}};
    Schedule good = schedule(bookings, shop, monday);
    REQUIRE(good.steps.size() == 1);
    constexpr Minute far = 4'000'000'000'000;
    Schedule late = good;
    late.steps[0].pieces = {late.steps[0].pieces[0], {far, far + 1}};
    late.steps[0].end = late.stays[0].end = far + 1;
    const auto wrong = verify(late, bookings, shop, monday);
    REQUIRE_FALSE(wrong.empty());
    CHECK(wrong[0] == "wash takes over 100 years");
    late = good;
    late.steps[0].pieces = {{good.steps[0].start, far}, {good.steps[0].end - 1, good.steps[0].end}};
    CHECK(verify(late, bookings, shop, monday)[0] == "wash has pieces outside of its time");
    const auto by_hand = [&](Minute start, Minute end) {
        return field_of(problems_of([&] { schedule_by_hand({{"synthetic", "wash", start, end, {shop.people[0].id}, "", StepState::planned}}, bookings, shop); }));
    };
    CHECK(by_hand(hour(8), hour(9)) == "");
    CHECK(by_hand(hour(8), far) == "steps[0].end");
    CHECK(by_hand(-far, hour(9)) == "steps[0].end");
    CHECK(by_hand(hour(8), hour(8) + Minute{36525} * 1440) == "");
    CHECK(by_hand(hour(8), hour(8) + Minute{36525} * 1440 + 1) == "steps[0].end");
}
