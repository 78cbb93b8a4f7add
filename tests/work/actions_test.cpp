// When each action is chosen and when not: the rows of the action catalogue ("action/NAME/when", ".../not_when").

#include <algorithm>
#include <cmath>
#include <set>

#include "libseal/catalogue/sealant.hpp"
#include "libseal/core/error.hpp"
#include "libseal/survey/finding.hpp"
#include "support/catch.hpp"
#include "work/samples.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

/// A joint on its own, in the state that a row speaks of.
struct Case {
    Joint joint;
    Surface surface;
    JointState state;

    Case(const std::string& type, const std::string& on, std::vector<Layer> layers, const std::string& substrate = "gelcoat_laminate") {
        joint.id = "joint";
        joint.type = type;
        joint.part = type == "membrane_seam" ? "" : "part";
        joint.surface = surface.name = on;
        joint.path = {{0, 0}, {2, 0}};
        joint.length = 2;
        joint.substrates = {substrate};
        joint.layers = std::move(layers);
        state.grade.inspected = true;
        state.grade.cap = state.grade.bedding = 0;
    }
    Case& sign(const std::string& name, const std::string& size, double share) {
        Finding finding;
        finding.joint = joint.id;
        finding.sign = name;
        finding.size = size;
        finding.share = share;
        state.findings.push_back(finding);
        return *this;
    }
    Case& grades(int cap, int bedding = 0, OpenPath open = OpenPath::no, int damage = 0) {
        state.grade.cap = cap;
        state.grade.bedding = bedding;
        state.grade.open_path = open;
        state.grade.damage = damage;
        return *this;
    }
    Choice choose() {
        state.joint = &joint;
        state.surface = &surface;
        return choose_action(state, Catalogue::built_in());
    }
    std::string action() { return choose().action; }
};

std::vector<Layer> capped(const std::string& family = "non_sag_lap") {
    return {{"bedding", "butyl_tape", {}, {}, 1}, {"cap_bead", family, {}, {}, 1}};
}
Case window(const std::string& family = "non_sag_lap") { return Case("window_frame", "street_wall", capped(family)); }
Case seam() {
    return Case("membrane_seam", "roof", {{"bedding", "seam_tape", {}, {}, 1}, {"cap_bead", "self_levelling_lap", {}, {}, 1}}, "epdm_membrane");
}

}  // namespace

