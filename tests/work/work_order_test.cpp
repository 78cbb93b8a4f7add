#include "libseal/work/work_order.hpp"

#include <algorithm>
#include <set>

#include "libseal/core/error.hpp"
#include "support/catch.hpp"
#include "support/published.hpp"
#include "work/samples.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

WorkPlan plan_of(std::uint64_t seed, const std::string& id = "synthetic") {
    const Coach coach = sample_trailer(seed, id);
    return plan_work(coach, sample_findings(coach, seed, 10), sample_forecast(coach, seed), sample_shop(), sample_day());
}

/// One step after the other, from 08:00 of a day.
std::vector<StepSlot> one_by_one(const WorkPlan& plan, Date day) {
    std::vector<StepSlot> slots;
    std::int64_t now = static_cast<std::int64_t>(day.days) * 1440 + 480;
    for (const int step : plan.order) {
        const Step& one = plan.steps[static_cast<std::size_t>(step)];
        if (one.people == 0) continue;
        const auto minutes = static_cast<std::int64_t>(one.minutes.mode) + 1;
        slots.push_back({step, now, now + minutes, {"p0"}, "bay 1"});
        now += minutes;
    }
    return slots;
}

}  // namespace

TEST_CASE("a work order holds each step of the plan once, in order, with the cautions of these steps", "[work][law]") {
    const std::uint64_t seed = GENERATE(range(1, 5));
    const WorkPlan plan = plan_of(seed);
    const WorkOrder order = work_order(plan, sample_shop());
    std::vector<std::string> expected, ids;
    std::set<std::string> cautions, told;
    for (const int step : plan.order) {
        const Step& one = plan.steps[static_cast<std::size_t>(step)];
        if (one.kind == "stage") continue;
        expected.push_back(one.id);
        cautions.insert(one.cautions.begin(), one.cautions.end());
    }
    for (const WorkOrderLine& line : order.lines) {
        ids.push_back(line.id);
        CHECK(line.number == static_cast<int>(ids.size()));
        if (line.kind == "cap") CHECK((line.volume_ml > 0 && !line.gate.empty()));
    }
    CHECK(ids == expected);
    for (const Caution& caution : order.cautions) told.insert(caution.id);
    CHECK(told == cautions);
    CHECK_FALSE(order.timed);
    CHECK_FALSE(order.tests.empty());
    CHECK(order.closing == plan.closing);
    CHECK(work_order_json(order) == work_order_json(work_order(plan, sample_shop())));
}

TEST_CASE("each joint that is tested with water stands in the list of tests, once", "[work]") {
    const Coach coach = sample_trailer(2);
    PlanOptions options;
    options.longest_cure_wait = 24 * 120;  // all beads are waited for
    const WorkPlan plan = plan_work(coach, {finding_at(coach, "window_1", "edge_lift", "severe", 0.5)}, sample_forecast(coach, 2), sample_shop(), sample_day(), options);
    const WorkOrder order = work_order(plan, sample_shop());
    int tested = 0;
    for (const Task& task : plan.tasks)
        for (const int i : task.steps) {
            if (plan.steps[static_cast<std::size_t>(i)].kind != "water_test") continue;
            ++tested;
            std::string place = task.joint;
            std::replace(place.begin(), place.end(), '_', ' ');
            CHECK(std::count(order.tests.begin(), order.tests.end(), "water test, " + place + ": one outside, one inside") == 1);
        }
    CHECK(tested > 0);
    CHECK(std::count_if(order.tests.begin(), order.tests.end(), [](const std::string& test) { return test.rfind("water test", 0) == 0; }) == tested);
}

TEST_CASE("times put the lines in order of their start", "[work]") {
    const WorkPlan plan = plan_of(2);
    const WorkOrder order = work_order(plan, sample_shop(), one_by_one(plan, make_date(2026, 12, 1)));
    CHECK(order.timed);
    CHECK(order.first == make_date(2026, 12, 1));
    std::int64_t last = 0;
    for (const WorkOrderLine& line : order.lines) {
        if (line.people == 0) continue;
        CHECK(line.start >= last);
        CHECK(line.who == std::vector<std::string>{"p0"});
        last = line.start;
    }
    CHECK(work_order_json(order).find("\"2026-12-01T08:00\"") != std::string::npos);
}

