// What counts as seen, as looked at since and as mended since, in grade, urgency and meaning alike.

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

#include "libseal/survey/meaning.hpp"
#include "libseal/survey/urgency.hpp"
#include "support/built_in.hpp"
#include "support/catch.hpp"
#include "support/trailers.hpp"

using namespace libseal;
using libseal_test::catalogue;

// The rules are the project's own (judgement, docs/survey.md): these tests see that each speaks where it should. Synthetic coaches.

namespace {

const Date day = make_date(2026, 5, 4);

Finding at(const std::string& joint, const std::string& sign, const std::string& size = "", Date when = day - 3) {
    Finding f;
    f.coach = "t1";
    f.joint = joint;
    f.sign = sign;
    f.size = size;
    f.date = when;
    return f;
}

Finding measured(Finding f, double value, const std::string& unit, double share = std::nan("")) {
    f.value = value;
    f.unit = unit;
    f.share = share;
    return f;
}

WorkDone done(const std::string& joint, const std::string& part, const std::string& action, Date when = day - 1) {
    WorkDone work;
    work.coach = "t1";
    work.joint = joint;
    work.part = part;
    work.layer = joint.empty() ? "" : "cap_bead";
    work.action = action;
    work.date = when;
    return work;
}

Coach trailer() { return libseal_test::trailer_of(9.1, make_date(2020, 5, 1)); }

std::vector<Check> of(const std::vector<Finding>& findings, const Coach& coach = trailer(), const std::vector<WorkDone>& work = {}) {
    return meaning(findings, coach, catalogue(), day, work);
}

bool speaks(const std::vector<Check>& checks, const std::string& rule) {
    return std::any_of(checks.begin(), checks.end(), [&](const Check& c) { return c.rule == rule; });
}

std::set<std::string> joints_of(const std::vector<Check>& checks, const std::string& rule) {
    std::set<std::string> joints;
    for (const auto& c : checks)
        if (c.rule == rule) joints.insert(c.joint);
    return joints;
}

Grade graded(const std::vector<Finding>& findings, const char* type) { return grade(findings, joint_type(catalogue(), type), catalogue()); }

UrgencyAnswer judged(const std::vector<Finding>& findings, const char* type, const std::vector<WorkDone>& work) {
    const JointType joint = joint_type(catalogue(), type);
    return judge(grade(findings, joint, catalogue()), findings, joint, false, catalogue(), day, work);
}

std::string exit_window(const Coach& coach) {
    for (const Joint& joint : coach.joints)
        if (joint.type == "exit_window_frame" && !joint.part.empty()) return joint.id;
    FAIL("no way out");
    return "";
}

}  // namespace

TEST_CASE("a measure of 0 says that nothing was there, but no thickness left is the worst", "[survey]") {
    CHECK(of({measured(at("window_1", "gap"), 0, "mm")}).empty());
    CHECK(of({measured(at("window_1", "fastener_missing"), 0, "percent")}).empty());
    // Worn to nothing: class 5 by its row ("under 1 mm"), and told like any other wear.
    const Finding bare = measured(at("window_1", "worn_thin"), 0, "mm");
    CHECK(graded({bare}, "window_frame").worst() >= 4);
    CHECK(speaks(of({bare}), "thickness_left"));
    CHECK(speaks(of({measured(bare, 0.1, "mm")}), "thickness_left"));
}

