// What is on record and what was looked for in vain, as a plan takes it; and what its tasks cost of the material.

#include <algorithm>
#include <cmath>

#include "libseal/core/error.hpp"
#include "libseal/work/plan.hpp"
#include "support/built_in.hpp"
#include "support/catch.hpp"
#include "support/trailers.hpp"
#include "work/samples.hpp"

using namespace libseal;
using namespace libseal_test;

// Synthetic coaches and shops; rules and laws of the project, amounts worked by hand.

namespace {

Coach trailer() { return trailer_of(9.1, make_date(2020, 5, 1), "synthetic"); }

const Joint& joint_of_type(const Coach& coach, const std::string& type) {
    for (const Joint& joint : coach.joints)
        if (joint.type == type) return joint;
    FAIL("no " << type);
    return coach.joints.front();
}

WorkPlan plan_of(const Coach& coach, const std::vector<Finding>& findings, const std::vector<WorkDone>& work = {}, const Shop& shop = sample_shop()) {
    PlanOptions options;
    options.work_done = work;
    return plan_work(coach, findings, quiet_forecast(coach), shop, sample_day(), options);
}

WorkDone done(const std::string& joint, const std::string& part, const std::string& action, int days_ago) {
    WorkDone work;
    work.coach = "synthetic";
    work.joint = joint;
    work.part = part;
    work.layer = joint.empty() ? "" : "cap_bead";
    work.action = action;
    work.date = sample_day() - days_ago;
    return work;
}

bool warns(const WorkPlan& plan, const std::string& text) {
    return std::any_of(plan.warnings.begin(), plan.warnings.end(), [&](const std::string& one) { return one.find(text) != std::string::npos; });
}

Money labour_of(double minutes, const Shop& shop) { return std::llround(minutes * static_cast<double>(shop.labour_rate_per_h) / 60); }

}  // namespace

TEST_CASE("signs looked for in vain make no work", "[work]") {
    const Coach coach = trailer();
    const std::string edge = joint_of_type(coach, "roof_edge_moulding").id, window = joint_of_type(coach, "window_frame").id;
    for (const char* sign : {"insert_short", "insert_out_of_track", "part_off_surface", "soft_substrate", "silicone_residue", "fastener_missing"}) {
        INFO(sign);
        CHECK(plan_of(coach, {finding_at(coach, edge, sign, "none")}).tasks.empty());
        CHECK(plan_of(coach, {finding_at(coach, window, sign, "none")}).tasks.empty());
    }
    CHECK(plan_of(coach, {finding_at(coach, edge, "insert_short", "severe")}).tasks.size() == 1);
}

TEST_CASE("beads over each other are counted by the days on which they were laid", "[work]") {
    const Coach coach = trailer();
    const std::string window = joint_of_type(coach, "window_frame").id;
    const Finding crack = finding_at(coach, window, "deep_crack", "slight", 0.2);
    const auto action = [&](const std::vector<WorkDone>& work) {
        const WorkPlan plan = plan_of(coach, {crack}, work);
        REQUIRE(plan.tasks.size() == 1);
        return plan.tasks[0].action;
    };
    const WorkDone first = done(window, "", "reseal_over", 400), second = done(window, "", "reseal_over", 300);
    CHECK(action({}) == "reseal_over");
    CHECK(action({first}) == "reseal_over");  // two beads, the most that may lie there
    CHECK(action({first, first}) == "reseal_over");  // the record told twice
    CHECK(action({first, second}) == "cut_out_and_reseal");
    CHECK(action({second, done(window, "", "cut_out_and_reseal", 350), first}) == "reseal_over");  // by date: the first came off
    WorkDone declined = second;
    declined.declined = true;
    CHECK(action({first, declined}) == "reseal_over");
    WorkDone other = second;
    other.coach = "another";
    CHECK(action({first, other}) == "reseal_over");
}

