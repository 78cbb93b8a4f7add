// Work on a part alone, first of all on one that no joint seals: its steps, their place in the order, and the cautions of where it is.

#include <algorithm>
#include <set>

#include "libseal/schedule/schedule.hpp"
#include "libseal/work/quote.hpp"
#include "libseal/work/work_order.hpp"
#include "support/built_in.hpp"
#include "support/catch.hpp"
#include "work/samples.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

using Ids = std::set<std::string>;

/// Synthetic: a trailer with a slide-out and a small part without a joint on every kind of surface.
Coach trailer_with_loose_parts() {
    LayoutOptions options;
    options.id = "synthetic";
    options.slide_outs = 1;
    options.installed_from = options.installed_to = make_date(2020, 5, 1);
    Coach coach = travel_trailer(9, options);
    const auto add = [&](const char* surface, const std::string& slide, double u, double v) {
        coach.parts.push_back({"loose_on_" + std::string(surface), "cover", surface, slide, {u, v}, {u + 0.1, v + 0.1}, "a cover", ""});
    };
    const auto low_on = [&](const char* surface) {  // of the face, within reach from the ground
        const Surface& at = surface_of(coach, surface, "slide_1");
        return Point{(at.low.u + at.high.u) / 2, at.low.v + (at.high.v - at.low.v) / 4};
    };
    add("roof", "", 4.5, 0.1);
    add("underside", "", 4.5, 0.1);
    add("curb_wall", "", 4.5, 1.0);
    add("rear_cap", "", 0.2, coach.roof_height - 0.3);
    for (const char* surface : {"slide_roof", "slide_face", "slide_floor"}) add(surface, "slide_1", low_on(surface).u, low_on(surface).v);
    check_coach(coach, catalogue());
    return coach;
}

Finding at_part(const Coach& coach, const std::string& part, const std::string& sign, const std::string& size = "") {
    Finding finding = finding_at(coach, "", sign, size);
    finding.part = part;
    return finding;
}

WorkPlan plan_of(const Coach& coach, const std::vector<Finding>& findings) {
    return plan_work(coach, findings, quiet_forecast(coach), sample_shop(), sample_day());
}

Ids ids_of(const std::vector<Caution>& cautions) {
    Ids ids;
    for (const Caution& caution : cautions) ids.insert(caution.id);
    return ids;
}

std::size_t place_in_order(const WorkPlan& plan, const std::string& step) {
    for (std::size_t i = 0; i < plan.order.size(); ++i)
        if (plan.steps[static_cast<std::size_t>(plan.order[i])].id == step) return i;
    FAIL("no step " << step);
    return 0;
}

const Edge& edge_of(const WorkPlan& plan, const std::string& from, const std::string& to, const std::string& rule) {
    for (const Edge& edge : plan.edges)
        if (edge.rule == rule && plan.steps[static_cast<std::size_t>(edge.from)].id == from && plan.steps[static_cast<std::size_t>(edge.to)].id == to)
            return edge;
    FAIL("no edge " << rule << " from " << from << " to " << to);
    return plan.edges.front();
}

}  // namespace

