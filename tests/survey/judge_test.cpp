#include <cmath>
#include <set>
#include <utility>

#include "libseal/coach/layouts.hpp"
#include "libseal/survey/read.hpp"
#include "libseal/survey/segments.hpp"
#include "libseal/survey/urgency.hpp"
#include "support/built_in.hpp"
#include "support/catch.hpp"
#include "support/problems.hpp"
#include "support/published.hpp"
#include "support/trailers.hpp"

using namespace libseal;
using libseal_test::catalogue;

// The rules are the project's own (judgement): these tests see that each speaks where it should, not that it is true.

namespace {

const Date day = make_date(2026, 5, 4);

Finding at(const std::string& joint, const std::string& sign, const std::string& size = "", const std::string& segment = "") {
    Finding f;
    f.coach = "t1";
    f.joint = joint;
    f.sign = sign;
    f.size = size;
    f.segment = segment;
    f.date = day - 3;
    return f;
}

UrgencyAnswer judged(const std::vector<Finding>& findings, const char* type, bool exposed = false, const std::vector<WorkDone>& work = {}) {
    const JointType joint = joint_type(catalogue(), type);
    return judge(grade(findings, joint, catalogue()), findings, joint, exposed, catalogue(), day, work);
}

Coach trailer() { return libseal_test::trailer_of(9.1, make_date(2020, 5, 1)); }

const JointSegment* segment(const std::vector<JointSegment>& all, const std::string& name) {
    for (const auto& one : all)
        if (one.name == name) return &one;
    return nullptr;
}

}  // namespace

TEST_CASE("the whole table of urgency by grade and consequence", "[survey]") {
    // Rows: grade 0 to 5; columns: consequence class 1 to 4. The table of the survey notes (our proposal).
    const char* table[6][4] = {{"next_inspection", "next_inspection", "next_inspection", "next_inspection"},
                               {"next_inspection", "next_inspection", "next_inspection", "next_inspection"},
                               {"next_inspection", "next_inspection", "next_service", "next_service"},
                               {"next_service", "next_service", "next_service", "within_30_days"},
                               {"next_service", "within_30_days", "within_30_days", "within_30_days"},
                               {"within_30_days", "within_30_days", "at_once", "at_once"}};
    for (const bool of_hardware : {false, true})
        for (int g = 0; g <= 5; ++g)
            for (int k = 1; k <= 4; ++k) {
                Grade seen;
                seen.inspected = true;
                (of_hardware ? seen.hardware : seen.cap) = g;
                JointType type;
                type.consequence = k;
                INFO("grade " << g << ", class " << k);
                CHECK(to_text(urgency(seen, type, false, catalogue())) == table[g][k - 1]);
                const bool sooner = g == 4 && k == 4;
                CHECK(to_text(urgency(seen, type, true, catalogue())) == (sooner ? "at_once" : table[g][k - 1]));
                CHECK(judge(seen, {}, type, false, catalogue(), day).rule == "table");
            }
}

TEST_CASE("an urgency that there is not is told with its place in the table", "[survey][bad_input]") {
    const Catalogue shop = Catalogue::built_in().with_overlay(
        R"({"schema": "libseal/catalogue/1", "values": {"urgency/3/2": {"value": "soon", "source": "synthetic", "mark": "judgement"}}})", "shop.json");
    Grade seen;
    seen.inspected = true;
    seen.cap = 3;
    JointType type;
    type.consequence = 2;
    const auto problems = libseal_test::problems_of([&] { urgency(seen, type, false, shop); });
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].field == "urgency/3/2");
    CHECK(problems[0].got == "\"soon\"");
    type.consequence = 1;
    CHECK(urgency(seen, type, false, shop) == Urgency::next_service);
}