TEST_CASE("what was not inspected is open until a later look, whether that finds something or not", "[survey]") {
    const auto unseen = [](std::vector<Finding> more, const std::string& joint, const std::string& part = "") {
        Finding snow = at(joint, "not_inspected", "", day - 30);
        snow.part = part;
        snow.reason = "snow";
        more.push_back(snow);
        return speaks(of(more), "still_unseen");
    };
    CHECK(unseen({}, "roof_vent_1"));
    CHECK_FALSE(unseen({at("roof_vent_1", "gap", "clear")}, "roof_vent_1"));
    // Looked for and not there is a look.
    CHECK_FALSE(unseen({at("roof_vent_1", "gap", "none")}, "roof_vent_1"));
    CHECK_FALSE(unseen({measured(at("roof_vent_1", "gap"), 0, "mm")}, "roof_vent_1"));
    CHECK_FALSE(unseen({at("roof_vent_1", "clean_look")}, "roof_vent_1"));
    // An older look, another joint, another coach, or one more time without a look leave it open.
    CHECK(unseen({at("roof_vent_1", "clean_look", "", day - 31)}, "roof_vent_1"));
    CHECK(unseen({at("roof_vent_2", "clean_look")}, "roof_vent_1"));
    Finding elsewhere = at("roof_vent_1", "clean_look");
    elsewhere.coach = "t2";
    CHECK(unseen({elsewhere}, "roof_vent_1"));
    Finding again = at("roof_vent_1", "not_inspected");
    again.reason = "ice";
    CHECK(unseen({again}, "roof_vent_1"));
    // A part without a word of its joint has looks of its own.
    Finding door = at("", "clean_look");
    door.part = "entrance_door";
    CHECK(unseen({}, "", "entrance_door"));
    CHECK_FALSE(unseen({door}, "", "entrance_door"));
    CHECK(unseen({door}, "", "window_1"));
}

TEST_CASE("the list of what was not inspected knows coach, day and place", "[survey]") {
    Finding snow = at("roof_vent_1", "not_inspected", "", day - 30);
    snow.reason = "snow";
    const std::vector<std::string> told{"roof_vent_1 was not inspected on 2026-04-04: snow"};
    CHECK(not_inspected({snow}, "t1", day) == told);
    CHECK(not_inspected({snow}, "t2", day).empty());
    CHECK(not_inspected({snow}, "t1", day - 31).empty());
    // The newest of several is told; a look of the same day or later ends it, one before or after the day of the question does not.
    Finding ice = snow;
    ice.date = day - 2;
    ice.reason = "";
    CHECK(not_inspected({ice, snow}, "t1", day) == std::vector<std::string>{"roof_vent_1 was not inspected on 2026-05-02"});
    CHECK(not_inspected({snow, at("roof_vent_1", "gap", "none", day - 30)}, "t1", day).empty());
    CHECK(not_inspected({at("roof_vent_1", "clean_look", "", day - 31), snow, at("roof_vent_1", "clean_look", "", day + 1)}, "t1", day) == told);
    Finding door = snow;
    door.joint = "";
    door.part = "entrance_door";
    CHECK(not_inspected({door, snow}, "t1", day).size() == 2);
}

TEST_CASE("what is about a part alone is mended by work on that part, also where it was noted at its joint", "[survey]") {
    const Coach coach = trailer();
    const std::string joint = exit_window(coach), part = joint_of(coach, joint).part;
    const auto open = [&](const std::string& sign, const WorkDone& work) { return !of({at(joint, sign, "severe")}, coach, {work}).empty(); };
    CHECK_FALSE(open("sealed_shut", done("", part, "clean_and_condition")));
    CHECK_FALSE(open("sealed_shut", done(joint, "", "clean_and_condition")));
    CHECK_FALSE(open("latch_or_handle_loose", done("", part, "refasten_and_seal")));
    CHECK(open("latch_or_handle_loose", done("", part, "clean_and_condition")));
    CHECK(open("sealed_shut", done("", "entrance_door", "clean_and_condition")));
    CHECK(open("sealed_shut", done("", part, "clean_and_condition", day - 4)));  // before it was seen
    CHECK(open("sealed_shut", done("", part, "clean_and_condition", day + 1)));  // not yet
    WorkDone declined = done("", part, "clean_and_condition");
    declined.declined = true;
    CHECK(open("sealed_shut", declined));
    // A new bead round a way out does not free it.
    for (const char* bead : {"touch_up", "reseal_over", "cut_out_and_reseal", "cover_with_tape"}) {
        INFO(bead);
        CHECK(open("sealed_shut", done(joint, "", bead)));
        CHECK_FALSE(open("gap", done(joint, "", bead)));
    }
    // The bead is not mended by work on the part alone.
    CHECK(open("gap", done("", part, "refasten_and_seal")));
    CHECK_FALSE(open("latch_or_handle_loose", done(joint, "", "rebed")));
}

