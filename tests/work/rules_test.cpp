#include "libseal/work/rules.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "libseal/coach/drainage.hpp"
#include "libseal/core/error.hpp"
#include "libseal/schedule/verify.hpp"
#include "support/catch.hpp"
#include "work/samples.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

/// A trailer with what the rules speak of: slide-outs with awnings, an awning, a ladder, gutters.
Coach full_trailer() {
    LayoutOptions options;
    options.id = "synthetic";
    options.slide_outs = 1;
    options.slide_awnings = options.awning = options.ladder = options.drip_rails = true;
    options.installed_from = options.installed_to = make_date(2020, 5, 1);
    return travel_trailer(9, options);
}

/// Steps of a job put together by hand.
class Job {
public:
    explicit Job(Coach coach = full_trailer()) : coach_(std::move(coach)) { add_job("photograph"); }

    Job& add_job(const std::string& kind) {
        Step step;
        step.id = "visit/" + kind;
        step.kind = kind;
        step.minutes = {10, 10, 10};
        steps.push_back(step);
        return *this;
    }
    /// Kinds in their order inside the joint; "cap" and "bed" with a family, "bed:pvc_insert".
    Job& add(const std::string& joint, const std::vector<std::string>& kinds, const std::string& state = "") {
        const Joint& place = joint_of(coach_, joint);
        for (const std::string& text : kinds) {
            const auto colon = text.find(':');
            Step step;
            step.kind = text.substr(0, colon);
            step.family = colon == std::string::npos ? (step.kind == "cap" ? "non_sag_lap" : "") : text.substr(colon + 1);
            step.id = joint + "/" + step.kind;
            step.task = task_;
            step.joint = joint;
            step.surface = place.surface;
            step.slide = place.slide;
            step.slide_state = state;
            step.minutes = {10, 10, 10};
            if (step.kind == "cure") step.people = 0, step.minutes = {}, step.wait = 1440;
            steps.push_back(step);
        }
        ++task_;
        return *this;
    }
    const StepOrder& order(const OrderOptions& options = {}, const std::vector<Edge>& given = {}) {
        found_ = step_order(steps, coach_, Catalogue::built_in(), given, options);
        return found_;
    }
    int step(const std::string& id) const {
        for (std::size_t i = 0; i < steps.size(); ++i)
            if (steps[i].id == id) return static_cast<int>(i);
        FAIL("no step " << id);
        return -1;
    }
    bool has(const std::string& id) const {
        return std::any_of(steps.begin(), steps.end(), [&](const Step& s) { return s.id == id; });
    }
    /// Is there a way from one step to the other along edges of a rule, or of any ("")?
    bool waits(const std::string& from, const std::string& to, const std::string& rule = "") const {
        std::set<int> reached{step(from)};
        for (bool more = true; more;) {
            more = false;
            for (const Edge& e : found_.edges)
                if ((rule.empty() || e.rule == rule) && reached.count(e.from) && reached.insert(e.to).second) more = true;
        }
        return reached.count(step(to)) > 0;
    }
    const Edge& edge(const std::string& from, const std::string& to, const std::string& rule) const {
        for (const Edge& e : found_.edges)
            if (e.rule == rule && e.from == step(from) && e.to == step(to)) return e;
        FAIL("no edge " << rule << " from " << from << " to " << to);
        return found_.edges.front();
    }
    /// The order is there, the opposite is refused, and the report of the refusal names the rule.
    void check_opposite_refused(const std::string& from, const std::string& to, const std::string& rule) const {
        INFO(rule << ": " << from << " before " << to);
        CHECK(waits(from, to, rule));
        CHECK_NOTHROW(ordered_steps(steps, found_.edges));
        std::vector<Edge> of_rule;
        for (const Edge& e : found_.edges)
            if (e.rule == rule) of_rule.push_back(e);
        of_rule.push_back({step(to), step(from), "look_before_touching", Strength::hard, 0, "the wrong way round"});
        try {
            ordered_steps(steps, of_rule);
            FAIL_CHECK("the opposite order was accepted");
        } catch (const ValueError& error) {
            CHECK(error.problems().at(0).got.find(rule) != std::string::npos);
        }
    }