TEST_CASE("each override speaks with its rule, its reason and its day", "[survey]") {
    Finding gap = at("v", "gap", "severe");
    gap.bedding_seen = "absent";
    const UrgencyAnswer open = judged({gap}, "roof_vent_flange");
    CHECK(open.urgency == Urgency::at_once);
    CHECK(open.rule == "open_over_framing");
    CHECK(open.act_by == day + 7);
    CHECK(open.cover_expires == day + 14);
    CHECK_FALSE(open.isolate);
    REQUIRE(open.reasons.size() == 2);
    CHECK(open.reasons[1] == "an open path over framing, deck or wiring");

    const UrgencyAnswer soft = judged({at("w", "soft_substrate"), at("w", "clean_look")}, "window_frame");
    CHECK(soft.urgency == Urgency::at_once);
    CHECK(soft.rule == "wet_or_soft");
    CHECK(soft.investigate);
    CHECK_FALSE(soft.isolate);

    const UrgencyAnswer fogged = judged({at("l", "fogged_lens", "slight")}, "clearance_light");
    CHECK(fogged.urgency == Urgency::at_once);
    CHECK(fogged.rule == "water_at_equipment");
    CHECK(fogged.isolate);
    CHECK_FALSE(judged({at("l", "fogged_lens", "none")}, "clearance_light").isolate);
    CHECK_FALSE(judged({at("l", "rust_run", "slight")}, "clearance_light").isolate);  // outside: no water in the light yet
    Finding wet = at("h", "clean_look");
    wet.moisture = 26;
    CHECK(judged({wet}, "water_heater_frame").isolate);
    CHECK_FALSE(judged({wet}, "window_frame").isolate);

    const UrgencyAnswer shut = judged({at("x", "sealed_shut")}, "exit_window_frame");
    CHECK(shut.urgency == Urgency::at_once);
    CHECK(shut.rule == "sealed_shut");
    CHECK(shut.safety);
    CHECK_FALSE(judged({at("x", "sealed_shut", "none")}, "exit_window_frame").safety);
}

TEST_CASE("what is declined although at once needs a signed line", "[survey]") {
    WorkDone declined;
    declined.coach = "t1";
    declined.joint = "w";
    declined.layer = "bedding";
    declined.action = "damage_survey";
    declined.date = day - 1;
    declined.declined = true;
    const std::vector<Finding> soft{at("w", "soft_substrate")};
    CHECK(judged(soft, "window_frame", false, {declined}).needs_signature);
    CHECK(judged(soft, "window_frame", false, {declined}).reasons.back().find("signed line") != std::string::npos);
    CHECK_FALSE(judged(soft, "window_frame").needs_signature);
    WorkDone other = declined;
    other.joint = "elsewhere";
    CHECK_FALSE(judged(soft, "window_frame", false, {other}).needs_signature);
    other = declined;
    other.date = day - 10;  // before the look
    CHECK_FALSE(judged(soft, "window_frame", false, {other}).needs_signature);
    // What may wait needs no signature.
    CHECK_FALSE(judged({at("w", "chalking", "severe")}, "window_frame", false, {declined}).needs_signature);
}

TEST_CASE("a temporary cover is no repair: it has a last day and leaves the urgency as it is", "[survey]") {
    Finding gap = at("v", "gap", "severe");
    gap.bedding_seen = "absent";
    WorkDone cover;
    cover.coach = "t1";
    cover.joint = "v";
    cover.layer = "cap_bead";
    cover.action = "temporary_cover";
    cover.date = day - 2;
    const UrgencyAnswer covered = judged({gap}, "roof_vent_flange", false, {cover});
    CHECK(covered.urgency == Urgency::at_once);
    CHECK(covered.cover_expires == cover.date + 14);
    cover.date = day - 3;
    Finding old = gap;
    old.date = day - 40;
    cover.date = day - 30;
    const JointType vent = joint_type(catalogue(), "roof_vent_flange");
    const UrgencyAnswer expired = judge(grade({old}, vent, catalogue()), {old}, vent, false, catalogue(), day, {cover});
    CHECK(expired.cover_expires == cover.date + 14);
    CHECK(expired.act_by == cover.date + 14);  // past: it is overdue
    CHECK(expired.reasons.back().find("held until") != std::string::npos);
}

