#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "libseal/coach/place.hpp"
#include "libseal/core/text.hpp"
#include "libseal/work/plan.hpp"
#include "libseal/work/quote.hpp"
#include "support/catch.hpp"
#include "support/trailers.hpp"
#include "work/samples.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

Coach trailer() { return trailer_of(9.1, make_date(2020, 5, 1), "synthetic"); }

WorkPlan lifted_everywhere(const Coach& coach, const Shop& shop, const PlanOptions& options = {}) {
    std::vector<Finding> findings;
    for (const Joint& joint : coach.joints)
        if (layer_of(joint, "cap_bead")) findings.push_back(finding_at(coach, joint.id, "edge_lift", "severe", 0.4));
    return plan_work(coach, findings, quiet_forecast(coach), shop, sample_day(), options);
}

double minutes_of(const WorkPlan& plan, const std::string& step) {
    for (const Step& one : plan.steps)
        if (one.id == step) return one.minutes.mode;
    return 0;
}

}  // namespace

TEST_CASE("every step outdoors names its weather, and every step its tools and where one stands", "[work][law]") {
    const Coach coach = trailer();
    const WorkPlan plan = lifted_everywhere(coach, sample_shop());
    std::set<std::string> reaches;
    for (const Step& step : plan.steps) {
        if (step.people == 0) {
            CHECK((step.gate.empty() && step.reach.empty()));
            continue;
        }
        INFO(step.id);
        CHECK_FALSE(step.tools.empty());
        if (step.task < 0) continue;
        reaches.insert(step.reach);
        const bool roof = step.surface == "roof" || step.surface == "slide_roof";
        CHECK((step.reach == "roof") == roof);
        if (step.kind == "bed" || step.kind == "cap" || step.kind == "prime") CHECK(step.gate == "bond");
        if (step.kind == "water_test") CHECK(step.gate == "test");
        if (step.kind == "wash") CHECK(step.gate == (step.reach == "ground" ? "wash" : "climb"));
        if (step.kind == "strip") CHECK(step.gate == (step.reach == "ground" ? "" : "climb"));
    }
    CHECK(reaches == std::set<std::string>{"ground", "ladder", "roof"});
}

TEST_CASE("cold, heat, ladders and corrugated sheet stretch the minutes by their factors", "[work]") {
    // Factors of the notes: from a ladder 1.3, below 10 degC and above 32 degC 1.2, corrugated skin 1.5 (judgement).
    const Coach coach = trailer();
    const WorkPlan plain = lifted_everywhere(coach, sample_shop());
    PlanOptions options;
    for (const double temperature : {9.9, 32.1}) {
        options.temperature = temperature;
        const WorkPlan plan = lifted_everywhere(coach, sample_shop(), options);
        for (const Step& step : plain.steps)
            if (step.task >= 0 && step.people > 0 && step.kind != "water_test")
                CHECK(minutes_of(plan, step.id) == Approx(1.2 * step.minutes.mode).margin(1e-9).epsilon(0));
    }
    options = {};
    options.corrugated_skin = true;
    const WorkPlan corrugated = lifted_everywhere(coach, sample_shop(), options);
    Shop no_platform = sample_shop();
    no_platform.platforms = 0;
    const WorkPlan ladder = lifted_everywhere(coach, no_platform);
    int walls = 0, roofs = 0;
    for (const Step& step : plain.steps) {
        if (step.task < 0 || step.people == 0 || step.kind == "water_test") continue;
        const bool wall = step.surface == "street_wall" || step.surface == "curb_wall", roof = step.surface == "roof";
        if (wall) {
            ++walls;
            CHECK(minutes_of(corrugated, step.id) == Approx(1.5 * step.minutes.mode).margin(1e-9).epsilon(0));
        }
        if (roof) {
            ++roofs;
            CHECK(minutes_of(corrugated, step.id) == Approx(step.minutes.mode).margin(1e-9).epsilon(0));
            CHECK(minutes_of(ladder, step.id) == Approx(1.3 * step.minutes.mode).margin(1e-9).epsilon(0));
        }
    }
    CHECK((walls > 10 && roofs > 10));
}