    /// Times that have the two steps the wrong way round, as a plan without the rule allows, break the plan with the rule.
    void check_refused_by_verifier(const std::string& from, const std::string& to, const std::string& rule) const {
        INFO(rule << ": " << from << " before " << to);
        std::vector<Edge> without;
        for (const Edge& e : found_.edges)
            if (e.rule != rule) without.push_back(e);
        without.push_back({step(to), step(from), "look_before_touching", Strength::hard, 0, "the wrong way round"});
        const Date day = make_date(2027, 3, 1);
        const Schedule times = schedule(plan_with_edges(without), sample_shop(), day);
        REQUIRE((times.outcome == Outcome::feasible || times.outcome == Outcome::optimal));
        const WorkPlan plan = plan_with_edges(found_.edges);
        const std::vector<Violation> found = evaluate_schedule(times, {{plan}}, sample_shop(), day).violations;
        CHECK(std::any_of(found.begin(), found.end(), [&](const Violation& v) {
            return v.kind == "order" && v.text.find("(" + rule + ")") != std::string::npos;
        }));
    }

    std::vector<Step> steps;

private:
    WorkPlan plan_with_edges(const std::vector<Edge>& edges) const {
        WorkPlan plan;
        plan.coach = coach_.id;
        plan.steps = steps;
        plan.edges = edges;
        plan.order = ordered_steps(steps, edges);
        return plan;
    }

    Coach coach_;
    StepOrder found_;
    int task_ = 0;
};

const std::vector<std::string> reseal{"wash", "mask", "strip", "remove_residue", "wipe", "prime", "cap", "cure", "water_test"};
const std::vector<std::string> bedding{"wash", "remove_part", "strip", "wipe", "bed:butyl_tape", "fasten", "seal_fasteners", "cap", "cure", "water_test"};

const Joint& joint_of_type(const Coach& coach, const std::string& type) {
    const auto found = std::find_if(coach.joints.begin(), coach.joints.end(), [&](const Joint& j) { return j.type == type; });
    REQUIRE(found != coach.joints.end());
    return *found;
}

bool holds(const std::vector<std::string>& texts, const std::string& part) {
    return std::any_of(texts.begin(), texts.end(), [&](const std::string& t) { return t.find(part) != std::string::npos; });
}

}  // namespace

TEST_CASE("the table has the rules of the word list, each with a strength, a meaning and a source", "[work]") {
    const std::vector<SequenceRule>& rules = sequence_rules();
    REQUIRE_FALSE(rules.empty());
    std::set<std::string> names;
    for (const SequenceRule& rule : rules) {
        CAPTURE(rule.name);
        CHECK(names.insert(rule.name).second);
        CHECK(rule.meaning.back() == '.');
        CHECK_FALSE(rule.source.empty());
        CHECK(std::set<std::string>{"published", "common_practice", "judgement"}.count(rule.mark));
        CHECK(&sequence_rule(rule.name) == &rule);
    }
    CHECK_THROWS_AS(sequence_rule("silicone_first"), ValueError);
}

TEST_CASE("inside a joint: wash, strip, clean, prime, bed, fasten, cap, cure, test", "[work]") {
    Job job;
    job.add_job("isolate").add_job("water_test").add("window_3", bedding).add("window_4", reseal);
    job.add_job("function_check").add_job("record").order();
    job.check_opposite_refused("visit/photograph", "window_3/wash", "look_before_touching");
    job.check_opposite_refused("window_3/wash", "window_3/remove_part", "wash_before_cutting");
    job.check_opposite_refused("window_4/strip", "window_4/cap", "strip_clean_prime_apply_cure_test");
    job.check_opposite_refused("window_4/cap", "window_4/water_test", "strip_clean_prime_apply_cure_test");
    job.check_opposite_refused("window_3/fasten", "window_3/cap", "fasten_before_seal");
    job.check_opposite_refused("window_3/bed", "window_3/cap", "bed_before_cap");
    job.check_opposite_refused("window_3/water_test", "visit/record", "exits_and_vents_last_check");
    // Cures run on their own clock, the primer is covered while it is open, and what is cut open is closed on the same day.
    const Edge& cure = job.edge("window_4/cap", "window_4/cure", "strip_clean_prime_apply_cure_test");
    CHECK((cure.clock == LagClock::cure && cure.lag == 1440));
    CHECK(job.edge("window_4/prime", "window_4/cap", "strip_clean_prime_apply_cure_test").longest == 240);
    const Edge& closed = job.edge("window_3/strip", "window_3/bed", "cover_open_paths");
    CHECK((closed.longest == 600 && closed.strength == Strength::firm && closed.lag == 0));
}

