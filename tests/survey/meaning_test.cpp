#include "libseal/survey/meaning.hpp"

#include <algorithm>
#include <random>
#include <set>

#include "libseal/coach/layouts.hpp"
#include "support/built_in.hpp"
#include "support/catch.hpp"
#include "support/problems.hpp"
#include "support/trailers.hpp"

using namespace libseal;
using libseal_test::catalogue;

// Each rule is judgement of this project after trade sources (docs/survey.md): the tests see that it speaks where it should.

namespace {

const Date day = make_date(2026, 5, 4);

Coach trailer(Date fitted = make_date(2020, 5, 1), double heading = 90) {
    return libseal_test::standing(libseal_test::trailer_of(9.1, fitted), libseal_test::stay_since(make_date(2010, 1, 1), "725350", heading));
}

Finding at(const std::string& joint, const std::string& sign, const std::string& segment = "", Date when = day - 3) {
    Finding f;
    f.coach = "t1";
    f.joint = joint;
    f.sign = sign;
    f.segment = segment;
    f.date = when;
    return f;
}

std::vector<Check> of(const std::vector<Finding>& findings, const Coach& coach = trailer(), const std::vector<WorkDone>& work = {}) {
    return meaning(findings, coach, catalogue(), day, work);
}

bool has(const std::vector<Check>& checks, const std::string& rule, const std::string& joint) {
    return std::any_of(checks.begin(), checks.end(), [&](const Check& c) { return c.rule == rule && c.joint == joint; });
}

std::set<std::string> joints_of(const std::vector<Check>& checks, const std::string& rule) {
    std::set<std::string> joints;
    for (const auto& c : checks)
        if (c.rule == rule) joints.insert(c.joint);
    return joints;
}

}  // namespace

TEST_CASE("every sign but a clean look means something, in whole sentences with a likelihood", "[survey]") {
    std::set<std::string> spoken;
    for (const auto& sign : sign_names()) {
        INFO(sign);
        Finding f = at("window_1", sign);
        f.reason = "snow";
        const auto checks = of({f});
        CHECK(checks.empty() == (sign == "clean_look"));
        for (const auto& check : checks) {
            spoken.insert(check.rule);
            CHECK(check.why.back() == '.');
            CHECK(check.why.find("window_1 on 2026-05-01") != std::string::npos);
            CHECK(check.what.size() > 10);
            CHECK(check.likelihood > 0);
            CHECK(check.likelihood <= 1);
        }
        f.size = "none";
        if (sign != "not_inspected") CHECK(of({f}).empty());  // looked for and not there
    }
    for (const auto& rule : meaning_rules()) {
        INFO(rule);
        CHECK(catalogue().has("meaning/" + rule + "/likelihood"));
        for (const auto& sign : signs_of_rule(rule)) CHECK_NOTHROW(catalogue().word("grade/sign/" + sign + "/group"));
        if (rule != "frame_shrinks" && rule != "over_tight_screws" && rule != "fresh_squeeze_out") CHECK(spoken.count(rule) == 1);
    }
    CHECK(libseal_test::problems_of([] { signs_of_rule("look_upsteam"); })[0].hint == "did you mean \"look_upstream\"?");
}

TEST_CASE("squeeze-out is normal when fresh and a moving part later", "[survey]") {
    const auto late = of({at("window_1", "bedding_squeezed_out")});
    CHECK(has(late, "moulding_moves", "window_1"));
    CHECK_FALSE(has(late, "fresh_squeeze_out", "window_1"));
    CHECK(late.size() == 2);  // screws, and the wood round them
    const auto fresh = of({at("window_1", "bedding_squeezed_out")}, trailer(day - 200));
    CHECK(has(fresh, "fresh_squeeze_out", "window_1"));
    CHECK_FALSE(has(fresh, "moulding_moves", "window_1"));
    // A re-bedding in between makes it fresh again.
    WorkDone rebed;
    rebed.coach = "t1";
    rebed.joint = "window_1";
    rebed.layer = "bedding";
    rebed.action = "rebed";
    rebed.date = day - 100;
    CHECK(has(of({at("window_1", "bedding_squeezed_out")}, trailer(), {rebed}), "fresh_squeeze_out", "window_1"));
}

