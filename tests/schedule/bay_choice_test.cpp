// In which bay a coach stands, where bays differ: heated, roofed or in the open.

#include <algorithm>

#include "libseal/core/random.hpp"
#include "libseal/schedule/verify.hpp"
#include "schedule/samples.hpp"
#include "support/catch.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

const Bay hall{"hall", true, true}, yard{"yard", false, false}, shed{"shed", true, false};

/// Synthetic: beads one after the other with checks between them, more steps than are searched exhaustively.
WorkPlan beads(int count, const std::string& coach = "c", double minutes = 120) {
    std::vector<Step> steps;
    std::vector<Edge> edges;
    for (int i = 0; i < count; ++i) {
        steps.push_back(plain_step((i % 2 ? "check " : "cap ") + std::to_string(i), minutes, 1, i % 2 == 0));
        if (i % 2 == 0) steps.back().gate = "bond";
        if (i > 0) edges.push_back(plain_edge(i - 1, i, 0));
    }
    return plan_with(steps, edges, coach);
}

Shop with_bays(std::vector<Bay> bays, int people = 1) {
    Shop shop = plain_shop(people);
    shop.bays = static_cast<int>(bays.size());
    shop.bay_list = std::move(bays);
    return shop;
}

/// Weather in which beads are laid in the open on Fridays only.
ScheduleOptions fridays() {
    ScheduleOptions options;
    for (int week = 0; week < 60; ++week) options.open_hours["bond"].push_back({hour(24 * (7 * week + 4)), hour(24 * (7 * week + 5))});
    return options;
}

const std::string& bay_of(const Schedule& result, const Shop& shop, std::size_t booking = 0) {
    return shop.bay_list.at(static_cast<std::size_t>(result.stays.at(booking).bay)).id;
}

}  // namespace

TEST_CASE("a coach stands where it is done first, wherever that bay is in the list", "[schedule][law]") {
    const int count = GENERATE(2, 12, 60);
    const WorkPlan plan = beads(count);
    const ScheduleOptions options = fridays();
    const Schedule alone = schedule(plan, with_bays({hall}), monday, options);
    REQUIRE(alone.steps.size() == plan.steps.size());
    for (const auto& bays : {std::vector<Bay>{yard, hall}, {hall, yard}, {yard, shed, hall}, {shed, hall, yard}}) {
        const Shop shop = with_bays(bays);
        const Schedule result = schedule(plan, shop, monday, options);
        CHECK(verify(result, plan, shop, monday, options).empty());
        CHECK(bay_of(result, shop) == "hall");
        CHECK(result.end == alone.end);
    }
    // In the yard alone the beads wait for Fridays.
    CHECK(schedule(plan, with_bays({yard}), monday, options).end > alone.end);
}

TEST_CASE("of two coaches the one with beads gets the heated bay, whichever is booked first", "[schedule]") {
    // One has beads all through, the other none: each alone in its bay is the best of all, for each person works on one coach.
    const WorkPlan sealed = beads(40, "sealed", 60);
    WorkPlan looked_at = beads(40, "looked at", 60);
    for (Step& step : looked_at.steps) step.gate.clear();
    const ScheduleOptions options = fridays();
    const Minute alone = schedule(sealed, with_bays({hall}, 2), monday, options).end;
    for (const bool first : {false, true})
        for (const auto& bays : {std::vector<Bay>{yard, hall}, {hall, yard}}) {
            const Shop shop = with_bays(bays, 2);
            std::vector<Booking> bookings(2);
            bookings[first ? 0 : 1].plan = sealed;
            bookings[first ? 1 : 0].plan = looked_at;
            const Schedule result = schedule(bookings, shop, monday, options);
            REQUIRE(verify(result, bookings, shop, monday, options).empty());
            CAPTURE(first, bays[0].id, result.tried, result.stopped, result.stays[0].begin - hour(0), result.stays[0].end - hour(0), result.stays[1].begin - hour(0), result.stays[1].end - hour(0));
            CHECK(bay_of(result, shop, first ? 0 : 1) == "hall");
            CHECK(bay_of(result, shop, first ? 1 : 0) == "yard");
            CHECK(result.end == alone);
        }
}

TEST_CASE("out of season beads are laid in a heated bay alone", "[schedule]") {
    Shop shop = with_bays({yard, hall});
    shop.sealing_months = {6, 7};
    const WorkPlan plan = beads(4);
    const Schedule inside = schedule(plan, shop, monday);
    CHECK(bay_of(inside, shop) == "hall");
    CHECK(inside.end == schedule(plan, with_bays({hall}), monday).end);
    CHECK(verify(inside, plan, shop, monday).empty());
    // The same hours in the yard are against the rule.
    Schedule outside = inside;
    outside.stays[0].bay = 0;
    CHECK_FALSE(verify(outside, plan, shop, monday).empty());
    // A coach that must stand in the yard waits for June.
    Booking booking;
    booking.plan = plan;
    booking.bay = 0;
    const Schedule waits = schedule(std::vector<Booking>{booking}, shop, monday);
    REQUIRE(waits.steps.size() == plan.steps.size());
    for (std::size_t i = 0; i < waits.steps.size(); ++i)
        if (plan.steps[static_cast<std::size_t>(waits.steps[i].step)].gate == "bond")
            for (const TimeSpan& piece : waits.steps[i].pieces) CHECK(year_month_day(day_of(piece.from)).month == 6);
    // A heated bay that the shop has somewhere, but not in its list, is all that `heated_bay` says: every bay.
    shop.heated_bay = true;
    CHECK(schedule(std::vector<Booking>{booking}, shop, monday).end == inside.end);
}