TEST_CASE("the hose is there before the first joint is tested, whatever the list begins with", "[work]") {
    for (const bool first : {true, false}) {
        Job job;
        Step hose;
        hose.kind = "water_test";
        hose.id = "visit/water_test";
        hose.task = -1;
        hose.minutes = {5, 5, 5};
        if (first) job.steps.insert(job.steps.begin(), hose);
        job.add("skylight", {"wash", "cap", "cure", "water_test"});
        if (!first) job.steps.push_back(hose);
        job.order();
        CHECK(job.edge("visit/water_test", "skylight/water_test", "strip_clean_prime_apply_cure_test").reason == "hose and gauge set up");
        CHECK_FALSE(job.waits("skylight/cure", "visit/water_test"));
    }
}

TEST_CASE("a bedding settles before its bead only where asked for, by a firm edge", "[work]") {
    Job job;
    job.add("window_3", bedding);
    for (const Edge& e : job.order().edges) CHECK_FALSE((e.rule == "bed_before_cap" && e.strength == Strength::firm));
    OrderOptions options;
    options.settle_beddings = true;
    job.order(options);
    CHECK(job.edge("window_3/fasten", "window_3/cap", "bed_before_cap").lag == 1440);
}

TEST_CASE("an insert goes in when the sealant on its screws has a skin", "[work]") {
    Job job;
    job.add("roof_edge_curb", {"wash", "remove_part", "wipe", "seal_fasteners", "bed:pvc_insert", "cap", "cure"}).order();
    job.check_opposite_refused("roof_edge_curb/seal_fasteners", "roof_edge_curb/bed", "insert_after_fasteners");
    CHECK(job.edge("roof_edge_curb/seal_fasteners", "roof_edge_curb/bed", "insert_after_fasteners").lag ==
          Catalogue::built_in().number("sealant/non_sag_lap/skin_hours") * 60);
}

TEST_CASE("masking comes off before the skin, by a longest wait", "[work]") {
    Job job;
    job.add("window_3", {"wash", "mask", "wipe", "cap:silyl_modified", "unmask", "cure"}).order();
    job.check_opposite_refused("window_3/cap", "window_3/unmask", "unmask_before_skin");
    CHECK(job.edge("window_3/cap", "window_3/unmask", "unmask_before_skin").longest == 30);  // 0.5 h of this family
}

TEST_CASE("wires are dead before they are bared, damage and open paths come before beads and water", "[work]") {
    Job job;
    job.add_job("isolate").add("marker_light_1", bedding).add("window_3", {"inspect_substrate"});
    job.add("window_4", {"dry", "roll_tape"}).add(joint_of_type(full_trailer(), "roof_vent_flange").id, reseal).order();
    job.check_opposite_refused("visit/isolate", "marker_light_1/remove_part", "isolate_before_opening");
    job.check_opposite_refused("window_4/roll_tape", joint_of_type(full_trailer(), "roof_vent_flange").id + "/wash", "cover_open_paths");
    const std::string side = joint_of(full_trailer(), "window_3").surface;
    for (const Joint& joint : full_trailer().joints)
        if (joint.surface == side && joint.slide.empty() && joint.id != "window_3" && joint.type == "corner_moulding") {
            Job other;
            other.add("window_3", {"inspect_substrate"}).add(joint.id, reseal).order();
            other.check_opposite_refused("window_3/inspect_substrate", joint.id + "/cap", "damage_before_sealing");
        }
}