TEST_CASE("corners loose on most of a frame send the technician to its sisters, one loose corner does not", "[survey]") {
    const char* corners[] = {"corner_front_top", "corner_front_bottom", "corner_rear_top", "corner_rear_bottom"};
    std::vector<Finding> findings;
    for (int k = 0; k < 2; ++k) findings.push_back(at("window_1", "corner_loose", corners[k]));
    CHECK(joints_of(of(findings), "frame_shrinks").empty());
    CHECK(has(of(findings), "corner_strain", "window_1"));
    findings.push_back(at("window_1", "corner_loose", corners[2]));
    Coach coach = trailer();
    const auto sisters = joints_of(of(findings, coach), "frame_shrinks");
    std::set<std::string> windows;
    for (const auto& joint : coach.joints)
        if (joint.type == "window_frame") windows.insert(joint.id);
    REQUIRE(windows.size() >= 3);
    CHECK(sisters == windows);
    // One renewed later, and one with its own finding, are no longer in question.
    for (auto& joint : coach.joints)
        if (joint.id == *windows.rbegin())
            for (auto& layer : joint.layers) layer.installed_from = layer.installed_to = make_date(2024, 5, 1);
    CHECK(joints_of(of(findings, coach), "frame_shrinks").count(*windows.rbegin()) == 0);
}

TEST_CASE("a dirt run sends upstream, on the same wall, within half a metre", "[survey]") {
    Coach coach = trailer();
    Joint& lower = *std::find_if(coach.joints.begin(), coach.joints.end(), [](const Joint& j) { return j.id == "window_1"; });
    lower.surface = "curb_wall";
    lower.path = {{2, 1.2}, {3, 1.2}};
    const Joint like = lower;  // more joints move the list
    const auto place = [&](const char* id, double u0, double u1, double v) {
        Joint other = like;
        other.id = id;
        other.path = {{u0, v}, {u1, v}};
        coach.joints.push_back(other);
    };
    place("just_above", 2.5, 4, 1.6);
    place("too_high", 2, 3, 1.75);
    place("beside", 3.5, 4, 1.4);
    place("below", 2, 3, 1.0);
    const auto found = joints_of(of({at("window_1", "dirt_run")}, coach), "look_upstream");
    CHECK(found == std::set<std::string>{"just_above", "window_1"});
}

TEST_CASE("a dirt run with nothing near above it sends to the first joints upstream, over the edge of the roof", "[survey]") {
    const Coach coach = trailer(make_date(2020, 5, 1), 90);
    const auto found = joints_of(of({at("awning_rail", "dirt_run")}, coach), "look_upstream");
    CHECK(found.size() > 1);
    CHECK(found.contains("awning_rail"));
    for (const auto& id : found)
        if (id != "awning_rail") {
            INFO(id);
            CHECK(joint_of(coach, id).surface != "street_wall");
            CHECK(joint_of(coach, id).surface != "underside");
        }
}

TEST_CASE("a stain, and water in a light, send to the joints just above", "[survey]") {
    Coach coach = trailer();
    Joint& lower = *std::find_if(coach.joints.begin(), coach.joints.end(), [](const Joint& j) { return j.id == "window_1"; });
    lower.surface = "curb_wall";
    lower.path = {{2, 1.2}, {3, 1.2}};
    Joint above = lower, high = lower;
    above.id = "just_above";
    above.path = {{2.5, 1.6}, {4, 1.6}};
    high.id = "too_high";
    high.path = {{2, 1.75}, {3, 1.75}};
    coach.joints.push_back(above);
    coach.joints.push_back(high);
    for (const auto& [sign, rule] : {std::pair{"stain", "trace_the_stain"}, std::pair{"fogged_lens", "water_in_light"}}) {
        INFO(sign);
        CHECK(joints_of(of({at("window_1", sign)}, coach), rule) == std::set<std::string>{"just_above", "window_1"});
    }
}

TEST_CASE("wrinkles send to the beads that were laid the same day, not to others", "[survey]") {
    const auto done = [](const char* joint, Date when) { return WorkDone{"t1", joint, "cap_bead", when, "cut_out_and_reseal", "", 10, "", false, ""}; };
    const std::vector<WorkDone> work{done("window_1", day - 100), done("window_2", day - 100), done("skylight", day - 100), done("window_3", day - 99)};
    const auto sent = joints_of(of({at("window_1", "wrinkled")}, trailer(), work), "moved_while_curing");
    CHECK(sent == std::set<std::string>{"window_1", "window_2", "skylight"});
    // Laid at the maker's: all of it on one day, which says nothing.
    CHECK(joints_of(of({at("window_1", "wrinkled")}), "moved_while_curing") == std::set<std::string>{"window_1"});
}