TEST_CASE("what ends at the reach of somebody standing needs no ladder, a hand above it does", "[work]") {
    const Coach coach = trailer();
    const Joint& window = *std::find_if(coach.joints.begin(), coach.joints.end(), [](const Joint& joint) { return joint.type == "window_frame"; });
    double top = 0;
    for (const Point& at : window.path) top = std::max(top, place_of(coach, window.surface, window.slide, at).z);
    const auto reach_of = [&](double reach) {
        PlanOptions options;
        options.catalogue = Catalogue::built_in().with_overlay(
            "{\"schema\": \"libseal/catalogue/1\", \"values\": {\"labour_factor/reach_m\": {\"value\": " + number_text(reach) +
                ", \"unit\": \"m\", \"low\": 0.1, \"high\": 9, \"source\": \"test\", \"mark\": \"judgement\"}}}", "reach");
        const WorkPlan plan = lifted_everywhere(coach, sample_shop(), options);
        std::set<std::string> reaches;
        for (const Step& step : plan.steps)
            if (step.joint == window.id && step.task >= 0 && step.people > 0) reaches.insert(step.reach);
        return reaches;
    };
    CHECK(reach_of(top) == std::set<std::string>{"ground"});
    CHECK(reach_of(top - 0.1) == std::set<std::string>{"ladder"});
}

TEST_CASE("three beads over each other take twice as long to strip", "[work]") {
    const Coach coach = trailer();
    const std::string window = "window_1";
    PlanOptions options;
    WorkDone over;
    over.coach = coach.id;
    over.joint = window;
    over.layer = "cap_bead";
    over.action = "reseal_over";
    over.date = sample_day() - 900;
    options.work_done = {over};
    const double two = minutes_of(lifted_everywhere(coach, sample_shop(), options), window + "/strip");
    over.date = sample_day() - 400;
    options.work_done.push_back(over);
    const double three = minutes_of(lifted_everywhere(coach, sample_shop(), options), window + "/strip");
    CHECK(two > 0);
    CHECK(three == Approx(2 * two).margin(1e-9).epsilon(0));
    over.action = "cut_out_and_reseal";
    over.date = sample_day() - 100;
    options.work_done.push_back(over);
    CHECK(minutes_of(lifted_everywhere(coach, sample_shop(), options), window + "/strip") == Approx(two).margin(1e-9).epsilon(0));
}

TEST_CASE("skills stay on a step where somebody has them, else a licensed person is asked for", "[work]") {
    const Coach coach = trailer();
    std::string light;
    for (const Joint& joint : coach.joints)
        if (joint.type == "clearance_light") light = joint.id;
    REQUIRE_FALSE(light.empty());
    const std::vector<Finding> findings{finding_at(coach, light, "part_off_surface", "severe", 0.5)};
    Shop shop = sample_shop();
    const auto plan_at = [&] { return plan_work(coach, findings, quiet_forecast(coach), shop, sample_day()); };
    const auto skilled = [](const WorkPlan& plan) {
        return std::count_if(plan.steps.begin(), plan.steps.end(), [](const Step& step) { return !step.skills.empty(); });
    };
    const WorkPlan without = plan_at();
    CHECK(skilled(without) == 0);
    CHECK(std::any_of(without.warnings.begin(), without.warnings.end(), [](const std::string& w) { return w.find("licensed person: electricity") == 0; }));
    shop.people[0].skills = {"electricity"};
    const WorkPlan with = plan_at();
    CHECK(skilled(with) == 3);  // isolate, take it off, put it back
    CHECK(std::none_of(with.warnings.begin(), with.warnings.end(), [](const std::string& w) { return w.find("licensed person") == 0; }));
    for (const Step& step : with.steps)
        if (step.kind == "cap") CHECK(step.skills.empty());
}

TEST_CASE("a shop of one is told which steps need two", "[work]") {
    const Coach coach = trailer();
    const std::vector<Finding> findings{finding_at(coach, "window_1", "part_off_surface", "severe", 0.5)};
    const WorkPlan plan = plan_work(coach, findings, quiet_forecast(coach), sample_shop(1), sample_day());
    CHECK(std::any_of(plan.warnings.begin(), plan.warnings.end(), [](const std::string& w) { return w.find("second person") == 0; }));
    const WorkPlan pair = plan_work(coach, findings, quiet_forecast(coach), sample_shop(2), sample_day());
    CHECK(std::none_of(pair.warnings.begin(), pair.warnings.end(), [](const std::string& w) { return w.find("second person") == 0; }));
}