TEST_CASE("water decides: roof before walls, edge before wall, washes first, no test over what is uncured, low tests first", "[work]") {
    const Coach coach = full_trailer();
    const std::string vent = joint_of_type(coach, "roof_vent_flange").id;
    Job job;
    const std::string rail = "awning_rail";
    job.add("floor_edge_curb", reseal).add(rail, {"wash", "strip", "wipe", "cap", "cure", "water_test"}).add("roof_edge_curb", reseal).add(vent, reseal);
    job.order();
    job.check_opposite_refused(vent + "/cap", "floor_edge_curb/cap", "upstream_first");
    job.check_opposite_refused("roof_edge_curb/cap", rail + "/cap", "roof_edge_before_wall");
    job.check_opposite_refused(rail + "/cap", "floor_edge_curb/cap", "upstream_first");
    job.check_opposite_refused(vent + "/wash", "floor_edge_curb/cap", "wet_work_first");
    job.check_opposite_refused("floor_edge_curb/cure", vent + "/water_test", "no_water_on_uncured");
    job.check_opposite_refused("floor_edge_curb/water_test", vent + "/water_test", "test_low_to_high");
}

TEST_CASE("what is upstream comes from the drainage of the coach", "[work]") {
    const Coach coach = full_trailer();
    const Drainage ways = drainage(coach, Catalogue::built_in());
    // Every pair of joints of one surface of which one drains over the other, alone in a job.
    int pairs = 0;
    for (const Joint& lower : coach.joints)
        for (const std::string& upper : upstream_joints(ways, lower.id)) {
            const Joint& other = joint_of(coach, upper);
            if (other.surface != lower.surface || other.surface == "roof" || other.slide != lower.slide || !other.slide.empty() || ++pairs % 5 != 0) continue;
            Job job(coach);
            job.add(lower.id, {"wash", "strip", "cap"}).add(upper, {"wash", "strip", "cap"}).order();
            CAPTURE(upper, lower.id);
            CHECK(job.waits(upper + "/cap", lower.id + "/cap"));
        }
    CHECK(pairs > 20);
}

TEST_CASE("silicone is last, even where water would have it first", "[work]") {
    const std::string vent = joint_of_type(full_trailer(), "roof_vent_flange").id;
    Job job;
    job.add("floor_edge_curb", reseal).add(vent, {"wash", "strip", "cap:neutral_cure_silicone", "cure"}).order();
    job.check_opposite_refused("floor_edge_curb/cap", vent + "/cap", "silicone_last");
    job.check_refused_by_verifier("floor_edge_curb/cap", vent + "/cap", "silicone_last");
}

TEST_CASE("spots and runs of another family are told, a change at a corner is not", "[work]") {
    Coach coach = full_trailer();
    Joint first = joint_of(coach, "window_3");
    first.part = "";
    first.path = {{2, 1}, {3, 1}};
    first.layers = {{"cap_bead", "non_sag_lap", {}, {}, 1}};
    Joint straight = first, corner = first;
    first.id = "run", straight.id = "run_on", corner.id = "round_corner";
    straight.path = {{3, 1}, {4, 1}};
    corner.path = {{3, 1}, {3, 2}};
    coach.joints.insert(coach.joints.end(), {first, straight, corner});
    Job job(coach);
    job.add("run", {"wash", "wipe", "cap:polyurethane", "cure"});
    const auto& warnings = job.order().warnings;
    CHECK(holds(warnings, "run: spots of polyurethane in a bead of non sag lap"));
    CHECK(holds(warnings, "run (polyurethane) runs on into run_on (non sag lap)"));
    CHECK_FALSE(holds(warnings, "round_corner"));
    Job same(coach);
    CHECK(same.add("run", {"wash", "wipe", "cap:non_sag_lap", "cure"}).order().warnings.empty());
}