TEST_CASE("skin cracks on the sunny side send to the other joints of that material in the sun", "[survey]") {
    const Coach coach = trailer(make_date(2020, 5, 1), 90);  // front to the east: the curb wall faces south
    const std::string sunny = "baggage_door_curb", shady = "baggage_door_street";
    const auto sent = joints_of(of({at(sunny, "skin_cracks")}, coach), "sunny_side_first");
    CHECK(sent.size() > 1);
    for (const auto& id : sent) {
        INFO(id);
        CHECK(joint_of(coach, id).surface != "street_wall");
        CHECK(layer_of(joint_of(coach, id), "cap_bead")->family == layer_of(joint_of(coach, sunny), "cap_bead")->family);
    }
    CHECK(joints_of(of({at(shady, "skin_cracks")}, coach), "sunny_side_first") == std::set<std::string>{shady});
    // Turned round, the street wall is the sunny one; without a heading nobody knows.
    const Coach turned = trailer(make_date(2020, 5, 1), 270);
    CHECK(joints_of(of({at(shady, "skin_cracks")}, turned), "sunny_side_first").size() > 1);
    const Coach unknown = trailer(make_date(2020, 5, 1), std::numeric_limits<double>::quiet_NaN());
    CHECK(joints_of(of({at(sunny, "skin_cracks")}, unknown), "sunny_side_first") == std::set<std::string>{sunny});
}

TEST_CASE("cracks at screws point at the hand that drew them, other cracks at a blow", "[survey]") {
    Finding crack = at("roof_vent_1", "part_cracked");
    CHECK(has(of({crack}), "struck_or_strained", "roof_vent_1"));
    crack.reaches_fastener = true;
    const auto checks = of({crack});
    CHECK(has(checks, "over_tight_screws", "roof_vent_1"));
    CHECK(has(checks, "over_tight_screws", "roof_vent_2"));
    CHECK_FALSE(has(checks, "struck_or_strained", "roof_vent_1"));
}

TEST_CASE("a soft wall calls for a damage survey and readings around it", "[survey]") {
    const auto checks = of({at("water_heater", "soft_substrate")});
    CHECK(checks.size() >= 2);
    const auto around = joints_of(checks, "wet_structure");
    CHECK(around.count("water_heater") == 1);
    const Coach coach = trailer();
    for (const auto& id : around) CHECK(joint_of(coach, id).surface == joint_of(coach, "water_heater").surface);
}

TEST_CASE("what was repaired, lies in the future, or belongs to another coach means nothing now", "[survey]") {
    CHECK(of({at("window_1", "gap", "", day + 1)}).empty());
    Finding other = at("window_1", "gap");
    other.coach = "t2";
    CHECK(of({other}).empty());
    WorkDone done;
    done.coach = "t1";
    done.joint = "window_1";
    done.layer = "cap_bead";
    done.action = "cut_out_and_reseal";
    done.date = day - 1;
    CHECK(of({at("window_1", "gap")}, trailer(), {done}).empty());
    done.declined = true;
    CHECK_FALSE(of({at("window_1", "gap")}, trailer(), {done}).empty());
    Finding snow = at("roof_vent_1", "not_inspected", "", day - 30);
    snow.reason = "snow";
    CHECK(has(of({snow}), "still_unseen", "roof_vent_1"));
    CHECK(of({snow, at("roof_vent_1", "clean_look")}).empty());
}

TEST_CASE("checks do not hang on the order of the findings", "[law]") {
    std::vector<Finding> findings{at("window_1", "rust_run"), at("window_1", "gap", "top"), at("roof_vent_1", "part_cracked"), at("window_2", "dirt_run"),
                                  at("window_1", "gap", "bottom"), at("window_2", "skin_cracks")};
    Finding part = at("", "latch_or_handle_loose");
    part.part = "entrance_door";
    findings.push_back(part);
    const auto text = [](const std::vector<Check>& checks) {
        std::string all;
        for (const auto& c : checks) all += c.joint + "|" + c.part + "|" + c.rule + "|" + c.what + "|" + c.why + "\n";
        return all;
    };
    const std::string first = text(of(findings));
    CHECK(first.find("|entrance_door|closes_badly|") != std::string::npos);
    std::mt19937 order(3);
    for (int k = 0; k < 10; ++k) {
        std::shuffle(findings.begin(), findings.end(), order);
        CHECK(text(of(findings)) == first);
    }
}

TEST_CASE("a finding on what the coach does not have is refused", "[bad_input]") {
    CHECK(libseal_test::problems_of([] { of({at("windwo_1", "gap")}); })[0].field == "findings[0].joint");
    Finding part = at("", "part_missing");
    part.part = "entrance_dor";
    const auto problems = libseal_test::problems_of([&] { of({part}); });
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].field == "findings[0].part");
    CHECK(problems[0].hint == "did you mean \"entrance_door\"?");
}