TEST_CASE("work on a part without a joint is planned with the cautions of its place, on plan, task and work order", "[work]") {
    const Coach coach = trailer_with_loose_parts();
    struct At {
        const char* surface;
        Ids place;
    };
    // Who is up there, below it or beside what moves is told so; a hand above its reach of 1.8 m stands on a ladder.
    const At places[] = {{"roof", {"fall_from_roof", "roof_load", "ladder"}},
                         {"underside", {"under_coach"}},
                         {"curb_wall", {}},
                         {"rear_cap", {"ladder"}},
                         {"slide_roof", {"fall_from_roof", "ladder", "slide_out"}},
                         {"slide_face", {"slide_out"}},
                         {"slide_floor", {"slide_out", "under_coach"}}};
    const Ids of_places{"fall_from_roof", "roof_load", "ladder", "under_coach", "slide_out"};
    struct Work {
        const char* sign;
        const char* action;
        std::vector<std::string> kinds;
        Ids tools;
    };
    const Work works[] = {{"part_missing", "replace_part", {"remove_part", "fasten"}, {"blades", "electricity", "gas"}},
                          {"soft_substrate", "damage_survey", {"inspect_substrate"}, {"mould", "electricity", "gas"}},
                          {"sealed_shut", "clean_and_condition", {"strip", "wipe"}, {"blades", "heat_gun", "solvents", "data_sheets", "electricity", "gas"}},
                          {"latch_or_handle_loose", "refasten_and_seal", {"fasten"}, {"electricity", "gas"}}};
    for (const At& at : places)
        for (const Work& work : works) {
            const std::string part = "loose_on_" + std::string(at.surface);
            INFO(part << " " << work.action);
            const WorkPlan plan = plan_of(coach, {at_part(coach, part, work.sign, "severe")});
            REQUIRE(plan.tasks.size() == 1);
            const Task& task = plan.tasks[0];
            CHECK(task.action == work.action);
            CHECK((task.joint.empty() && task.part == part && task.family.empty() && task.volume_ml == 0));
            CHECK(plan.materials.empty());
            std::vector<std::string> kinds;
            Ids wanted = at.place, told, of_plan = ids_of(plan.cautions), of_order = ids_of(work_order(plan, sample_shop()).cautions);
            wanted.insert(work.tools.begin(), work.tools.end());
            for (const int i : task.steps) {
                const Step& step = plan.steps[static_cast<std::size_t>(i)];
                kinds.push_back(step.kind);
                CHECK(step.part == part);
                CHECK(step.surface == at.surface);
                // Each step says what hurts where one stands, not the first of them alone.
                for (const auto& id : at.place) CHECK(std::count(step.cautions.begin(), step.cautions.end(), id) == 1);
                told.insert(step.cautions.begin(), step.cautions.end());
                CHECK((step.reach == "ladder") == (std::string(at.surface) == "rear_cap"));
            }
            CHECK(kinds == work.kinds);
            CHECK(told == wanted);
            CHECK(Ids(task.cautions.begin(), task.cautions.end()) == wanted);
            for (const auto& id : wanted) CHECK((of_plan.count(id) == 1 && of_order.count(id) == 1));
            for (const auto& id : of_places) CHECK(of_plan.count(id) == at.place.count(id));
        }
}

TEST_CASE("the steps of a part without a joint share its minutes, and stand between the look and the check", "[work]") {
    const Coach coach = trailer_with_loose_parts();
    const WorkPlan plan = plan_of(coach, {at_part(coach, "loose_on_curb_wall", "part_missing"), at_part(coach, "loose_on_rear_cap", "part_missing")});
    REQUIRE(plan.tasks.size() == 2);
    for (const Task& task : plan.tasks) {
        // A part is 10, 25 or 60 min from the ground, and 1.3 times as long from a ladder ("labour_factor/roof_from_ladder").
        const double factor = task.part == "loose_on_rear_cap" ? 1.3 : 1.0;
        CHECK(task.minutes.low == Approx(10 * factor));
        CHECK(task.minutes.mode == Approx(25 * factor));
        CHECK(task.minutes.high == Approx(60 * factor));
        const std::string own = "part/" + task.part;
        CHECK(place_in_order(plan, "visit/photograph") < place_in_order(plan, own + "/remove_part"));
        // What is behind it is not known.
        CHECK(place_in_order(plan, "visit/isolate") < place_in_order(plan, own + "/remove_part"));
        CHECK(edge_of(plan, "visit/isolate", own + "/remove_part", "isolate_before_opening").strength == Strength::hard);
        CHECK(place_in_order(plan, own + "/remove_part") < place_in_order(plan, own + "/fasten"));
        CHECK(place_in_order(plan, own + "/fasten") < place_in_order(plan, "visit/function_check"));
        CHECK(edge_of(plan, own + "/remove_part", own + "/fasten", "strip_clean_prime_apply_cure_test").strength == Strength::hard);
        CHECK(edge_of(plan, "visit/photograph", own + "/remove_part", "look_before_touching").strength == Strength::hard);
        CHECK(edge_of(plan, own + "/fasten", "visit/function_check", "exits_and_vents_last_check").strength == Strength::hard);
    }
    // The rest of the way takes it like any other: a quote, times, files.
    const Quote offer = quote(plan, sample_shop());
    CHECK(std::any_of(offer.items.begin(), offer.items.end(), [](const QuoteItem& item) { return item.place == "loose_on_curb_wall"; }));
    const Schedule times = schedule(plan, sample_shop(), make_date(2027, 3, 1));
    CHECK((times.outcome == Outcome::feasible || times.outcome == Outcome::optimal));
    CHECK(work_plan_json(plan).find("loose_on_rear_cap") != std::string::npos);
}