TEST_CASE("two works that lay different families on one joint are told of each other", "[work]") {
    Job job;
    job.add("window_3", {"wash", "cap:non_sag_lap", "cure"}).add("window_3", {"cap:polyurethane", "cure"});
    CHECK(holds(job.order().warnings, "window_3: non sag lap and polyurethane on one joint; keep to one family"));
    Job same;
    same.add("window_3", {"wash", "cap:non_sag_lap", "cure"}).add("window_3", {"cap:non_sag_lap", "cure"});
    CHECK_FALSE(holds(same.order().warnings, "keep to one family"));
}

TEST_CASE("a joint whose opening takes longer than a day asks for a cover overnight instead of the same day", "[work]") {
    Job job;
    job.add("awning_rail", bedding).add("window_3", bedding);
    // Six hours between cutting and closing fit a day ("gate/open_joint_work_hours"); wiping alone takes more here.
    job.steps[static_cast<std::size_t>(job.step("awning_rail/wipe"))].minutes.mode = 361;
    job.steps[static_cast<std::size_t>(job.step("window_3/wipe"))].minutes.mode = 360;
    const StepOrder& order = job.order();
    CHECK(holds(order.warnings, "awning_rail: cutting it free and closing it takes more than a day; cover it overnight"));
    CHECK_FALSE(holds(order.warnings, "window_3: cutting it free"));
    CHECK_FALSE(job.waits("awning_rail/strip", "awning_rail/bed", "cover_open_paths"));
    CHECK(job.edge("window_3/strip", "window_3/bed", "cover_open_paths").longest == 600);
}

TEST_CASE("a slide-out of unknown state is taken as it stands, then moved", "[work]") {
    Coach coach = full_trailer();
    std::erase_if(coach.parts, [](const Part& part) { return part.kind == "slide_out"; });
    Job job(coach);
    job.add("slide_1_roof_seam", {"wash", "strip", "cap", "cure"}, "out").add("slide_1_corner_front", {"strip", "wipe"}, "in").add_job("function_check").order();
    CHECK_FALSE(job.has("visit/slide_1_out"));
    REQUIRE(job.has("visit/slide_1_in"));
    CHECK(job.waits("slide_1_roof_seam/cure", "visit/slide_1_in"));
    CHECK(job.waits("visit/slide_1_in", "slide_1_corner_front/strip"));
    // An awning over no slide-out hides no seam; what it holds on to still needs it off.
    CHECK_FALSE(job.has("visit/slide_1_awning_off"));
    Job known;
    known.add("slide_1_roof_seam", reseal, "out").order();
    CHECK(known.has("visit/slide_1_awning_off"));
}

TEST_CASE("a slide-out is moved between the works that need it out and in, over cured beads alone", "[work]") {
    const Coach coach = full_trailer();
    Job job(coach);
    job.add("slide_1_corner_front", reseal, "in").add("slide_1_roof_seam", reseal, "out").add("slide_1_floor_edge", reseal).add_job("function_check").order();
    REQUIRE(job.has("visit/slide_1_in"));
    REQUIRE(job.has("visit/slide_1_out"));  // the tests of the roof need it out again
    job.check_opposite_refused("slide_1_roof_seam/cure", "visit/slide_1_in", "slide_still_while_curing");
    job.check_opposite_refused("visit/slide_1_in", "slide_1_corner_front/wash", "slide_state");
    job.check_opposite_refused("visit/slide_1_in", "visit/slide_1_out", "slide_state");
    CHECK(job.waits("slide_1_corner_front/water_test", "visit/slide_1_out"));
    CHECK(job.waits("visit/slide_1_out", "slide_1_roof_seam/water_test"));
    CHECK(job.waits("visit/slide_1_in", "slide_1_floor_edge/cap"));
    CHECK_NOTHROW(ordered_steps(job.steps, job.order().edges));
}