TEST_CASE("a layer is mended by work on it, by work without a layer and by a new bedding below it", "[survey]") {
    const auto open = [&](const std::string& seen, const std::string& renewed, const std::string& action) {
        Finding f = at("window_1", "gap", "severe");
        f.layer = seen;
        WorkDone work = done("window_1", "", action);
        work.layer = renewed;
        return !of({f}, trailer(), {work}).empty();
    };
    CHECK_FALSE(open("cap_bead", "cap_bead", "cut_out_and_reseal"));
    CHECK_FALSE(open("", "cap_bead", "cut_out_and_reseal"));
    CHECK_FALSE(open("cap_bead", "", "cut_out_and_reseal"));
    CHECK(open("bedding", "cap_bead", "cut_out_and_reseal"));
    CHECK_FALSE(open("cap_bead", "bedding", "rebed"));
    CHECK(open("cap_bead", "cap_bead", "temporary_cover"));
}

TEST_CASE("a declined record on the part needs a signed line where the way out is noted at its joint", "[survey]") {
    Finding shut = at("window_4", "sealed_shut");
    shut.part = "window_4_part";
    WorkDone declined = done("", "window_4_part", "clean_and_condition");
    declined.declined = true;
    CHECK(judged({shut}, "exit_window_frame", {declined}).needs_signature);
    declined.part = "another";
    CHECK_FALSE(judged({shut}, "exit_window_frame", {declined}).needs_signature);
    // What was declined of the latch says nothing of the bead, though both name the part.
    Finding soft = at("window_4", "soft_substrate");
    soft.part = "window_4_part";
    declined.part = "window_4_part";
    declined.action = "refasten_and_seal";
    CHECK_FALSE(judged({soft}, "exit_window_frame", {declined}).needs_signature);
    declined.joint = "window_4";
    CHECK(judged({soft}, "exit_window_frame", {declined}).needs_signature);
    declined.part = "another";
    CHECK_FALSE(judged({soft}, "exit_window_frame", {declined}).needs_signature);
}

TEST_CASE("the newest of several covers and refusals counts, none of the future", "[survey]") {
    Finding gap = at("v", "gap", "severe", day - 40);
    gap.bedding_seen = "absent";
    const WorkDone first = done("v", "", "temporary_cover", day - 30), second = done("v", "", "temporary_cover", day - 10),
                   planned = done("v", "", "temporary_cover", day + 2);
    for (const auto& work : {std::vector<WorkDone>{first, second, planned}, std::vector<WorkDone>{planned, second, first}})
        CHECK(judged({gap}, "roof_vent_flange", work).cover_expires == day + 4);  // 14 days from the second
    WorkDone refused = second;
    refused.declined = true;
    CHECK(judged({gap}, "roof_vent_flange", {refused}).cover_expires == day + 14);  // none is on: one goes on today
    WorkDone later = refused;
    later.date = day - 1;
    later.action = "rebed";
    for (const auto& work : {std::vector<WorkDone>{refused, later}, std::vector<WorkDone>{later, refused}})
        CHECK(judged({gap}, "roof_vent_flange", work).reasons.back().find("rebed was declined on 2026-05-03") == 0);
}

TEST_CASE("a part that is cracked from a screw is no bare screw", "[survey]") {
    // Rule 5 speaks of a bare screw; the crack of a cover leaves its screws under it.
    Finding crack = at("v", "part_cracked", "slight");
    crack.reaches_fastener = true;
    const Grade cracked = graded({crack}, "roof_vent_flange");
    CHECK(cracked.hardware == 3);
    CHECK(cracked.cap == -1);
    CHECK(cracked.open_path == OpenPath::no);
    // A screw that is gone or bare is one: over the deck an open path, elsewhere grade 4 and not known.
    Finding bare = at("v", "fastener_loose", "slight");
    bare.reaches_fastener = true;
    CHECK(graded({bare}, "roof_vent_flange").cap == 5);
    CHECK(graded({bare}, "roof_vent_flange").open_path == OpenPath::yes);
    CHECK(graded({bare}, "window_frame").cap == 4);
    CHECK(graded({bare}, "window_frame").open_path == OpenPath::unknown);
}