TEST_CASE("each action is chosen when its row of the catalogue says so, and not when it says not", "[work]") {
    // monitor: grade 0 to 2; not with an open path.
    CHECK(window().grades(0).action() == "monitor");
    CHECK(window().grades(2).sign("skin_cracks", "clear", 0.3).action() == "monitor");
    CHECK(window().grades(2, 0, OpenPath::yes).sign("void", "slight", 0.1).action() != "monitor");
    // clean_and_condition: grade 1 or 2 on gaskets and slide seals; not as the repair of a crack.
    CHECK(Case("slide_bulb_seal", "slide_face", {{"bulb_seal", "epdm_gasket", {}, {}, 1}}).grades(2).sign("gasket_set", "clear", 1).action() ==
          "clean_and_condition");
    CHECK(Case("slide_bulb_seal", "slide_face", {{"bulb_seal", "epdm_gasket", {}, {}, 1}}).grades(4).sign("gasket_torn", "clear", 0.1).action() ==
          "replace_part");
    // touch_up: grade 3 over at most a tenth, same family; not over silicone or an unknown product, not with lifted edges.
    CHECK(window().grades(3).sign("deep_crack", "clear", 0.1).action() == "touch_up");
    CHECK(window("neutral_cure_silicone").grades(3).sign("deep_crack", "clear", 0.1).action() == "cut_out_and_reseal");
    CHECK(window("unknown").grades(3).sign("deep_crack", "clear", 0.1).action() == "cut_out_and_reseal");
    CHECK(window().grades(3).sign("deep_crack", "clear", 0.1).sign("silicone_residue", "", 0.1).action() == "cut_out_and_reseal");
    CHECK(window().grades(3).sign("edge_lift", "clear", 0.1).action() == "cut_out_and_reseal");
    // reseal_over: grade 3, bead known and compatible, thickness left; not over dirt or chalk, lifted edges, silicone, more than two beads.
    CHECK(window().grades(3).sign("deep_crack", "clear", 0.3).action() == "reseal_over");
    Case thick = window().grades(3).sign("deep_crack", "clear", 0.3);
    thick.state.beads = 2;
    CHECK(thick.action() == "reseal_over");
    thick.state.beads = 3;
    CHECK(thick.action() == "cut_out_and_reseal");
    CHECK(thick.choose().refused.find("3 beads") != std::string::npos);
    CHECK(window().grades(3).sign("deep_crack", "clear", 0.3).sign("chalking", "severe", 1).action() == "cut_out_and_reseal");
    CHECK(window().grades(3).sign("deep_crack", "clear", 0.3).sign("chalking", "slight", 1).action() == "reseal_over");
    CHECK(window("polyurethane").grades(3).sign("deep_crack", "clear", 0.3).action() == "reseal_over");  // its own kind
    Case other = window("polyurethane").grades(3).sign("deep_crack", "clear", 0.3);
    other.state.wanted_family = "non_sag_lap";  // "test" over polyurethane
    CHECK(other.action() == "cut_out_and_reseal");
    // cut_out_and_reseal: grade 4 or lost bond; not with bedding of grade 3 or worse: then rebed.
    CHECK(window().grades(4).sign("edge_lift", "severe", 0.5).action() == "cut_out_and_reseal");
    CHECK(window().grades(4, 3).sign("edge_lift", "severe", 0.5).action() == "rebed");
    // rebed: bedding failed, part moved; not on rotten ground.
    CHECK(window().grades(0, 4).sign("bedding_shrunk", "severe", 0.5).action() == "rebed");
    CHECK(window().grades(0).sign("part_off_surface", "slight", 0.5).action() == "rebed");
    CHECK(window().grades(0, 4, OpenPath::no, 2).sign("soft_substrate", "clear", 0.5).action() == "damage_survey");
    // refasten_and_seal: loose screws in sound wood; rotten wood is surveyed first.
    CHECK(window().grades(0).sign("fastener_loose", "severe", 0.2).action() == "refasten_and_seal");
    CHECK(window().grades(0, 0, OpenPath::no, 1).sign("fastener_loose", "severe", 0.2).action() == "damage_survey");
    // replace_part: shrunk, torn or cracked.
    Case insert("roof_edge_moulding", "street_wall",
                {{"bedding", "butyl_tape", {}, {}, 1}, {"insert", "pvc_insert", {}, {}, 1}, {"cap_bead", "non_sag_lap", {}, {}, 1}});
    CHECK(insert.grades(3).sign("insert_short", "severe", 1).action() == "replace_part");
    // cover_with_tape: straight flat seams; not over silicone, not over parts that must come off again, not on bends.
    CHECK(seam().grades(4).sign("edge_lift", "severe", 0.5).action() == "cover_with_tape");
    Case silicone = seam().grades(4).sign("edge_lift", "severe", 0.5).sign("silicone_residue", "", 0.5);
    CHECK(silicone.action() != "cover_with_tape");
    Case serviced = seam().grades(4).sign("edge_lift", "severe", 0.5);
    serviced.joint.part = "hatch";
    CHECK(serviced.action() != "cover_with_tape");
    Case bent = seam().grades(4).sign("edge_lift", "severe", 0.5);
    bent.joint.path = {{0, 0}, {1, 0}, {1, 1}};
    CHECK(bent.action() != "cover_with_tape");
    // temporary_cover: open, and not to be sealed today; never the last action.
    Case winter = window().grades(5, 4, OpenPath::yes).sign("missing", "severe", 0.5);
    winter.state.sealing_allowed = false;
    winter.state.no_sealing = "no sealing outdoors in January";
    CHECK(winter.action() == "temporary_cover");
    CHECK(winter.choose().follow_up == "rebed");
    // damage_survey: any suspect reading, whatever the bead looks like.
    CHECK(window().grades(0, 0, OpenPath::no, 1).action() == "damage_survey");
}