TEST_CASE("silicone on a slide-out asks for one more state, not for a loop", "[work]") {
    Job job;
    job.add("slide_1_roof_seam", {"wash", "strip", "cap:neutral_cure_silicone", "cure", "water_test"}, "out");
    job.add("slide_1_corner_front", reseal, "in").add("window_3", reseal);
    job.order();
    CHECK_NOTHROW(ordered_steps(job.steps, job.order().edges));
    CHECK(job.waits("slide_1_corner_front/cap", "slide_1_roof_seam/cap"));
    CHECK(job.waits("slide_1_roof_seam/wash", "slide_1_corner_front/cap"));
}

TEST_CASE("an awning is off before its rail and the seam it hides, and on again after the cure", "[work]") {
    Job job;
    job.add("awning_rail", bedding).add("slide_1_roof_seam", reseal, "out").add_job("function_check").order();
    job.check_opposite_refused("visit/awning_off", "awning_rail/wash", "awning_off_and_on");
    job.check_opposite_refused("awning_rail/water_test", "visit/awning_on", "awning_off_and_on");
    job.check_opposite_refused("visit/slide_1_awning_off", "slide_1_roof_seam/wash", "awning_off_and_on");
    CHECK(job.waits("awning_rail/cure", "visit/awning_on"));
    CHECK(job.waits("visit/awning_on", "visit/function_check"));
    // Its motor and lights have wires: dead before it comes off, once for both awnings, though nothing else here asks for it.
    REQUIRE(job.has("visit/isolate"));
    CHECK(std::count_if(job.steps.begin(), job.steps.end(), [](const Step& s) { return s.kind == "isolate"; }) == 1);
    job.check_opposite_refused("visit/isolate", "visit/awning_off", "isolate_before_opening");
    job.check_opposite_refused("visit/isolate", "visit/slide_1_awning_off", "isolate_before_opening");
    CHECK(job.waits("visit/photograph", "visit/isolate"));
    CHECK(job.waits("visit/isolate", "visit/function_check"));
    Job live;
    live.add_job("isolate").add("awning_rail", bedding).order();
    CHECK(std::count_if(live.steps.begin(), live.steps.end(), [](const Step& s) { return s.kind == "isolate"; }) == 1);
    // A new bead along the rail is laid with the awning in its place; a coach without awnings gets no such steps.
    Job bead;
    bead.add("awning_rail", reseal).order();
    CHECK_FALSE(bead.has("visit/awning_off"));
    CHECK_FALSE(bead.has("visit/isolate"));
    Coach bare = full_trailer();
    bare.parts.erase(std::remove_if(bare.parts.begin(), bare.parts.end(), [](const Part& p) { return p.kind == "slide_awning"; }), bare.parts.end());
    Job seam(bare);
    seam.add("slide_1_roof_seam", reseal, "out").order();
    CHECK_FALSE(seam.has("visit/slide_1_awning_off"));
}

TEST_CASE("on the roof one works towards the ladder, on walls in batches, in the sun with the shade", "[work]") {
    const Coach coach = full_trailer();
    Job roof(coach);
    roof.add(joint_of_type(coach, "rear_cap_to_roof").id, reseal).add(joint_of_type(coach, "front_cap_to_roof").id, reseal).order();
    roof.check_opposite_refused(joint_of_type(coach, "front_cap_to_roof").id + "/cap", joint_of_type(coach, "rear_cap_to_roof").id + "/cap",
                                "no_walking_on_fresh_beads");

    std::vector<std::string> curb;
    for (const Joint& joint : coach.joints)
        if (joint.type == "window_frame" && joint.surface == "curb_wall") curb.push_back(joint.id);
    REQUIRE(curb.size() >= 2);
    Job walls(coach);
    for (const std::string& id : curb) walls.add(id, reseal);
    walls.add("floor_edge_street", reseal);
    OrderOptions options;
    options.heading = 0;  // the street side faces west, the curb side east
    walls.order(options);
    const bool first_before = walls.waits(curb[0] + "/cap", curb[1] + "/cap", "batch_same_place");
    walls.check_opposite_refused(curb[first_before ? 0 : 1] + "/cap", curb[first_before ? 1 : 0] + "/cap", "batch_same_place");
    walls.check_opposite_refused("floor_edge_street/cap", curb[0] + "/cap", "follow_the_shade");
    options.heading = 180;
    Job turned(coach);
    turned.add(curb[0], reseal).add("floor_edge_street", reseal).order(options);
    turned.check_opposite_refused(curb[0] + "/cap", "floor_edge_street/cap", "follow_the_shade");
    for (const Edge& edge : turned.order().edges) CHECK(edge.rule != "follow_the_shade");  // shade or heading unknown
}

