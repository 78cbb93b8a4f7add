#include <algorithm>

#include "calendar/world.hpp"
#include "support/catch.hpp"

using namespace libseal;
using namespace libseal_test;

TEST_CASE("visits of large fleets have days without a schedule, and the shop can keep them", "[calendar][law]") {
    World w = world(17, 4);
    w.options.detailed_coaches = 0;
    for (const int bays : {1, 2}) {
        const Shop shop = sample_shop(2, bays);
        const Calendar calendar = calendar_of(w, shop);
        CHECK(faults(calendar, shop) == "");
        CHECK_FALSE(calendar.visits.empty());
        w.options.threads = 1;
        CHECK(calendar_of(w, shop).json_text() == calendar.json_text());
        w.options.threads = 0;
    }
}

TEST_CASE("where bays are scarcer than people, the days of the bays spread the visits over the weeks", "[calendar][law]") {
    World w = world(19, 12);
    for (Eigen::Index i = 0; i < w.forecast.due_50.size(); ++i) w.forecast.due_50[i] = make_date(2027, 6, 1).days;  // all want one week
    w.options.detailed_coaches = 0;
    const auto spread = [&](int bays) {
        const Shop shop = sample_shop(40, bays);
        const Calendar calendar = calendar_of(w, shop);
        CHECK(faults(calendar, shop) == "");
        return calendar.moving_cost;
    };
    const double one_bay = spread(1), many = spread(12);
    CHECK(one_bay > many);
    CHECK(many == 0);
}

TEST_CASE("work that no visit of the longest length has room for is told, and nothing is dropped", "[calendar][law]") {
    World w = world(20, 2);
    w.options.findings.clear();
    for (Eigen::Index i = 0; i < w.forecast.size(); ++i) w.forecast.due_50(i) = make_date(2027, 6, 15).days;
    w.options.earliest_days = 2;  // two working days before it is due
    const auto all = tasks_by_coach(calendar_of(w));
    w.options.most_visit_hours = 2;
    const Calendar tight = calendar_of(w);
    CHECK(faults(tight, sample_shop()) == "");
    auto told = tasks_by_coach(tight);
    std::size_t without_room = 0;
    for (const Unplaced& left : tight.unplaced) {
        if (left.joint.empty()) continue;
        CHECK_FALSE(told[left.coach].count(left.joint));
        told[left.coach].insert(left.joint);
        if (left.constraint == "no visit of at most 2 h has room for it") ++without_room;
    }
    CHECK(without_room > 0);
    CHECK(told == all);
}

TEST_CASE("a coach that waits for a cure stays over closed days, to a working day for its water test", "[calendar][law]") {
    World w = world(17, 4);
    w.options.detailed_coaches = 0;
    w.options.longest_cure_wait = 400;
    Shop shop = sample_shop(2, 2);
    const Calendar held = calendar_of(w, shop);
    CHECK(faults(held, shop) == "");
    w.options.longest_cure_wait = 0;
    const Calendar free = calendar_of(w, shop);
    const auto waiting = [](const Visit& v) { return v.kind == "work" && v.day_minutes.back() == 0; };
    CHECK(std::none_of(free.visits.begin(), free.visits.end(), waiting));
    int waits = 0, over_closed_days = 0;
    for (const Visit& visit : held.visits) {
        if (!waiting(visit)) continue;
        ++waits;
        INFO(visit.coach << " " << to_text(visit.first) << " " << to_text(visit.last));
        CHECK(works_on(shop, visit.last));
        for (Date day = visit.first; day < visit.last; day = day + 1)
            if (!works_on(shop, day)) {
                ++over_closed_days;
                break;
            }
    }
    CHECK(waits > 0);
    CHECK(over_closed_days > 0);
}
