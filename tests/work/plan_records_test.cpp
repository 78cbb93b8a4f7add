// What is on record and what was looked for in vain, as a plan takes it; and what its tasks cost of the material.

#include <algorithm>
#include <cmath>
#include <limits>

#include "coach/layout_table.hpp"
#include "libseal/core/error.hpp"
#include "libseal/survey/segments.hpp"
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

TEST_CASE("the same record once more changes nothing of a plan", "[work][law]") {
    const Coach coach = trailer();
    const std::string window = joint_of_type(coach, "window_frame").id;
    Finding crack = finding_at(coach, window, "skin_cracks", "severe", 0.08), latch = finding_at(coach, window, "latch_or_handle_loose", "clear");
    latch.joint.clear();
    latch.part = joint_of(coach, window).part;
    const WorkPlan once = plan_of(coach, {crack, latch});
    Finding noted = crack;  // who noted it, and how, is no part of what was seen
    noted.note = "second sheet";
    const WorkPlan thrice = plan_of(coach, {crack, latch, noted, crack, latch});
    REQUIRE(once.tasks.size() == 2);
    REQUIRE(thrice.tasks.size() == 2);
    for (std::size_t i = 0; i < 2; ++i) {
        CHECK(thrice.tasks[i].reason == once.tasks[i].reason);
        CHECK(thrice.tasks[i].length == once.tasks[i].length);
        CHECK(thrice.tasks[i].volume_ml == once.tasks[i].volume_ml);
        CHECK(thrice.tasks[i].cost.mode == once.tasks[i].cost.mode);
    }
    CHECK(thrice.total.mode == once.total.mode);
    const auto touch = std::find_if(once.tasks.begin(), once.tasks.end(), [](const Task& task) { return task.action == "touch_up"; });
    REQUIRE(touch != once.tasks.end());
    CHECK(touch->length == Approx(0.08 * joint_of(coach, window).length));
    CHECK(touch->reason.find(';') == std::string::npos);
    // Cracks in another piece of the frame are another finding.
    Finding beside = crack;
    beside.share = 0.05;
    beside.segment = "top";
    CHECK(plan_of(coach, {crack, latch, beside}).total.mode > once.total.mode);
}

TEST_CASE("a share of a segment is touched up on this segment alone", "[work]") {
    const Coach coach = trailer();
    const Joint& window = joint_of_type(coach, "window_frame");
    double all = 0;
    std::vector<Finding> findings;
    for (const auto& segment : segments_of(window)) {
        if (segment.name != "front" && segment.name != "rear") continue;
        Finding crack = finding_at(coach, window.id, "skin_cracks", "severe", 0.1);
        crack.segment = segment.name;
        findings.push_back(crack);
        all += 0.1 * segment.length;
        const WorkPlan plan = plan_of(coach, {crack});
        REQUIRE(plan.tasks.size() == 1);
        REQUIRE(plan.tasks[0].action == "touch_up");
        CHECK(plan.tasks[0].length == Approx(0.1 * segment.length));
    }
    REQUIRE(findings.size() == 2);
    CHECK(plan_of(coach, findings).tasks.at(0).length == Approx(all));
}

TEST_CASE("work at a joint has the cautions of where it lies, whatever its type", "[work]") {
    for (const std::string& layout : layout_names()) {
        const bool small = layout == "camper_van" || layout == "truck_camper";
        const Coach coach = detail::layout_coach(layout, small ? 5 : 9, layout_options(layout));
        std::vector<Finding> findings;
        for (const Joint& joint : coach.joints) findings.push_back(finding_at(coach, joint.id, "deep_crack", "severe", 0.4));
        const WorkPlan plan = plan_of(coach, findings);
        std::size_t on_slides = 0, cut_on_roof = 0;
        for (const Step& step : plan.steps) {
            if (step.joint.empty() || step.people == 0) continue;
            INFO(coach.id << " " << step.id);
            const auto told = [&](const char* id) { return std::count(step.cautions.begin(), step.cautions.end(), id); };
            if (step.surface == "roof" || step.surface == "slide_roof") CHECK(told("fall_from_roof") == 1);
            if (step.surface == "roof") CHECK(told("roof_load") == 1);
            if (step.surface == "underside" || step.surface == "slide_floor") CHECK(told("under_coach") == 1);
            if (!step.slide.empty()) CHECK(told("slide_out") == 1);
            // Common practice, no source: who cuts or wipes with solvent is told so, on a roof as on a wall.
            const bool cuts = step.kind == "strip" || step.kind == "remove_part" || step.kind == "remove_residue";
            const bool wets = step.kind == "wipe" || step.kind == "remove_residue" || step.kind == "prime" || step.kind == "cap";
            const bool lays = step.kind == "cap" || step.kind == "bed" || step.kind == "seal_fasteners" || step.kind == "repair_holes";
            if (cuts || step.kind == "mask" || step.kind == "bed") CHECK(told("blades") == 1);
            CHECK(told("heat_gun") == (step.kind == "strip"));
            if (wets || lays) CHECK(told("data_sheets") == 1);
            if (wets) CHECK(told("solvents") == 1);
            cut_on_roof += cuts && step.surface == "roof";
            on_slides += !step.slide.empty() && step.surface == "slide_face";
        }
        CHECK(cut_on_roof > 0);
        CHECK((on_slides > 0) == std::any_of(coach.joints.begin(), coach.joints.end(), [](const Joint& one) { return one.surface == "slide_face"; }));
    }
}