TEST_CASE("a way out stays shut until somebody frees it, whatever was sealed round it", "[work]") {
    const Coach coach = trailer();
    const Joint& frame = joint_of_type(coach, "exit_window_frame");
    REQUIRE_FALSE(frame.part.empty());
    const Finding shut = finding_at(coach, frame.id, "sealed_shut");
    for (const char* bead : {"touch_up", "reseal_over", "cut_out_and_reseal", "cover_with_tape"}) {
        INFO(bead);
        const WorkPlan plan = plan_of(coach, {shut}, {done(frame.id, "", bead, 5)});
        REQUIRE(plan.tasks.size() == 1);
        CHECK(plan.tasks[0].action == "clean_and_condition");
        CHECK(warns(plan, "sealed shut"));
    }
    CHECK(plan_of(coach, {shut}, {done("", frame.part, "clean_and_condition", 5)}).tasks.empty());
    CHECK(plan_of(coach, {shut}, {done(frame.id, "", "clean_and_condition", 5)}).tasks.empty());
    CHECK(plan_of(coach, {shut}, {done(frame.id, "", "rebed", 5)}).tasks.empty());
    CHECK(plan_of(coach, {shut}, {done("", frame.part, "clean_and_condition", 11)}).tasks.size() == 1);  // before it was seen
    // Declined, on the part or at its joint: a signed line.
    for (WorkDone refused : {done("", frame.part, "clean_and_condition", 5), done(frame.id, "", "clean_and_condition", 5)}) {
        CHECK_FALSE(warns(plan_of(coach, {shut}, {}), "signed line"));
        refused.declined = true;
        const WorkPlan plan = plan_of(coach, {shut}, {refused});
        REQUIRE(plan.tasks.size() == 1);
        CHECK(warns(plan, frame.part + ": declined although it is at once; a signed line is needed"));
    }
}

TEST_CASE("what the tasks cost of the material is what the plan pays for it", "[work][law]") {
    const std::uint64_t seed = GENERATE(range(1, 9));
    const Coach coach = sample_trailer(seed);
    Forecast forecast = sample_forecast(coach, seed);
    if (seed % 2 == 0) forecast.due_50.setConstant(sample_day().days + 10);
    Shop shop = sample_shop();
    PlanOptions options;
    options.opportunistic_days = 0;
    const std::vector<Finding> findings = sample_findings(coach, seed, 12);
    for (const Material& m : plan_work(coach, findings, forecast, shop, sample_day(), options).materials)
        shop.package_price[m.family] = 700 + 13 * static_cast<Money>(m.family.size());
    shop.billing.markup_percent = 20;
    const WorkPlan plan = plan_work(coach, findings, forecast, shop, sample_day(), options);
    REQUIRE(plan.tasks.size() > 1);
    CHECK(std::all_of(plan.materials.begin(), plan.materials.end(), [](const Material& m) { return m.priced; }));
    Money sum = 0;
    for (const Task& task : plan.tasks) {
        const Money material = task.cost.mode - labour_of(task.minutes.mode, shop);
        CHECK(material >= 0);
        CHECK(std::abs(material - (task.cost.low - labour_of(task.minutes.low, shop))) <= 1);
        sum += material;
    }
    CHECK(std::abs(sum - plan.material) <= static_cast<Money>(plan.tasks.size()));  // each share is rounded
}

TEST_CASE("an option for an insert, a bedding or a cover has the price of what is laid", "[work]") {
    const Coach coach = trailer();
    const auto option = [&](const Joint& joint, const Finding& finding, const std::string& action, const Shop& shop) {
        const WorkPlan plan = plan_of(coach, {finding}, {}, shop);
        for (const Task& task : plan.tasks)
            for (const ActionOption& one : task.options)
                if (task.joint == joint.id && one.action == action) return one.cost.mode;
        FAIL("no " << action);
        return Money{};
    };
    const auto material = [&](const Joint& joint, const Finding& finding, const std::string& action, const std::string& family, Money price) {
        Shop shop = sample_shop();
        shop.package_price.clear();
        const Money labour = option(joint, finding, action, shop);
        shop.package_price[family] = price;
        return option(joint, finding, action, shop) - labour;
    };
    // Insert: 1.5 % and 15 mm at each end, of rolls of 15.2 m.
    const Joint& edge = joint_of_type(coach, "roof_edge_moulding");
    const Finding shrunk = finding_at(coach, edge.id, "insert_short", "severe");
    CHECK(material(edge, shrunk, "replace_part", "pvc_insert", 100000) == std::llround(100000 * (edge.length * 1.015 + 0.03) / 15.2));
    CHECK(material(edge, shrunk, "replace_part", "butyl_tape", 100000) == 0);
    // Butyl tape: 25 mm of overlap and 7.5 %.
    const Joint& window = joint_of_type(coach, "window_frame");
    const Finding dry = finding_at(coach, window.id, "bedding_shrunk", "severe");
    CHECK(material(window, dry, "rebed", "butyl_tape", 100000) ==
          std::llround(100000 * (window.length + 0.025) * 1.075 / catalogue().number("take_off/butyl_roll_m")));
    // Cover tape on less than a roll: 100 mm a joint.
    Finding gap = finding_at(coach, window.id, "gap", "severe");
    gap.bedding_seen = "sound";
    const double roll = catalogue().number("take_off/cover_tape_roll_m");
    REQUIRE(window.length + 0.1 < roll);
    CHECK(material(window, gap, "temporary_cover", "seam_tape", 100000) == std::llround(100000 * (window.length + 0.1) / roll));
}