TEST_CASE("not inspected has its reason in the answer, and no urgency of its own", "[survey]") {
    Finding none = at("v", "not_inspected");
    none.reason = "snow";
    const UrgencyAnswer answer = judged({none}, "roof_vent_flange", true);
    CHECK(answer.urgency == Urgency::next_inspection);
    CHECK(answer.act_by == Date{});
    REQUIRE(answer.reasons.size() == 1);
    CHECK(answer.reasons[0] == "not inspected: snow");
}

TEST_CASE("a reading of moisture falls into its band, on an edge into the worse one", "[published]") {
    // Bands of caravan repairers' damp scale and a caravan magazine: 0 to 15, 15 to 20, 20 to 25, 25 to 30, from 31 %.
    const std::pair<double, const char*> cases[] = {{0, "dry"},           {14.9, "dry"},    {15, "note"},      {19.9, "note"},      {20, "early_ingress"},
                                                    {24.9, "early_ingress"}, {25, "evident"}, {30, "evident"}, {31, "structural"}, {80, "structural"}};
    for (const auto& [reading, name] : cases) {
        INFO(reading);
        CHECK(moisture_band(reading, catalogue()).name == name);
        CHECK_FALSE(moisture_band(reading, catalogue()).meaning.empty());
    }
    libseal_test::count_published("caravan repairers' damp scale", 4);  // the four edges
    CHECK_THROWS_AS(moisture_band(std::nan(""), catalogue()), ValueError);
    CHECK_THROWS_AS(moisture_band(-1, catalogue()), ValueError);
}

TEST_CASE("signs stand in groups, each in one", "[survey]") {
    std::size_t all = 0;
    for (const auto& group : sign_groups()) {
        const auto signs = signs_of_group(group, catalogue());
        INFO(group);
        CHECK_FALSE(signs.empty());
        CHECK_FALSE(catalogue().word("grade/group/" + group + "/label").empty());
        all += signs.size();
    }
    CHECK(all == sign_names().size());
    CHECK(signs_of_group("structure", catalogue()) == std::vector<std::string>{"soft_substrate", "delaminated"});
    const auto problems = libseal_test::problems_of([] { signs_of_group("strukture", catalogue()); });
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].hint == "did you mean \"structure\"?");
}

TEST_CASE("segments: runs of at most 1 m that add up, sides and corners round a part, ends of a rail", "[survey]") {
    const Coach coach = trailer();
    for (const Joint& joint : coach.joints) {
        INFO(joint.id);
        const auto all = segments_of(joint);
        double runs = 0;
        std::set<std::string> names;
        for (const auto& one : all) {
            CHECK(names.insert(one.name).second);
            CHECK(one.length > 0);
            if (one.name.find_first_not_of("0123456789") != std::string::npos) continue;
            CHECK(one.length <= 1.0 + 1e-9);
            runs += one.length;
        }
        CHECK(runs == Approx(joint.length));
    }
    const auto vent = segments_of(joint_of(coach, "roof_vent_1"));
    for (const char* name : {"front", "rear", "street", "curb", "corner_front_street", "corner_rear_curb"}) {
        INFO(name);
        CHECK(segment(vent, name));
    }
    CHECK_FALSE(segment(vent, "top"));
    CHECK(segment(vent, "corner_front_street")->length == Approx(0.1));
    double sides = 0;
    for (const char* name : {"front", "rear", "street", "curb"}) sides += segment(vent, name)->length;
    CHECK(sides == Approx(path_length(joint_of(coach, "roof_vent_1").path)));
    const auto window = segments_of(joint_of(coach, "window_1"));
    for (const char* name : {"top", "bottom", "front", "rear", "corner_front_top"}) CHECK(segment(window, name));
    CHECK(segment(window, "top")->middle.v > segment(window, "bottom")->middle.v);
    Joint rail;
    rail.surface = "curb_wall";
    rail.path = {{6, 2.5}, {1, 2.5}};
    rail.length = 5;
    const auto ends = segments_of(rail);
    REQUIRE(ends.size() == 7);
    CHECK(segment(ends, "front")->middle.u == Approx(1));
    CHECK(segment(ends, "rear")->middle.u == Approx(6));
    CHECK_FALSE(segment(ends, "top"));
}