TEST_CASE("a new part without bedding sits in its new sealant, not in the old one", "[work]") {
    Coach coach = trailer_of(9.1, make_date(2020, 5, 1), "synthetic");
    const std::string edge = joint_of_type(coach, "slide_floor_edge").id;
    Joint& joint = *std::find_if(coach.joints.begin(), coach.joints.end(), [&](const Joint& one) { return one.id == edge; });
    REQUIRE(layer_of(joint, "bedding") == nullptr);
    // Polyurethane may not go on the PVC of this edge; what is not known may go on nothing.
    for (const char* old : {"polyurethane", "unknown", "asphalt_or_roof_coating"}) {
        for (Layer& layer : joint.layers)
            if (layer.kind == "cap_bead") layer.family = old;
        const WorkPlan plan = plan_of(coach, {finding_at(coach, edge, "part_cracked", "severe")});
        REQUIRE(plan.tasks.size() == 1);
        REQUIRE(plan.tasks[0].action == "replace_part");
        for (const int i : plan.tasks[0].steps)
            if (const Step& step = plan.steps[static_cast<std::size_t>(i)]; step.kind == "bed") CHECK(step.family == plan.tasks[0].family);
    }
    // Where it is laid, as bedding or as a bead, its vapours are told.
    joint.substrates = {"plywood"};
    for (Layer& layer : joint.layers)
        if (layer.kind == "cap_bead") layer.family = "polyurethane";
    const WorkPlan plan = plan_of(coach, {finding_at(coach, edge, "part_cracked", "severe")});
    REQUIRE(plan.tasks.at(0).family == "polyurethane");
    std::size_t laid = 0;
    for (const Step& step : plan.steps)
        if (step.family == "polyurethane" && step.people > 0) {
            ++laid;
            CHECK(std::count(step.cautions.begin(), step.cautions.end(), "isocyanates") == 1);
        }
    CHECK(laid == 2);
}

TEST_CASE("a seal that has been cleaned and conditioned since the look is watched, not conditioned again", "[work]") {
    const Coach coach = trailer();
    const std::string seal = joint_of_type(coach, "slide_bulb_seal").id;
    const Finding set = finding_at(coach, seal, "gasket_set", "slight");  // ten days ago
    const auto action = [&](const std::vector<Finding>& findings, const std::vector<WorkDone>& work) {
        const WorkPlan plan = plan_of(coach, findings, work);
        return plan.tasks.empty() ? std::string("watched") : plan.tasks.at(0).action;
    };
    REQUIRE(action({set}, {}) == "clean_and_condition");
    for (const int days_ago : {10, 5, 0}) CHECK(action({set}, {done(seal, "", "clean_and_condition", days_ago)}) == "watched");
    const WorkPlan plan = plan_of(coach, {set}, {done(seal, "", "clean_and_condition", 5)});
    const auto watched = std::find_if(plan.watched.begin(), plan.watched.end(), [&](const Watched& one) { return one.joint == seal; });
    REQUIRE(watched != plan.watched.end());
    CHECK(watched->reason.find("cleaned and conditioned on " + to_text(sample_day() - 5)) != std::string::npos);
    // Before the look, declined, at another joint, or seen again afterwards: still to be done.
    CHECK(action({set}, {done(seal, "", "clean_and_condition", 11)}) == "clean_and_condition");
    WorkDone declined = done(seal, "", "clean_and_condition", 5);
    declined.declined = true;
    CHECK(action({set}, {declined}) == "clean_and_condition");
    CHECK(action({set}, {done(joint_of_type(coach, "slide_wiper_seal").id, "", "clean_and_condition", 5)}) == "clean_and_condition");
    const Finding again = finding_at(coach, seal, "gasket_set", "slight", 0.2, sample_day() - 2);
    CHECK(action({set, again}, {done(seal, "", "clean_and_condition", 5)}) == "clean_and_condition");
    // What is torn is not helped by it.
    CHECK(action({finding_at(coach, seal, "gasket_torn", "severe")}, {done(seal, "", "clean_and_condition", 5)}) == "replace_part");
}