TEST_CASE("slots that do not fit the plan are refused", "[work][bad_input]") {
    const WorkPlan plan = plan_of(2);
    const auto good = one_by_one(plan, sample_day());
    auto slots = good;
    slots[0].step = static_cast<int>(plan.steps.size());
    CHECK_THROWS_AS(work_order(plan, sample_shop(), slots), ValueError);
    slots = good;
    slots.push_back(good[0]);
    CHECK_THROWS_AS(work_order(plan, sample_shop(), slots), ValueError);
    slots = good;
    slots[1].end = slots[1].start - 1;
    CHECK_THROWS_AS(work_order(plan, sample_shop(), slots), ValueError);
    slots = good;
    slots.pop_back();
    CHECK_THROWS_AS(work_order(plan, sample_shop(), slots), ValueError);
}

TEST_CASE("weeks are those of the standard", "[work][published]") {
    // Examples of ISO 8601 as commonly printed with it.
    using Week = std::pair<int, int>;
    CHECK(iso_week(make_date(2005, 1, 1)) == Week{2004, 53});
    CHECK(iso_week(make_date(2005, 12, 31)) == Week{2005, 52});
    CHECK(iso_week(make_date(2007, 1, 1)) == Week{2007, 1});
    CHECK(iso_week(make_date(2008, 12, 29)) == Week{2009, 1});
    CHECK(iso_week(make_date(2010, 1, 3)) == Week{2009, 53});
    CHECK(iso_week(make_date(2026, 12, 31)) == Week{2026, 53});
    count_published("ISO 8601 week examples", 6);
}

TEST_CASE("a week's packages hold the material of all its coaches, and no package more", "[work][law]") {
    std::vector<WorkOrder> orders;
    std::map<std::string, double> need;
    for (std::uint64_t seed = 1; seed < 5; ++seed) {
        const WorkPlan plan = plan_of(seed, "coach_" + std::to_string(seed));
        orders.push_back(work_order(plan, sample_shop(), one_by_one(plan, make_date(2026, 12, seed < 4 ? 1 : 8))));
        if (seed < 4)
            for (const Material& m : plan.materials) need[m.family] += m.ordered;
    }
    const auto weeks = parts_list(orders);
    REQUIRE(weeks.size() == 2);
    CHECK(weeks[0].week == 49);
    CHECK(weeks[0].monday == make_date(2026, 11, 30));
    CHECK(weeks[0].coaches == std::vector<std::string>{"coach_1", "coach_2", "coach_3"});
    CHECK(weeks[0].materials.size() == need.size());
    for (const Material& m : weeks[0].materials) {
        CHECK(m.ordered == Approx(need.at(m.family)).margin(1e-6));
        CHECK(m.packages * m.package_size >= m.ordered - 1e-6);
        CHECK((m.packages - 1) * m.package_size < m.ordered);
        int alone = 0;
        for (std::size_t i = 0; i < 3; ++i)
            for (const Material& own : orders[i].materials)
                if (own.family == m.family) alone += own.packages;
        CHECK(m.packages <= alone);
    }
    CHECK(parts_csv(weeks).find("2026,49,2026-11-30,") != std::string::npos);
    CHECK(parts_list({}).empty());
}

// Synthetic: three packages at 10.01 with a third on top, 30.03 + 10.00 of a currency with two decimals.
TEST_CASE("a list of parts of one order costs what the order costs, to the cent", "[work]") {
    WorkOrder order;
    order.coach = "synthetic";
    order.materials.resize(1);
    Material& lap = order.materials.front();
    lap.family = "non_sag_lap";
    lap.volume_ml = lap.ordered = 850;
    lap.package_size = 300;
    lap.packages = 3;
    lap.priced = true;
    lap.cost = 4003;
    CHECK(parts_list({order}).at(0).materials.at(0).cost == 4003);
    const auto twice = parts_list({order, order});  // 1700 mL: six packages
    CHECK(twice.at(0).materials.at(0).packages == 6);
    CHECK(twice.at(0).materials.at(0).cost == 8006);
}