TEST_CASE("a coating waits for beads and tapes below it", "[work]") {
    const Coach coach = full_trailer();
    const std::string vent = joint_of_type(coach, "roof_vent_flange").id, front = joint_of_type(coach, "front_cap_to_roof").id,
                      rear = joint_of_type(coach, "rear_cap_to_roof").id;
    Job job(coach);
    job.add(vent, {"wash", "cap:self_levelling_lap", "cure"}).add(front, {"wash", "strip", "roll_tape:seam_tape"}).add(rear, {"wash", "coat"});
    const std::string skylight = joint_of_type(coach, "skylight_flange").id, pipe = joint_of_type(coach, "plumbing_vent_flange").id;
    job.add(skylight, {"wash", "cap:non_sag_lap", "cure"}).add(pipe, {"wash", "cap:polyurethane", "cure"}).order();
    // Solvent goes for days out of both laps; what cures by moisture is done when it has cured.
    CHECK(job.edge(skylight + "/cap", rear + "/coat", "coating_after_cure").lag == 10 * 1440);
    CHECK(job.edge(pipe + "/cure", rear + "/coat", "coating_after_cure").lag == 0);
    job.check_opposite_refused(vent + "/cap", rear + "/coat", "coating_after_cure");
    CHECK(job.edge(vent + "/cap", rear + "/coat", "coating_after_cure").lag == 10 * 1440);
    CHECK(job.edge(front + "/roll_tape", rear + "/coat", "coating_after_cure").lag == 1.5 * 1440);
}

TEST_CASE("beads have cured before the first frost, or the plan warns", "[work]") {
    OrderOptions options;
    options.work_day = make_date(2026, 10, 1);
    options.first_frost = make_date(2026, 11, 20);
    Job job;
    job.add("window_3", {"wash", "wipe", "cap:polyurethane", "cure"}).order(options);
    job.check_opposite_refused("visit/photograph", "window_3/cap", "cure_before_frost");
    const Edge& edge = job.edge("visit/photograph", "window_3/cap", "cure_before_frost");
    CHECK((edge.longest > 0 && edge.longest < 50 * 1440.0 && edge.strength == Strength::firm));
    options.first_frost = make_date(2026, 10, 2);
    CHECK(holds(job.order(options).warnings, "window_3: frost of 2026-10-02 comes before its bead is cured through"));
}

TEST_CASE("a firm or soft edge gives way to a hard one and is told", "[work]") {
    const std::string vent = joint_of_type(full_trailer(), "roof_vent_flange").id;
    Job job;
    job.add("floor_edge_curb", reseal).add(vent, reseal);
    const Edge wish{job.step("floor_edge_curb/cap"), job.step(vent + "/cap"), "silicone_last", Strength::hard, 0, "asked for by the caller"};
    const StepOrder& order = job.order({}, {wish});
    CHECK_NOTHROW(ordered_steps(job.steps, order.edges));
    REQUIRE_FALSE(order.gave_way.empty());
    CHECK(order.gave_way.front().rule == "upstream_first");
    CHECK(holds(order.notes, "upstream first gives way to stronger rules at"));
    CHECK_THROWS_AS(job.order({}, {{0, 9999, "silicone_last", Strength::hard, 0, "nowhere"}}), ValueError);
}