TEST_CASE("what is soft behind a part without a joint is surveyed before a bead on its surface, not before others", "[work]") {
    const Coach coach = trailer_with_loose_parts();
    const auto window_on = [&](const std::string& surface) {
        for (const Joint& joint : coach.joints)
            if (joint.type == "window_frame" && joint.surface == surface) return joint.id;
        FAIL("no window on " << surface);
        return std::string();
    };
    const std::string here = window_on("curb_wall"), there = window_on("rear_cap");
    Finding crack = finding_at(coach, here, "deep_crack", "clear", 0.7), other = crack;
    other.joint = there;
    const WorkPlan plan = plan_of(coach, {at_part(coach, "loose_on_curb_wall", "soft_substrate", "clear"), crack, other});
    REQUIRE(plan.tasks.size() == 3);
    const std::string survey = "part/loose_on_curb_wall/inspect_substrate";
    CHECK(edge_of(plan, survey, here + "/cap", "damage_before_sealing").strength == Strength::hard);
    CHECK(place_in_order(plan, survey) < place_in_order(plan, here + "/cap"));
    const auto asks = [&](const std::string& bead) {
        return std::any_of(plan.edges.begin(), plan.edges.end(), [&](const Edge& edge) {
            return edge.rule == "damage_before_sealing" && plan.steps[static_cast<std::size_t>(edge.to)].id == bead;
        });
    };
    CHECK_FALSE(asks(there + "/cap"));
}

TEST_CASE("whoever stands on a ladder is told its caution, whatever the type of the joint", "[work][law]") {
    // A porch light is a tail light at two metres, a slide-out's seals run up to its top; synthetic coaches with everything due.
    const Coach coach = trailer_with_loose_parts();
    Forecast forecast = sample_forecast(coach, 1);
    forecast.due_50.setConstant(sample_day().days + 10);
    Shop shop = sample_shop();
    shop.platforms = GENERATE(0, 1);
    const WorkPlan plan = plan_work(coach, {}, forecast, shop, sample_day());
    std::set<std::string> types;
    for (const Step& step : plan.steps) {
        if (step.reach != "ladder") continue;
        types.insert(joint_of(coach, step.joint).type);
        INFO(step.id);
        CHECK(std::count(step.cautions.begin(), step.cautions.end(), "ladder") == 1);
    }
    CHECK(types.count("tail_light") == 1);
    CHECK(types.count("slide_bulb_seal") == 1);
    CHECK(types.count("roof_vent_flange") == (shop.platforms == 0 ? 1u : 0u));
}

TEST_CASE("a new window is ordered with its tape and its sealant", "[work]") {
    const Coach coach = trailer_with_loose_parts();
    const WorkPlan plan = plan_of(coach, {at_part(coach, "window_2", "part_cracked", "severe")});
    REQUIRE(plan.tasks.size() == 1);
    CHECK(plan.tasks[0].action == "replace_part");
    const auto ordered = [&](const std::string& family) -> const Material* {
        for (const Material& material : plan.materials)
            if (material.family == family) return &material;
        return nullptr;
    };
    const Material *tape = ordered("butyl_tape"), *sealant = ordered("non_sag_lap");
    REQUIRE((tape && sealant));
    CHECK(tape->length_m == Approx(joint_of(coach, plan.tasks[0].joint).length));
    CHECK(sealant->volume_ml == Approx(plan.tasks[0].volume_ml));
    CHECK((tape->packages >= 1 && sealant->packages >= 1));
}