TEST_CASE("a new part goes on new bedding and gets a new bead, whatever asked for it", "[work]") {
    // A cracked part; and a torn gasket where the joint has no layer for one, which is no wear of the bead: none is due by itself.
    for (const char* sign : {"part_cracked", "gasket_torn"}) {
        INFO(sign);
        Case one = window("polyurethane").sign(sign, "severe", 0.1);
        if (std::string(sign) == "gasket_torn") one.grades(4);
        else one.state.grade.hardware = 4;
        const Choice choice = one.choose();
        CHECK(choice.action == "replace_part");
        CHECK(choice.layer == "bedding");
        CHECK(choice.bedding == "butyl_tape");
        CHECK(choice.family == "polyurethane");
        CHECK(choice.renewed == std::vector<std::string>{"bedding", "cap_bead"});
        std::vector<std::string> kinds;
        for (const Step& step : steps_for(choice, one.joint, Catalogue::built_in(), 0)) {
            kinds.push_back(step.kind);
            if (step.kind == "bed") CHECK(step.family == "butyl_tape");
        }
        std::ptrdiff_t last = -1;
        for (const char* kind : {"remove_part", "strip", "bed", "fasten", "cap"}) {
            const auto place = std::find(kinds.begin(), kinds.end(), kind) - kinds.begin();
            CHECK(place > last);
            CHECK(place < static_cast<std::ptrdiff_t>(kinds.size()));
            last = place;
        }
    }
    // Without a bedding there is none to renew.
    Case bare("window_frame", "street_wall", {{"cap_bead", "non_sag_lap", {}, {}, 1}});
    bare.sign("part_cracked", "severe", 0.1).state.grade.hardware = 4;
    CHECK(bare.choose().renewed == std::vector<std::string>{"cap_bead"});
    CHECK(bare.choose().bedding.empty());
}

TEST_CASE("a gasket beside a bead is cared for while it is not worn out, and the bead stays", "[work]") {
    std::vector<Layer> layers = capped();
    layers.push_back({"gasket", "epdm_gasket", {}, {}, 1});
    const auto door = [&] { return Case("entrance_door_frame", "curb_wall", layers); };
    Case stiff = door().grades(2).sign("gasket_set", "clear", 1);
    const Choice choice = stiff.choose();
    CHECK(choice.action == "clean_and_condition");
    CHECK(choice.layer == "gasket");
    CHECK(choice.family.empty());
    CHECK(choice.renewed.empty());
    CHECK(door().grades(0).sign("clean_look", "", 1).action() == "monitor");
    const Choice worn = door().grades(4).sign("gasket_set", "severe", 1).choose();
    CHECK(worn.action == "replace_part");
    CHECK(worn.renewed == std::vector<std::string>{"gasket"});
    // What has puckered is cared for at grade 1 and 2 as well, on a door and on a slide-out, and renewed from 3 on.
    for (const int grade : {1, 2, 3}) {
        const char* action = grade < 3 ? "clean_and_condition" : "replace_part";
        CHECK(door().grades(grade).sign("gasket_puckered", "slight", 1).action() == action);
        CHECK(Case("slide_bulb_seal", "slide_face", {{"bulb_seal", "epdm_gasket", {}, {}, 1}}).grades(grade).sign("gasket_puckered", "slight", 1).action() == action);
    }
}

TEST_CASE("where no family goes on a substrate the joint is named, with the way out", "[work][bad_input]") {
    // On a roof of TPO lap sealants alone hold after a test; here a shop has seen one of them fail, and the other runs down a wall.
    const Catalogue shop = Catalogue::built_in().with_overlay(
        R"({"schema": "libseal/catalogue/1", "values": {"compatibility/new/non_sag_lap/tpo_membrane": {"value": "never", "source": "synthetic", "mark": "judgement"}}})",
        "shop.json");
    Case wall("window_frame", "street_wall", capped(), "tpo_membrane");
    wall.grades(4).sign("edge_lift", "severe", 0.5);
    wall.state.joint = &wall.joint;
    wall.state.surface = &wall.surface;
    CHECK(wall.choose().family == "non_sag_lap");
    CHECK(allowed_families(wall.joint, wall.surface, shop).empty());
    try {
        choose_action(wall.state, shop);
        FAIL("accepted");
    } catch (const ValueError& error) {
        REQUIRE(error.problems().size() == 1);
        CHECK(error.problems()[0].field == "joint joint");
        CHECK(error.problems()[0].expected == "a sealant that goes on tpo_membrane");
        CHECK(error.problems()[0].hint.find("cover_with_tape") != std::string::npos);
    }
    // On the level the other one stays.
    Case roof("roof_vent_flange", "roof", capped(), "tpo_membrane");
    CHECK(allowed_families(roof.joint, roof.surface, shop) == std::vector<std::string>{"self_levelling_lap"});
}

