#include "libseal/schedule/explain.hpp"
#include "libseal/schedule/verify.hpp"
#include "schedule/samples.hpp"
#include "support/published.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

/// One vehicle in one week: check value 13 of the project's science notes (own exhaustive search there, proved again
/// by a constraint solver of the registry). Hours count from Monday 00:00.
struct Week {
    WorkPlan plan;
    Shop shop;
    ScheduleOptions options;
};

Week shop_week() {
    enum { strip_roof, prime, bed, cap, strip_wall, seal_wall, test };
    Week week;
    const auto add = [&](const std::string& id, double hours, const std::string& gate, bool roof) {
        Step s = plain_step(id, hours * 60, 1, true);
        s.gate = gate;
        s.reach = roof ? "ladder" : "ground";
        week.plan.steps.push_back(s);
    };
    add("strip roof", 3, "", true);
    add("prime", 1, "dry", true);
    add("bed", 2, "dry and warm", true);
    add("cap", 2, "dry and warm", true);
    add("strip wall", 2, "", false);
    add("seal wall", 2, "dry and warm", false);
    add("water test", 1, "", false);
    week.plan.edges = {plain_edge(strip_roof, prime), plain_edge(prime, bed), plain_edge(bed, cap, 240), plain_edge(strip_roof, strip_wall),
                       plain_edge(cap, seal_wall), plain_edge(strip_wall, seal_wall), plain_edge(cap, test, 1440),
                       plain_edge(seal_wall, test, 1440)};
    week.plan.coach = "one";
    week.plan.order = ordered_steps(week.plan.steps, week.plan.edges);
    week.shop = plain_shop(1);
    week.shop.ladders = 1;
    // Rain on Tuesday from 13 to 17; every day too cold for beads from 8 to 9.
    auto& dry = week.options.open_hours["dry"];
    auto& warm = week.options.open_hours["dry and warm"];
    for (int d = 0; d < 5; ++d) {
        const int last = d == 1 ? 13 : 24;
        dry.push_back({hour(d * 24), hour(d * 24 + last)});
        warm.push_back({hour(d * 24 + 9), hour(d * 24 + last)});
        if (d == 1) dry.push_back({hour(d * 24 + 17), hour(d * 24 + 24)}), warm.push_back({hour(d * 24 + 17), hour(d * 24 + 24)});
    }
    week.options.work_limit = 2000;
    return week;
}

}  // namespace

TEST_CASE("the shop week is solved and proved by the exhaustive search", "[schedule][published]") {
    const Week week = shop_week();
    const Schedule result = schedule(week.plan, week.shop, monday, week.options);
    REQUIRE(result.steps.size() == 7);
    CHECK(result.outcome == Outcome::optimal);
    CHECK(result.end == hour(84));
    CHECK(result.score.stay == 84 * 60);
    CHECK(result.bound.stay == 84 * 60);
    // Of the starts only the last is forced for the shortest stay; the others must fit.
    CHECK(result.steps[6].start == hour(83));
    CHECK(result.steps[0].start == hour(8));
    CHECK(result.steps[1].start == hour(11));
    CHECK(result.steps[3].start == hour(33));
    CHECK(verify(result, week.plan, week.shop, monday, week.options).empty());
    count_published("Project science notes, shop week, proved with Gecode 6.2", 5);
    // Its causes lead back to the first day.
    const auto chain = explain(result, {{week.plan}}, week.shop, monday, 0, 6, week.options);
    REQUIRE(chain.size() >= 3);
    CHECK(chain.front().kind == "order");
    CHECK(chain.back().by_step == -1);
    CHECK(std::any_of(chain.begin(), chain.end(), [](const Cause& cause) { return cause.kind == "weather"; }));
}

TEST_CASE("without rain the shop week is shorter, with another day of rain longer", "[schedule][law]") {
    Week week = shop_week();
    const Minute end = schedule(week.plan, week.shop, monday, week.options).end;
    Week dry = week;
    dry.options.open_hours.clear();
    CHECK(schedule(dry.plan, dry.shop, monday, dry.options).end < end);
    Week wet = week;
    for (auto& [gate, spans] : wet.options.open_hours)
        spans.erase(std::remove_if(spans.begin(), spans.end(), [](const TimeSpan& s) { return s.from >= hour(24) && s.from < hour(48); }), spans.end());
    CHECK(schedule(wet.plan, wet.shop, monday, wet.options).end > end);
}