TEST_CASE("a plan refuses parts that are not there, waits that are no time, measures and shares out of range", "[work][bad_input]") {
    const Coach coach = trailer();
    const Finding gap = finding_at(coach, joint_of_type(coach, "window_frame").id, "gap", "clear");
    const auto plan = [&](const Finding& finding, const PlanOptions& options) {
        return plan_work(coach, {finding}, quiet_forecast(coach), sample_shop(), sample_day(), options);
    };
    PlanOptions parts;
    parts.parts = {"window_1_prat"};
    CHECK_THROWS_AS(plan(gap, parts), ValueError);
    parts.parts = {gap.joint};  // as a coach without the part would have it
    CHECK(plan(gap, parts).tasks.empty());
    for (const double hours : {-1.0, std::nan("")}) {
        PlanOptions wait;
        wait.longest_cure_wait = hours;
        CHECK_THROWS_AS(plan(gap, wait), ValueError);
    }
    for (const double millimetres : {-0.1, 10001.0, std::numeric_limits<double>::infinity()}) {
        Finding measured = gap;
        measured.size.clear();
        measured.unit = "mm";
        measured.value = millimetres;
        CHECK_THROWS_AS(plan(measured, {}), ValueError);
    }
    for (const double share : {-0.1, 1.1}) {
        Finding wide = gap;
        wide.share = share;
        CHECK_THROWS_AS(plan(wide, {}), ValueError);
    }
}

TEST_CASE("damage that a survey has cleared is not surveyed again", "[work]") {
    const Coach coach = trailer();
    const std::string window = joint_of_type(coach, "window_frame").id;
    const auto at = [&](const char* sign, int days_ago, const char* size = "clear") { return finding_at(coach, window, sign, size, 0.2, sample_day() - days_ago); };
    const Finding stain = at("stain", 30), clean = at("clean_look", 5, ""), still = at("stain", 5);
    const auto surveyed = [&](const std::vector<Finding>& findings, const std::vector<WorkDone>& work) {
        const WorkPlan plan = plan_of(coach, findings, work);
        return !plan.tasks.empty() && plan.tasks.at(0).action == "damage_survey";
    };
    const WorkDone survey = done(window, "", "damage_survey", 20);
    CHECK(surveyed({stain}, {}));
    CHECK(surveyed({stain, clean}, {}));  // a defect does not heal
    CHECK(surveyed({stain}, {survey}));   // what it found is not on record
    CHECK_FALSE(surveyed({stain, clean}, {survey}));
    CHECK(plan_of(coach, {stain, clean}, {survey}).tasks.empty());
    CHECK(surveyed({stain, still}, {survey}));
    CHECK(surveyed({stain, clean}, {done(window, "", "damage_survey", 31)}));  // before the stain
    CHECK(surveyed({stain, clean}, {done(window, "", "damage_survey", 3)}));   // after the last look
    WorkDone declined = survey;
    declined.declined = true;
    CHECK(surveyed({stain, clean}, {declined}));
    // A bead that was bad as well stays bad.
    CHECK_FALSE(plan_of(coach, {stain, at("missing", 30, "severe"), clean}, {survey}).tasks.empty());
}

TEST_CASE("of what is covered a plan says until when the cover holds, not that it is to be covered today", "[work]") {
    const Coach coach = trailer();
    Finding open = finding_at(coach, joint_of_type(coach, "window_frame").id, "missing", "severe", 0.2, sample_day() - 30);
    open.bedding_seen = "absent";
    const auto told = [&](const std::vector<WorkDone>& work) {
        const WorkPlan plan = plan_of(coach, {open}, work);
        REQUIRE(plan.tasks.size() == 1);
        const bool note = std::any_of(plan.notes.begin(), plan.notes.end(), [](const std::string& one) { return one.find("cover it today") != std::string::npos; });
        CHECK(plan.tasks[0].cover_now);  // a cover is no repair
        CHECK(note == (plan.tasks[0].cover_expires == Date{}));
        return note;
    };
    CHECK(told({}));
    // A cover holds 14 days.
    CHECK_FALSE(told({done(open.joint, "", "temporary_cover", 0)}));
    CHECK_FALSE(told({done(open.joint, "", "temporary_cover", 14)}));
    CHECK(told({done(open.joint, "", "temporary_cover", 15)}));
    CHECK(told({done(open.joint, "", "temporary_cover", 31)}));  // before the look that found it open
    CHECK_FALSE(told({done(open.joint, "", "temporary_cover", 20), done(open.joint, "", "temporary_cover", 5)}));
    WorkDone declined = done(open.joint, "", "temporary_cover", 5);
    declined.declined = true;
    CHECK(told({declined}));
    const WorkPlan plan = plan_of(coach, {open}, {done(open.joint, "", "temporary_cover", 5)});
    CHECK(plan.tasks.at(0).cover_expires == sample_day() + 9);
    CHECK(std::any_of(plan.notes.begin(), plan.notes.end(), [](const std::string& one) { return one.find("holds until " + to_text(sample_day() + 9)) != std::string::npos; }));
}