TEST_CASE("a segment that the joint does not have is refused with the nearest one", "[bad_input]") {
    const Fleet fleet = fleet_of(trailer());
    const auto hint = [&](const std::string& name) {
        const auto problems = libseal_test::problems_of([&] { check_findings({at("window_1", "gap", "", name)}, fleet, day); });
        REQUIRE(problems.size() == 1);
        CHECK(problems[0].field == "findings[0].segment");
        return problems[0].hint;
    };
    CHECK(hint("botom") == "did you mean \"bottom\"?");
    CHECK(hint("corner_front_tpo") == "did you mean \"corner_front_top\"?");
    for (const char* good : {"", "1", "top", "corner_rear_bottom"}) CHECK_NOTHROW(check_findings({at("window_1", "gap", "", good)}, fleet, day));
}

TEST_CASE("the mean grade weighs segments by length, beside the worst", "[survey]") {
    Joint seam;
    seam.type = "roof_edge_moulding";
    seam.surface = "curb_wall";
    seam.path = {{0, 2.5}, {4, 2.5}};
    seam.length = 4;
    const auto graded = [&](const std::vector<Finding>& findings) { return grade_of_joint(findings, seam, catalogue()); };
    const Finding bad = at("j", "deep_crack", "clear", "2"), good = at("j", "clean_look", "", "3");
    // Missing share counts as class 3: a clear deep crack is grade 4.
    CHECK(graded({bad}).mean == Approx(4));
    CHECK(graded({bad, good}).mean == Approx(2));
    CHECK(graded({bad, good}).worst() == 4);
    // A corner of 0.05 m weighs little beside a run of 1 m.
    Finding end = at("j", "deep_crack", "clear", "front");
    CHECK(graded({end, good}).mean == Approx(4 * 0.05 / 1.05));
    // What was said of the whole stands for the rest of the 4 m.
    CHECK(graded({bad, at("j", "clean_look")}).mean == Approx(4 * 1.0 / 4.0));
    CHECK(graded({at("j", "clean_look")}).mean == 0);
    Finding unseen = at("j", "not_inspected");
    unseen.reason = "snow";
    CHECK(std::isnan(graded({unseen}).mean));
    CHECK(grade({bad, good}, joint_type(catalogue(), seam.type), catalogue()).mean == Approx(2));
}

TEST_CASE("screws and parts are graded beside the bead, not as the bead", "[survey]") {
    const Grade seen = grade({at("w", "clean_look"), at("w", "latch_or_handle_loose", "severe")}, joint_type(catalogue(), "window_frame"), catalogue());
    CHECK(seen.cap == 0);
    CHECK(seen.hardware == 3);
    CHECK(seen.worst() == 3);
    // A part that is gone leaves a hole; how bad depends on the bedding.
    const Grade gone = grade({at("w", "part_missing")}, joint_type(catalogue(), "window_frame"), catalogue());
    CHECK(gone.hardware == 5);
    CHECK(gone.cap == -1);
    CHECK(gone.open_path == OpenPath::unknown);
}

TEST_CASE("what was declined on a part needs a signed line too", "[survey]") {
    Finding shut = at("", "sealed_shut");
    shut.part = "exit_window";
    WorkDone declined;
    declined.coach = "t1";
    declined.part = "exit_window";
    declined.action = "clean_and_condition";
    declined.date = day;
    declined.declined = true;
    CHECK(judged({shut}, "exit_window_frame", false, {declined}).needs_signature);
    declined.part = "window_1";
    CHECK_FALSE(judged({shut}, "exit_window_frame", false, {declined}).needs_signature);
}