TEST_CASE("an awning that comes off is dead first, and the crew is asked for its steps too", "[work]") {
    const Coach coach = trailer();
    const auto rail = std::find_if(coach.joints.begin(), coach.joints.end(), [](const Joint& j) { return j.type == "awning_rail"; });
    REQUIRE(rail != coach.joints.end());
    const std::vector<Finding> findings{finding_at(coach, rail->id, "bedding_shrunk", "severe", 0.5)};
    const auto warning = [](const WorkPlan& plan, const std::string& start) {
        for (const std::string& text : plan.warnings)
            if (text.rfind(start, 0) == 0) return text;
        return std::string();
    };
    Shop shop = sample_shop(1);
    const WorkPlan alone = plan_work(coach, findings, quiet_forecast(coach), shop, sample_day());
    REQUIRE(alone.tasks.size() == 1);
    CHECK(alone.tasks[0].action == "rebed");
    const auto by_kind = [&](const std::string& kind) { return std::count_if(alone.steps.begin(), alone.steps.end(), [&](const Step& s) { return s.kind == kind; }); };
    CHECK(by_kind("isolate") == 1);
    const auto pairs = std::count_if(alone.steps.begin(), alone.steps.end(), [](const Step& s) { return s.people > 1; });
    REQUIRE(pairs >= 2);  // off, and on
    CHECK(warning(alone, "second person") == "second person: " + std::to_string(pairs) + " steps need two, the shop has one");
    CHECK(warning(alone, "licensed person: electricity").find("1 step needs") != std::string::npos);
    for (const Step& step : alone.steps) CHECK(step.skills.empty());  // nobody has it: said, and no reason for no schedule at all
    CHECK(std::any_of(alone.cautions.begin(), alone.cautions.end(), [](const Caution& c) { return c.id == "electricity"; }));
    shop.people[0].skills = {"electricity"};
    const WorkPlan skilled = plan_work(coach, findings, quiet_forecast(coach), shop, sample_day());
    CHECK(warning(skilled, "licensed person").empty());
    for (const Step& step : skilled.steps) CHECK(step.skills.empty() == (step.kind != "isolate"));
}

TEST_CASE("a temporary cover says what follows, from when, and when it ends", "[work]") {
    const Coach coach = trailer();
    Finding gap = finding_at(coach, "roof_vent_1", "gap", "severe", 0.3);
    gap.bedding_seen = "absent";
    Shop shop = sample_shop();
    shop.sealing_months = {5, 6, 7};
    const WorkPlan plan = plan_work(coach, {gap}, quiet_forecast(coach), shop, sample_day());
    REQUIRE(plan.tasks.size() == 1);
    const Task& task = plan.tasks[0];
    CHECK(task.action == "temporary_cover");
    CHECK(task.follow_up == "rebed");
    CHECK(task.cover_expires == sample_day() + 14);
    CHECK(task.follow_up_from == make_date(2027, 5, 3));  // 1 May 2027 is a Saturday
    CHECK(std::any_of(plan.notes.begin(), plan.notes.end(), [](const std::string& n) { return n.find("renew it until then") != std::string::npos; }));
    const std::string json = work_plan_json(plan);
    CHECK(json.find("\"follow_up\": \"rebed\"") != std::string::npos);
    CHECK(json.find("\"follow_up_from\": \"2027-05-03\"") != std::string::npos);
    CHECK(json.find("\"cover_expires\": \"" + to_text(sample_day() + 14) + "\"") != std::string::npos);
    const Quote offer = quote(plan, shop);
    REQUIRE(offer.items.size() == 1);
    CHECK(offer.items[0].cover_expires == sample_day() + 14);
    CHECK(quote_json(offer).find("\"cover_expires\": \"" + to_text(sample_day() + 14) + "\"") != std::string::npos);
}

TEST_CASE("what is due a little later is done now exactly where that saves more than it wastes", "[work][law]") {
    const std::uint64_t seed = GENERATE(range(1, 9));
    const Coach coach = sample_trailer(seed);
    const auto findings = sample_findings(coach, seed, 8);
    const Forecast forecast = sample_forecast(coach, seed);
    PlanOptions options;
    options.opportunistic_days = 0;
    const WorkPlan off = plan_work(coach, findings, forecast, sample_shop(), sample_day(), options);
    const WorkPlan on = plan_work(coach, findings, forecast, sample_shop(), sample_day());
    std::set<std::string> needed;
    for (const Task& task : off.tasks) {
        CHECK_FALSE(task.opportunistic);
        needed.insert(place_of_task(task));
    }
    int early = 0;
    for (const Task& task : on.tasks) {
        if (!task.opportunistic) {
            CHECK(needed.count(place_of_task(task)) == 1);
            continue;
        }
        ++early;
        CHECK(task.saving.money > task.saving.lost);
        CHECK(task.saving.minutes > 0);
        CHECK(task.reason.find("person-minutes") != std::string::npos);
        if (!needed.count(place_of_task(task))) {
            CHECK(task.due > sample_day() + 365);
            CHECK(task.due <= sample_day() + 730);
        }
    }
    CHECK(on.tasks.size() >= off.tasks.size());
    // Work that costs nothing to come back for is not done early.
    Shop free = sample_shop();
    free.labour_rate_per_h = 0;
    free.package_price.clear();
    for (const Task& task : plan_work(coach, findings, forecast, free, sample_day()).tasks) CHECK_FALSE(task.opportunistic);
    if (seed == 1) CHECK(early > 0);
}