TEST_CASE("the order does not depend on what joints are called or how they are listed", "[work][law]") {
    const Coach coach = full_trailer();
    Coach other = coach;
    std::map<std::string, std::string> name;
    for (std::size_t i = 0; i < other.joints.size(); ++i) {
        name[other.joints[i].id] = "z" + std::to_string(900 - i);
        other.joints[i].id = name[other.joints[i].id];
    }
    std::reverse(other.joints.begin(), other.joints.end());
    Job one(coach), two(other);
    for (const Joint& joint : coach.joints) {
        if (!layer_of(joint, "cap_bead")) continue;
        one.add(joint.id, reseal);
        two.add(name.at(joint.id), reseal);
    }
    const auto pairs = [](const Job& job, const StepOrder& order, const std::map<std::string, std::string>* names) {
        std::set<std::string> found;
        for (const Edge& e : order.edges) {
            std::string text = e.rule;
            for (const int end : {e.from, e.to}) {
                const Step& step = job.steps[static_cast<std::size_t>(end)];
                text += " " + (step.joint.empty() ? step.id : (names ? names->at(step.joint) : step.joint) + "/" + step.kind);
            }
            found.insert(text);
        }
        return found;
    };
    const auto first = pairs(one, one.order(), &name), second = pairs(two, two.order(), nullptr);
    CHECK(first.size() > 500);
    CHECK(first == second);
}

TEST_CASE("with everything due every layout has an order without a loop, and drainage contradicts nothing hard but walking ways", "[work][law]") {
    for (const std::string& layout : layout_names()) {
        LayoutOptions options = layout_options(layout);
        options.installed_from = options.installed_to = make_date(2020, 5, 1);
        if (layout == "travel_trailer" || layout == "fifth_wheel" || layout == "motorhome") options.slide_awnings = true;
        const Coach coach = layout == "travel_trailer" ? travel_trailer(9, options)
                            : layout == "fifth_wheel"  ? fifth_wheel(11, options)
                            : layout == "motorhome"    ? motorhome(10, options)
                            : layout == "camper_van"   ? camper_van(6, options)
                                                       : truck_camper(5, options);
        CAPTURE(layout);
        Forecast forecast = sample_forecast(coach, 3);
        forecast.due_50.setConstant(forecast.as_of.days - 10);
        PlanOptions plan_options;
        plan_options.order.heading = 200;
        const WorkPlan plan = plan_work(coach, sample_findings(coach, 5, 120), forecast, sample_shop(), sample_day(), plan_options);
        CHECK(plan.tasks.size() > coach.joints.size() * 9 / 10);
        CHECK(plan.order.size() == plan.steps.size());
        CHECK(plan.edges.size() < 3 * plan.steps.size());
        CHECK(order_loops(static_cast<int>(plan.steps.size()), plan.edges).empty());
        std::vector<Step> steps;
        for (const Step& step : plan.steps)
            if (step.task >= 0 || step.id == "visit/" + step.kind) steps.push_back(step);
        const StepOrder order = step_order(steps, coach, plan_options.catalogue);
        for (const Edge& edge : order.gave_way)
            if (edge.rule == "upstream_first" || edge.rule == "roof_edge_before_wall") {
                const Step &from = steps[static_cast<std::size_t>(edge.from)], &to = steps[static_cast<std::size_t>(edge.to)];
                CAPTURE(from.id, to.id);
                CHECK((from.surface == "roof" && to.surface == "roof"));
            }
    }
}

TEST_CASE("a coach with everything due is ordered, and the order drawn needs fewer edges", "[work]") {
    LayoutOptions options = layout_options("fifth_wheel");
    options.slide_awnings = true;
    options.installed_from = options.installed_to = make_date(2020, 5, 1);
    const Coach coach = fifth_wheel(11, options);
    Job all(coach);
    for (const Joint& joint : coach.joints)
        if (layer_of(joint, "cap_bead")) all.add(joint.id, bedding);
    std::vector<Step> steps = all.steps;
    const StepOrder order = step_order(steps, coach, Catalogue::built_in());
    const auto drawn = reduced_edges(steps, order.edges);
    CHECK(steps.size() > 700);
    CHECK(drawn.size() > 700);
    CHECK(drawn.size() < order.edges.size());
}