TEST_CASE("a hard bead makes its small cracks one worse, not what else is there", "[survey]") {
    const Finding lift = measured(at("w", "edge_lift"), 3, "mm", 0.2), hard = at("w", "hardened", "clear");
    const Finding crack = measured(at("w", "skin_cracks"), 0.05, "mm", 0.2);
    CHECK(graded({lift}, "roof_vent_flange").cap == 3);
    CHECK(graded({crack}, "roof_vent_flange").cap == 2);
    CHECK(graded({crack, hard}, "roof_vent_flange").cap == 3);
    CHECK(graded({lift, crack, hard}, "roof_vent_flange").cap == 3);
    CHECK(graded({lift, hard}, "roof_vent_flange").cap == 3);
    CHECK(graded({crack, at("w", "hardened", "none")}, "roof_vent_flange").cap == 2);
    // Cracks of class 3 and deeper are judged as they are.
    const Finding deep = measured(at("w", "skin_cracks"), 0.4, "mm", 0.2);
    CHECK(graded({deep}, "roof_vent_flange").cap == 3);
    CHECK(graded({deep, hard}, "roof_vent_flange").cap == 3);
}

TEST_CASE("a reading is damage from 20 % and 5 % above the dry spot, structural from 31 %", "[survey]") {
    const auto damage = [](double here, double dry) {
        Finding f = at("w", "clean_look");
        f.moisture = here;
        f.moisture_dry = dry;
        return graded({f}, "window_frame").damage;
    };
    const double none = std::numeric_limits<double>::quiet_NaN();
    CHECK(damage(none, 10) == 0);
    CHECK(damage(19.9, 10) == 0);
    CHECK(damage(20, none) == 1);
    CHECK(damage(20, 15) == 1);
    CHECK(damage(20.4, 15.4) == 1);  // on the edge, though not in binary
    CHECK(damage(20.4, 15.5) == 0);
    CHECK(damage(20, 16) == 0);
    CHECK(damage(30.9, 10) == 1);
    CHECK(damage(31, 10) == 3);
    CHECK(damage(31, none) == 3);
    CHECK(damage(31, 27) == 0);  // the meter reads high everywhere on this coach
    CHECK(graded({at("w", "soft_substrate", "none")}, "window_frame").damage == 0);
    CHECK(graded({at("w", "soft_substrate")}, "window_frame").damage == graded({at("w", "soft_substrate", "clear")}, "window_frame").damage);
}

TEST_CASE("south of the equator the midday sun stands in the north", "[survey]") {
    // Front to the west: the curb wall (right of the front) faces north, the street wall south.
    const std::string curb = "baggage_door_curb", street = "baggage_door_street";
    const auto sunny = [&](const std::string& joint, double latitude) {
        Stay stay = libseal_test::stay_since(make_date(2010, 1, 1), "725350", 270);
        stay.latitude = latitude;
        return joints_of(of({at(joint, "skin_cracks")}, libseal_test::standing(trailer(), stay)), "sunny_side_first").size() > 1;
    };
    CHECK(sunny(curb, -30));
    CHECK_FALSE(sunny(street, -30));
    CHECK_FALSE(sunny(curb, 40));
    CHECK(sunny(street, 40));
    CHECK(sunny(street, std::nan("")));  // known by its station alone: counts as northern
    // Nobody knows where a coach stood before its first stay.
    CHECK(joints_of(of({at(street, "skin_cracks")}, libseal_test::standing(trailer(), libseal_test::stay_since(day))), "sunny_side_first") ==
          std::set<std::string>{street});
}

TEST_CASE("joints in the sun that were looked at since the cracks were seen are not asked for again", "[survey]") {
    const Coach coach = libseal_test::standing(trailer(), libseal_test::stay_since(make_date(2010, 1, 1), "725350", 90));
    const std::string seen = "baggage_door_curb";
    const auto sent = joints_of(of({at(seen, "skin_cracks")}, coach), "sunny_side_first");
    REQUIRE(sent.size() > 2);
    const std::string other = *std::find_if(sent.begin(), sent.end(), [&](const std::string& id) { return id != seen; });
    const auto still = [&](const Finding& more) { return joints_of(of({at(seen, "skin_cracks"), more}, coach), "sunny_side_first").count(other) == 1; };
    CHECK_FALSE(still(at(other, "skin_cracks", "none")));
    CHECK_FALSE(still(at(other, "clean_look", "", day - 3)));
    CHECK(still(at(other, "clean_look", "", day - 4)));
}
