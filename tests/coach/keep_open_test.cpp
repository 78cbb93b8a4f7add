#include "support/catch.hpp"

#include <cmath>
#include <map>
#include <set>

#include "libseal/catalogue/joint_type.hpp"
#include "libseal/coach/keep_open.hpp"
#include "coach/layout_table.hpp"
#include "coach/open_edge.hpp"
#include "coach/path.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/coach/read.hpp"
#include "libseal/core/error.hpp"
#include "support/problems.hpp"

using namespace libseal;
using libseal_test::problems_of;

namespace {

Coach usual(const std::string& layout, double length) {
    LayoutOptions options = layout_options(layout);
    options.installed_from = options.installed_to = make_date(2021, 5, 1);
    return detail::layout_coach(layout, length, options);
}

std::vector<Coach> coaches() {
    return {usual("travel_trailer", 8), usual("fifth_wheel", 11), usual("motorhome", 9), usual("camper_van", 6), usual("truck_camper", 5)};
}

std::map<std::string, int> kinds_of(const Coach& coach, const Catalogue& catalogue) {
    std::map<std::string, int> kinds;
    for (const auto& place : places_kept_open(coach, catalogue)) ++kinds[place.kind];
    return kinds;
}

const KeepOpen& place_named(const std::vector<KeepOpen>& places, const std::string& id) {
    for (const auto& place : places)
        if (place.id == id) return place;
    throw std::runtime_error("no place " + id);
}

}  // namespace

TEST_CASE("every kind of place that is never sealed is found where a coach has it", "[coach]") {
    // The rows of the trade's table of places that are never sealed; sources stand with each entry of the catalogue.
    const std::set<std::string> towed_and_driven{"frame_bottom", "appliance_opening", "door_seal", "gutter_outlet", "accessory_bottom",
                                                 "vent_cover_gap", "underbelly_drain", "air_conditioner_rim", "moving_part_or_label"};
    const std::map<std::string, std::set<std::string>> more{
        {"travel_trailer", {"plumbing_vent_bore", "exit_opening", "slide_seal", "slide_track", "moulding_foot", "moulding_lower_edge"}},
        {"fifth_wheel", {"plumbing_vent_bore", "exit_opening", "slide_seal", "slide_track", "moulding_foot", "moulding_lower_edge", "gas_vent", "film_edge"}},
        {"motorhome", {"plumbing_vent_bore", "exit_opening", "moulding_foot", "moulding_lower_edge", "gas_vent", "glazing", "film_edge", "slide_seal"}},
        {"van", {"glazing", "film_edge"}},
        {"truck_camper", {"gas_vent", "moulding_foot", "moulding_lower_edge"}}};
    const Catalogue catalogue = Catalogue::built_in();
    std::set<std::string> seen;
    for (const auto& coach : coaches()) {
        const auto kinds = kinds_of(coach, catalogue);
        for (const auto& [kind, count] : kinds) seen.insert(kind);
        for (const auto& kind : towed_and_driven) {
            INFO(coach.kind << ", " << kind);
            CHECK(kinds.contains(kind));
        }
        for (const auto& kind : more.at(coach.kind)) {
            INFO(coach.kind << ", " << kind);
            CHECK(kinds.contains(kind));
        }
    }
    for (const auto& kind : catalogue.names("keep_open")) {
        INFO(kind);
        CHECK((seen.contains(kind) || kind == "other_edge"));  // the kind of edges that an item has against its type
    }
}

TEST_CASE("every joint type that drains has its kind of kept-open place, and every never-sealed joint is one all along", "[coach]") {
    const Catalogue catalogue = Catalogue::built_in();
    for (const auto& coach : coaches()) {
        const auto places = places_kept_open(coach, catalogue);
        std::set<std::string> ids, joints;
        for (const auto& place : places) {
            INFO(place.id);
            CHECK(ids.insert(place.id).second);
            CHECK(place.path.size() >= 2);
            CHECK(path_length(place.path) > 0);
            CHECK_FALSE(place.reason.empty());
            CHECK(place.kind != "other_edge");
            joints.insert(place.joint);
        }
        for (const auto& joint : coach.joints) {
            INFO(joint.id);
            const JointType type = joint_type(catalogue, joint.type);
            CHECK(joints.contains(joint.id) == (type.open_edge != "none"));
            if (!type.never_seal) continue;
            for (const auto& place : places)
                if (place.joint == joint.id) CHECK(path_length(place.path) == Approx(path_length(joint.path)));
        }
    }
}