TEST_CASE("every action of the word list has its row, its steps and a case above", "[work]") {
    const Catalogue catalogue = Catalogue::built_in();
    CHECK(action_names().size() == 11);
    const auto& steps = step_names();
    for (const auto& action : action_names()) {
        CHECK_FALSE(catalogue.word("action/" + action + "/when").empty());
        CHECK_FALSE(catalogue.word("action/" + action + "/not_when").empty());
        CHECK(catalogue.number("action/" + action + "/lowest_grade") <= catalogue.number("action/" + action + "/highest_grade"));
    }
    for (const auto& kind : steps)
        if (kind != "cure") CHECK(catalogue.has("step/" + kind + "/tools"));
}

TEST_CASE("what may be done instead reaches deeper, never less deep, and open joints may be covered", "[work]") {
    const std::vector<std::string> depth{"touch_up", "reseal_over", "cut_out_and_reseal", "rebed"};
    Case crack = window().grades(3).sign("deep_crack", "clear", 0.1);
    crack.state.joint = &crack.joint;
    crack.state.surface = &crack.surface;
    const auto choices = possible_actions(crack.state, Catalogue::built_in());
    REQUIRE(choices.size() == 4);
    for (std::size_t i = 0; i < 4; ++i) CHECK(choices[i].action == depth[i]);
    Case open = window().grades(4, 0, OpenPath::yes).sign("gap", "severe", 0.3);
    open.state.joint = &open.joint;
    open.state.surface = &open.surface;
    const auto others = possible_actions(open.state, Catalogue::built_in());
    REQUIRE(others.size() == 3);
    CHECK(others[0].action == "cut_out_and_reseal");
    CHECK(others[1].action == "rebed");
    CHECK(others[2].action == "temporary_cover");
    CHECK(others[2].follow_up == "cut_out_and_reseal");
}

TEST_CASE("a sealant that levels itself stays on the level", "[work]") {
    const Catalogue catalogue = Catalogue::built_in();
    // Common practice, no source: free to 3 degrees, dammed to about 5.
    CHECK(self_levelling(0, catalogue) == "free");
    CHECK(self_levelling(3, catalogue) == "free");
    CHECK(self_levelling(3.1, catalogue) == "dammed");
    CHECK(self_levelling(5, catalogue) == "dammed");
    CHECK(self_levelling(5.1, catalogue) == "never");
    CHECK(self_levelling(90, catalogue) == "never");
    CHECK_THROWS_AS(self_levelling(-1, catalogue), ValueError);
    Case roof("roof_vent_flange", "roof", capped("self_levelling_lap"), "epdm_membrane");
    roof.state.joint = &roof.joint;
    CHECK(allowed_families(roof.joint, roof.surface, catalogue, 0).front() == "self_levelling_lap");
    for (const auto& family : allowed_families(roof.joint, roof.surface, catalogue, 8)) CHECK_FALSE(sealant(catalogue, family).levels_itself);
    CHECK(allowed_families(roof.joint, roof.surface, catalogue, 8).front() == "non_sag_lap");
    roof.grades(4).sign("edge_lift", "severe", 0.5);
    roof.state.wanted_family = "self_levelling_lap";
    CHECK(roof.choose().family == "self_levelling_lap");
    roof.state.roof_slope = 8;
    CHECK_THROWS_AS(roof.choose(), ValueError);
}

TEST_CASE("an impossible family is refused with the reason and with families that may be used", "[work][bad_input]") {
    const Catalogue catalogue = Catalogue::built_in();
    int refused = 0;
    for (const auto& family : sealant_names(catalogue))
        for (const char* substrate : {"epdm_membrane", "tpo_membrane", "mill_aluminium", "acrylic", "abs"}) {
            Case one("window_frame", "street_wall", capped(), substrate);
            one.grades(4).sign("edge_lift", "severe", 0.5);
            one.state.wanted_family = family;
            if (compatibility(catalogue, family, substrate) != "never") continue;
            ++refused;
            try {
                one.choose();
                FAIL(family << " on " << substrate << " was taken");
            } catch (const ValueError& error) {
                const std::string text = error.what();
                CHECK(text.find(substrate) != std::string::npos);
                CHECK(text.find("choose from non_sag_lap") != std::string::npos);
            }
        }
    CHECK(refused >= 15);
}