TEST_CASE("a window due in 400 days is done with its neighbour, for a set-up less and a sixth of its life", "[work]") {
    const Coach coach = trailer();
    Forecast forecast = quiet_forecast(coach);
    const Joint& later = joint_of(coach, "window_4");
    REQUIRE(later.surface == joint_of(coach, "window_3").surface);
    const Eigen::Index row = forecast.row(coach.id, later.id, "cap_bead");
    const std::vector<Finding> findings{finding_at(coach, "window_3", "edge_lift", "severe", 0.4)};
    const auto early = [&](int days, const Shop& shop) -> std::vector<Task> {
        forecast.due_50(row) = sample_day().days + days;
        std::vector<Task> tasks = plan_work(coach, findings, forecast, shop, sample_day()).tasks;
        std::erase_if(tasks, [](const Task& task) { return !task.opportunistic; });
        return tasks;
    };
    const auto tasks = early(400, sample_shop());
    REQUIRE(tasks.size() == 1);
    const Task& task = tasks[0];
    CHECK(task.joint == later.id);
    CHECK(task.due == sample_day() + 400);
    // Set-up 30 and clearing away 20 minutes at 150.00 an hour; nobody else shares the later visit.
    CHECK(task.saving.minutes == Approx(50).margin(1e-9).epsilon(0));
    CHECK(task.saving.money == 12500);
    const double share = 400.0 / (sample_day() + 400 - make_date(2020, 5, 1));
    REQUIRE_FALSE(task.options.empty());
    CHECK(task.saving.lost == std::llround(share * static_cast<double>(task.options[0].cost.mode)));
    CHECK(task.saving.lost < task.saving.money);
    CHECK(task.reason.find("saves 50 person-minutes, 125.00 USD") != std::string::npos);
    CHECK(early(731, sample_shop()).empty());  // beyond the span
    // Where the shop is set up in no time and clears away as quickly, the life left counts for more.
    Shop quick = sample_shop();
    quick.visit_setup_minutes = 0;
    quick.package_price["non_sag_lap"] = 1000000;
    CHECK(early(400, quick).empty());
}

TEST_CASE("a joint of a part that comes off anyway is done while it is off", "[work]") {
    Coach coach = trailer();
    for (Joint& joint : coach.joints)
        if (joint.id == "window_4") joint.part = "window_3";  // an outer and an inner joint of one frame
    Forecast forecast = quiet_forecast(coach);
    const Eigen::Index row = forecast.row(coach.id, "window_4", "bedding");
    REQUIRE(row >= 0);
    forecast.due_50(row) = sample_day().days + 400;
    const WorkPlan plan = plan_work(coach, {finding_at(coach, "window_3", "part_off_surface", "severe", 0.4)}, forecast, sample_shop(), sample_day());
    const auto task = std::find_if(plan.tasks.begin(), plan.tasks.end(), [](const Task& t) { return t.joint == "window_4"; });
    REQUIRE(task != plan.tasks.end());
    CHECK(task->opportunistic);
    CHECK(task->action == "rebed");
    CHECK(task->with_joint == "window_3");
    CHECK(task->saving.minutes > 50);
    std::map<std::string, std::size_t> place;
    for (std::size_t i = 0; i < plan.order.size(); ++i) place[plan.steps[static_cast<std::size_t>(plan.order[i])].id] = i;
    CHECK(place.count("window_4/remove_part") == 0);
    CHECK(place.at("window_3/remove_part") < place.at("window_4/strip"));
    CHECK(std::any_of(plan.edges.begin(), plan.edges.end(), [](const Edge& edge) { return edge.rule == "batch_same_place"; }));
}

TEST_CASE("a new bead that would soon come off again for its bedding is not laid: the joint is re-bedded", "[work]") {
    const Coach coach = trailer();
    Forecast forecast = quiet_forecast(coach);
    const Eigen::Index row = forecast.row(coach.id, "window_3", "bedding");
    REQUIRE(row >= 0);
    forecast.due_50(row) = sample_day().days + 380;
    const std::vector<Finding> findings{finding_at(coach, "window_3", "edge_lift", "severe", 0.4)};
    const WorkPlan plan = plan_work(coach, findings, forecast, sample_shop(), sample_day());
    REQUIRE(plan.tasks.size() == 1);
    CHECK(plan.tasks[0].action == "rebed");
    CHECK(plan.tasks[0].opportunistic);
    CHECK(plan.tasks[0].observed);
    CHECK(plan.tasks[0].saving.money > plan.tasks[0].saving.lost);
    PlanOptions options;
    options.opportunistic_days = 0;
    CHECK(plan_work(coach, findings, forecast, sample_shop(), sample_day(), options).tasks.at(0).action == "cut_out_and_reseal");
}