TEST_CASE("open edges lie where water leaves", "[coach]") {
    const Catalogue catalogue = Catalogue::built_in();
    const Coach coach = usual("fifth_wheel", 11);
    const auto places = places_kept_open(coach, catalogue);
    const auto part = [&](const std::string& id) {
        for (const auto& p : coach.parts)
            if (p.id == id) return p;
        throw std::runtime_error("no part " + id);
    };
    const Part door = part("entrance_door");
    const KeepOpen& sill = place_named(places, "frame_bottom:entrance_door");
    CHECK(path_length(sill.path) == Approx(door.high.u - door.low.u));
    for (const auto& point : sill.path) CHECK(point.v == Approx(door.low.v));
    // A corner moulding at its foot; the front one of a fifth wheel ends above the overhang.
    const KeepOpen& foot = place_named(places, "moulding_foot:corner_front_curb");
    CHECK(foot.path[0].v == Approx(coach.floor_height + 0.80));
    CHECK(path_length(foot.path) == Approx(0.02));  // 10 to 20 mm: common practice
    // A gutter at both ends.
    CHECK(place_named(places, "gutter_outlet:drip_rail_curb:1").path[0].u == Approx(0));
    CHECK(place_named(places, "gutter_outlet:drip_rail_curb:2").path[0].u == Approx(11));
    // A wheel arch at its two feet; a floor moulding all along.
    CHECK(place_named(places, "accessory_bottom:wheel_trim_curb:1").path[0].v == Approx(coach.floor_height));
    CHECK(path_length(place_named(places, "moulding_lower_edge:floor_edge_curb").path) == Approx(joint_of(coach, "floor_edge_curb").length));
    // The rim of an air conditioner is its housing's; the seal of a door lies within the bead of its frame.
    CHECK(path_length(place_named(places, "air_conditioner_rim:air_conditioner").path) == Approx(4 * 0.70));
    CHECK(place_named(places, "door_seal:entrance_door").path[0].u == Approx(door.low.u + 0.03));
    // What belongs to one joint: its own edge and those of its part.
    std::set<std::string> at;
    for (const auto& place : places_kept_open_at(coach, "entrance_door", catalogue)) at.insert(place.id);
    CHECK(at == std::set<std::string>{"frame_bottom:entrance_door", "door_seal:entrance_door"});
    CHECK(places_kept_open_at(coach, "front_cap_to_roof", catalogue).empty());
}

TEST_CASE("what lies flat drains along its lower side, or between the ends of a path that is open", "[coach]") {
    // Synthetic ways on the underside: all round, three sides of a square, and a line.
    const auto edge_of = [](const std::vector<Point>& path) {
        Joint joint;
        joint.surface = "underside";
        joint.path = path;
        const auto paths = detail::open_edge_paths(joint, "bottom");
        REQUIRE(paths.size() == 1);
        REQUIRE(paths[0].size() == 2);
        return paths[0];
    };
    const auto same = [](const Point& a, const Point& b) { return a.u == b.u && a.v == b.v; };
    const auto closed = edge_of({{1, 0}, {2, 0}, {2, 1}, {1, 1}, {1, 0}});
    CHECK((same(closed[0], {1, 0}) && same(closed[1], {2, 0})));
    const auto open = edge_of({{1, 0}, {1, 1}, {2, 1}, {2, 0}});
    CHECK((same(open[0], {1, 0}) && same(open[1], {2, 0})));
    const auto line = edge_of({{1, 0}, {2, 1}});
    CHECK((same(line[0], {1, 0}) && same(line[1], {2, 1})));
}