TEST_CASE("what was looked for and not there asks for nothing", "[work]") {
    const auto none = [](Case one, const char* sign) {
        INFO(sign);
        Case with = one;
        with.sign(sign, "none", 0.9);
        with.state.findings.back().share = std::nan("");  // nobody notes the share of what is not there
        const Choice before = one.choose(), after = with.choose();
        CHECK(after.action == before.action);
        CHECK(after.layer == before.layer);
        CHECK(after.residue == before.residue);
        CHECK(after.renewed == before.renewed);
        CHECK(after.refused == before.refused);
        with.state.joint = one.state.joint = &with.joint;
        with.state.surface = one.state.surface = &with.surface;
        CHECK(possible_actions(with.state, Catalogue::built_in()).size() == possible_actions(one.state, Catalogue::built_in()).size());
    };
    std::vector<Layer> layers = capped();
    layers.push_back({"gasket", "epdm_gasket", {}, {}, 1});
    const Case door("entrance_door_frame", "curb_wall", layers);
    const Case moulding("roof_edge_moulding", "street_wall",
                        {{"bedding", "butyl_tape", {}, {}, 1}, {"insert", "pvc_insert", {}, {}, 1}, {"cap_bead", "non_sag_lap", {}, {}, 1}});
    for (const auto& sign : sign_names()) {
        if (sign == "clean_look" || sign == "not_inspected") continue;
        none(window().grades(0), sign.c_str());
        none(Case(door).grades(0), sign.c_str());
        none(Case(moulding).grades(0), sign.c_str());
        // Beside cracks over a tenth it changes neither the depth nor the product.
        none(window().grades(3).sign("deep_crack", "clear", 0.1), sign.c_str());
        none(window().grades(3).sign("deep_crack", "clear", 0.3), sign.c_str());
    }
    // Each of these is an action where the sign is there.
    CHECK(Case(door).grades(0).sign("gasket_torn", "slight", 0.1).action() == "replace_part");
    CHECK(Case(moulding).grades(0).sign("insert_out_of_track", "slight", 0.1).action() == "replace_part");
    CHECK(window().grades(0).sign("part_off_surface", "slight", 0.5).action() == "rebed");
}

TEST_CASE("an insert that is out asks for no new bead where the bead was looked at and is sound", "[work]") {
    // The cap grade of 5 is the insert's. A crack looked for in vain says nothing against the bead.
    Case moulding("roof_edge_moulding", "street_wall",
                  {{"bedding", "butyl_tape", {}, {}, 1}, {"insert", "pvc_insert", {}, {}, 1}, {"cap_bead", "non_sag_lap", {}, {}, 1}});
    moulding.grades(5).sign("insert_out_of_track", "severe", 1).sign("deep_crack", "none", 0.1);
    CHECK(moulding.choose().action == "replace_part");
    CHECK(moulding.choose().renewed == std::vector<std::string>{"insert"});
    moulding.sign("deep_crack", "severe", 0.1);
    CHECK(moulding.choose().renewed.size() > 1);
}

TEST_CASE("spots to touch up are those of what is there", "[work]") {
    Finding crack, absent;
    crack.sign = "deep_crack";
    crack.share = 0.05;
    absent.sign = "gap";
    absent.size = "none";
    CHECK(touched_share({crack}) == Approx(0.05));
    CHECK(touched_share({crack, absent}) == Approx(0.05));
    absent.size = "";
    absent.value = 0;
    absent.unit = "mm";
    CHECK(touched_share({crack, absent}) == Approx(0.05));
    crack.share = 0.001;
    CHECK(touched_share({crack}) == Approx(0.02));  // a spot is at least 2 % of the length
    crack.share = std::nan("");
    CHECK(touched_share({crack}) == 1);
    CHECK(touched_share({}) == 1);
}
