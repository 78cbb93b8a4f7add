// Calendars of shops whose bays differ.

#include <algorithm>

#include "calendar/world.hpp"
#include "libseal/calendar/check.hpp"
#include "support/catch.hpp"

using namespace libseal;
using namespace libseal_test;

TEST_CASE("out of season work stands in heated bays alone", "[calendar][law]") {
    const std::uint64_t seed = GENERATE(range(20, 23));
    World w = world(seed);
    w.options.work_limit = GENERATE(1, 40);
    Shop shop = sample_shop(3, 2);
    shop.sealing_months = {6};
    shop.bay_list = {{"yard", false, false}, {"hall", true, true}};
    const Calendar calendar = calendar_of(w, shop);
    CHECK(faults(calendar, shop) == "");
    int winter = 0;
    for (const Visit& visit : calendar.visits) {
        if (visit.kind != "work") continue;
        CAPTURE(visit.coach, to_text(visit.first), to_text(visit.last), visit.bay);
        const bool in_june = year_month_day(visit.first).month == 6 && year_month_day(visit.last).month == 6;
        winter += in_june ? 0 : 1;
        if (!in_june) CHECK(visit.bay == 1);
    }
    CHECK(winter > 0);
    // Urgent work is begun before June, as in a shop that has the hall alone; with no heated bay it waits.
    const auto first_work = [&](const std::vector<Bay>& bays) {
        Shop other = shop;
        other.bay_list = bays;
        Date first = make_date(2028, 1, 1);
        for (const Visit& visit : calendar_of(w, other).visits)
            if (visit.kind == "work") first = std::min(first, visit.first);
        return first;
    };
    CHECK(first_work(shop.bay_list) == first_work({{"hall", true, true}, {"hall 2", true, true}}));
    CHECK(first_work({{"yard", false, false}, {"shed", true, false}}) == make_date(2027, 6, 1));
    // The check itself notices a visit moved into the yard.
    Calendar moved = calendar;
    for (Visit& visit : moved.visits)
        if (visit.kind == "work" && year_month_day(visit.first).month != 6) visit.bay = 0;
    CHECK(faults(moved, shop).find("begins on a day without sealing") != std::string::npos);
}