TEST_CASE("a place along a path lies on it, from its first point to its last", "[coach]") {
    const std::vector<Point> path{{0, 0}, {3, 0}, {3, 0}, {3, 4}};  // 7 m, one point twice
    const auto at = [&](double distance) { return detail::point_along(path, distance); };
    CHECK((at(0).u == 0 && at(0).v == 0));
    CHECK((at(1.5).u == 1.5 && at(1.5).v == 0));
    CHECK((at(5).u == 3 && at(5).v == 2));
    CHECK((at(7).u == 3 && at(7).v == 4));
    CHECK((at(7.5).u == 3 && at(7.5).v == 4));  // beyond it, its end
}

TEST_CASE("no bead of a layout lies on a place that is kept open", "[coach]") {
    const Catalogue catalogue = Catalogue::built_in();
    for (const auto& coach : coaches())
        for (const auto& place : places_kept_open(coach, catalogue))
            for (const auto& joint : coach.joints) {
                // Seals of a slide-out lie within its flange, but are drawn on one line with it; own edges: see the next test.
                if (place.kind == "slide_seal" || place.joint == joint.id || !layer_of(joint, "cap_bead")) continue;
                if (place.surface != joint.surface || place.slide != joint.slide) continue;
                INFO(coach.kind << ": " << place.id << " and " << joint.id);
                CHECK(detail::shared_length(place.path, joint.path) < 0.01);
            }
}

TEST_CASE("a bead along an open edge, and a bead on what is never sealed, are refused", "[bad_input]") {
    const Catalogue catalogue = Catalogue::built_in();
    int closed = 0, capped = 0;
    for (const auto& whole : coaches())
        for (std::size_t i = 0; i < whole.joints.size(); ++i) {
            const Joint& joint = whole.joints[i];
            INFO(whole.kind << ": " << joint.id);
            const JointType type = joint_type(catalogue, joint.type);
            Coach coach = whole;
            if (type.never_seal) {
                coach.joints[i].layers.push_back({"cap_bead", "non_sag_lap", make_date(2021, 5, 1), make_date(2021, 5, 1), 1});
                CHECK_THROWS_AS(check_coach(coach, catalogue), ValueError);
                coach.joints[i] = joint;
                coach.joints[i].open_edge = "none";
                CHECK_THROWS_AS(check_coach(coach, catalogue), ValueError);
                ++capped;
            } else if (type.open_edge == "bottom" && !joint.part.empty() && joint.path.size() == 4) {
                coach.joints[i].path.push_back(joint.path.front());
                CHECK_THROWS_AS(check_coach(coach, catalogue), ValueError);
                // Where the frame of this item does not drain at the bottom, it may be sealed all round.
                coach.joints[i].open_edge = "none";
                CHECK_NOTHROW(check_coach(coach, catalogue));
                // Without a bead a closed path is only the line of the bedding.
                coach.joints[i].open_edge = "";
                std::erase_if(coach.joints[i].layers, [](const Layer& layer) { return layer.kind == "cap_bead"; });
                CHECK_NOTHROW(check_coach(coach, catalogue));
                ++closed;
            }
        }
    CHECK(closed > 60);
    CHECK(capped > 15);
}

TEST_CASE("a bead round the housing of an air conditioner, over a drain or a sash is refused, whatever its joint is called", "[bad_input]") {
    const Catalogue catalogue = Catalogue::built_in();
    const Coach whole = usual("motorhome", 9);
    for (const std::string id : {"air_conditioner_rim:air_conditioner", "underbelly_drain:underbelly_drain_1", "exit_opening:window_2",
                                 "appliance_opening:generator_exhaust", "gutter_outlet:gutter_spout_front_curb"}) {
        const auto places = places_kept_open(whole, catalogue);
        const KeepOpen& place = place_named(places, id);
        Coach coach = whole;
        Joint bead = joint_of(whole, "roof_edge_curb");
        bead.id = "extra";
        bead.open_edge = "none";
        bead.surface = place.surface;
        bead.path = place.path;
        bead.length = path_length(bead.path);
        coach.joints.push_back(bead);
        const auto problems = problems_of([&] { check_coach(coach, catalogue); });
        INFO(id);
        REQUIRE(problems.size() == 1);
        CHECK(problems[0].got == "a bead on " + id);
        CHECK(problems[0].hint == place.reason);
    }
}

TEST_CASE("paths share the length over which they lie on one another", "[coach]") {
    CHECK(detail::shared_length({{0, 0}, {2, 0}}, {{1, 0.001}, {3, 0.001}}) == Approx(1));
    CHECK(detail::shared_length({{0, 0}, {2, 0}}, {{3, 0}, {1.5, 0}}) == Approx(0.5));
    CHECK(detail::shared_length({{0, 0}, {2, 0}}, {{1, 0.003}, {3, 0.003}}) == 0);
    CHECK(detail::shared_length({{0, 0}, {2, 0}}, {{1, -1}, {1, 1}}) == 0);
    CHECK(detail::shared_length({{0, 0}, {2, 2}}, {{1, 1}, {5, 5}}) == Approx(std::sqrt(2.0)));
    CHECK(detail::shared_length({{0, 0}, {1, 0}}, {{2, 0}, {3, 0}}) == 0);
}

TEST_CASE("the drain edge of one item is read, written and refused at its line", "[bad_input]") {
    const auto coach_text = [](const char* edge, const char* path) {
        return std::string(R"({"schema": "libseal/coach/1", "id": "t", "kind": "van", "length_m": 5, "width_m": 2, "floor_height_m": 0.5,
"roof_height_m": 2.5, "surfaces": [{"name": "curb_wall", "low_m": [0, 0.5], "high_m": [5, 2.5], "substrate": "steel", "finish": "white_paint"}],
"joints": [{"id": "w", "type": "window_frame", "surface": "curb_wall", "installed": 2020, "substrates": ["painted_aluminium", "steel"],
"path_m": )") + path + R"(,
"open_edge": )" + edge + "}]}";
    };
    const char* open = "[[1, 1], [1, 2], [2, 2], [2, 1]]";
    const char* closed = "[[1, 1], [1, 2], [2, 2], [2, 1], [1, 1]]";
    const Catalogue catalogue = Catalogue::built_in();
    CHECK(open_edge_of(read_coach_text(coach_text("\"bottom\"", open), "t.json").joints[0], catalogue) == "bottom");
    const Coach none = read_coach_text(coach_text("\"none\"", closed), "t.json");
    CHECK(open_edge_of(none.joints[0], catalogue) == "none");
    CHECK(places_kept_open(none, catalogue).empty());
    CHECK(coach_json(read_coach_text(coach_json(none), "x")) == coach_json(none));
    const auto along = problems_of([&] { read_coach_text(coach_text("\"bottom\"", closed), "t.json"); });
    REQUIRE(along.size() == 1);
    CHECK(along[0].line == 4);
    CHECK(along[0].field == "joints[0].path_m");
    const auto word = problems_of([&] { read_coach_text(coach_text("\"botom\"", open), "t.json"); });
    REQUIRE(word.size() == 1);
    CHECK(word[0].line == 5);
}

TEST_CASE("an overlay cannot open a place that is never sealed", "[bad_input]") {
    const Catalogue catalogue = Catalogue::built_in();
    const auto over = [&](const char* id, const char* value) {
        return catalogue.with_overlay(std::string(R"({"schema": "libseal/catalogue/1", "values": {")") + id + R"(": {"value": ")" + value +
                                          R"(", "source": "shop", "mark": "judgement"}}})",
                                      "shop.json");
    };
    CHECK_THROWS_AS(over("keep_open/appliance_opening/parts", "window"), ValueError);
    CHECK_THROWS_AS(over("keep_open/frame_bottom/joints", "window_frame"), ValueError);
    const Catalogue words = over("keep_open/frame_bottom/reason", "Wasser muss dort ablaufen");
    CHECK(words.word("keep_open/frame_bottom/reason") == "Wasser muss dort ablaufen");
}
