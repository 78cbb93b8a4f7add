// Where water of each kind of joint gets in, and what of rain and road reaches it.

#include <algorithm>
#include <set>

#include "libseal/coach/drainage.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/core/error.hpp"
#include "support/built_in.hpp"
#include "support/catch.hpp"

using namespace libseal;
using libseal_test::catalogue;

namespace {

Joint line(const std::string& id, const std::string& type, const std::string& surface, std::vector<Point> path, const std::string& slide = "",
           const std::string& part = "") {
    Joint joint;
    joint.id = id;
    joint.type = type;
    joint.surface = surface;
    joint.slide = slide;
    joint.part = part;
    joint.length = path_length(path);
    joint.path = std::move(path);
    joint.substrates = {"gelcoat_laminate"};
    return joint;
}

/// Ids of the places that water gets to at once from any run of a joint.
std::set<std::string> next_to(const Drainage& graph, const std::string& joint) {
    std::set<std::string> ids;
    for (const WaterLink& link : graph.links)
        if (graph.places[static_cast<std::size_t>(link.from)].joint == joint) ids.insert(graph.places[static_cast<std::size_t>(link.to)].id);
    return ids;
}

std::set<std::string> exposures(const Drainage& graph, const std::string& joint) {
    std::set<std::string> words;
    for (const int run : graph.runs_of(joint)) words.insert(graph.places[static_cast<std::size_t>(run)].exposure);
    return words;
}

bool links(const Drainage& graph, const std::string& from, const std::string& to) {
    return std::any_of(graph.links.begin(), graph.links.end(), [&](const WaterLink& link) {
        return graph.places[static_cast<std::size_t>(link.from)].id == from && graph.places[static_cast<std::size_t>(link.to)].id == to;
    });
}

using Words = std::set<std::string>;

}  // namespace

TEST_CASE("what faces the road ahead is wet by driving, what hangs low by the wheels, what stands high first", "[coach]") {
    const Drainage wheel = drainage(fifth_wheel(11), catalogue());
    CHECK(exposures(wheel, "overhang_seam") == Words{"front"});
    CHECK(exposures(wheel, "underbelly_pass_1") == Words{"low"});
    CHECK(exposures(wheel, "floor_edge_curb") == Words{"low"});
    CHECK(exposures(wheel, "wheel_trim_street") == Words{"low"});
    CHECK(exposures(wheel, "corner_front_street") == Words{"front"});
    CHECK(exposures(wheel, "corner_rear_street") != Words{"front"});
    CHECK(exposures(wheel, "roof_edge_curb") == Words{"roof"});
    CHECK(exposures(wheel, "tail_light_curb") == Words{"rear"});
    CHECK(exposures(wheel, "porch_light") == Words{"side_upper"});
    CHECK(exposures(wheel, "furnace_vent") == Words{"side"});
    CHECK(exposures(wheel, "air_conditioner_gasket") == Words{"cooling_unit"});
    LayoutOptions options = layout_options("motorhome");
    options.overcab = true;
    const Drainage cab = drainage(motorhome(9, options), catalogue());
    for (const char* joint : {"cab_joint_roof", "cab_joint_street", "cab_joint_curb"}) CHECK(exposures(cab, joint) == Words{"front"});
    CHECK(exposures(drainage(motorhome(9), catalogue()), "windshield") == Words{"front"});
}

TEST_CASE("a slide-out is wet as it stands: its box and seals differ when it is in", "[coach]") {
    Coach coach = travel_trailer(9);
    const auto exposed = [&](const char* joint) { return exposures(drainage(coach, catalogue()), joint); };
    CHECK(exposed("slide_1_wiper_seal") == Words{"slide_seal"});
    CHECK(exposed("slide_1_roof_seam") == Words{"slide_box"});
    CHECK(exposed("slide_1_corner_front") == Words{"side"});
    for (Part& part : coach.parts)
        if (part.id == "slide_1") part.state = "in";
    CHECK(exposed("slide_1_wiper_seal") == Words{"slide_seal_retracted"});
    CHECK(exposed("slide_1_bulb_seal") == Words{"slide_seal_retracted"});
    CHECK(exposed("slide_1_roof_seam") == Words{"slide_box_retracted"});
    CHECK(exposed("slide_1_corner_front") == Words{"side"});  // its face stays outside
}

TEST_CASE("water at the frame of a bedroom slide-out comes out on the bed over the overhang", "[coach]") {
    const Coach coach = fifth_wheel(11);  // the second slide-out of the street side stands over the overhang
    const Surface& face = surface_of(coach, "slide_face", "slide_2");
    REQUIRE(face.high.u <= layout_options("fifth_wheel").overhang_length);
    const Drainage graph = drainage(coach, catalogue());
    for (const char* cell : {"0", "1", "2"}) {
        CHECK(links(graph, std::string("slide_frame:slide_2:") + cell, "bunk:street"));
        CHECK(links(graph, std::string("slide_floor:slide_2:") + cell, "bunk:street"));
        CHECK_FALSE(links(graph, std::string("slide_frame:slide_1:") + cell, "bunk:street"));
    }
    // Every frame and every floor of a slide-out leads on into the coach.
    for (const char* slide : {"slide_1", "slide_2", "slide_3"})
        for (const char* kind : {"slide_frame:", "slide_floor:"})
            for (const char* cell : {":0", ":1", ":2"}) {
                const int from = graph.find(std::string(kind) + slide + cell);
                CHECK(std::any_of(graph.links.begin(), graph.links.end(), [&](const WaterLink& link) {
                    const WaterPlace& to = graph.places[static_cast<std::size_t>(link.to)];
                    return link.from == from && to.slide.empty() && to.inside;
                }));
            }
}

TEST_CASE("a joint under the floor lets water in wherever it lies, also close behind the step", "[coach][law]") {
    for (const double overhang : {2.0, 2.25, 2.5, 2.75, 3.0, 3.25, 3.5}) {
        LayoutOptions options = layout_options("fifth_wheel");
        options.overhang_length = overhang;
        options.slide_outs = options.slide_outs_curb = 0;
        Coach coach = fifth_wheel(11, options);
        for (int k = 0; k < 20; ++k) {
            const double u = 0.3 + 0.5 * k;
            coach.joints.push_back(line("pass_" + std::to_string(k), "underbelly_pass", "underside", {{u, 0.1}, {u + 0.1, 0.1}}));
        }
        coach.joints.push_back(line("behind", "underbelly_pass", "underside", {{overhang + 0.02, 0.1}, {overhang + 0.06, 0.1}}));
        const Drainage graph = drainage(coach, catalogue());
        for (const Joint& joint : coach.joints) {
            if (joint.type != "underbelly_pass") continue;
            INFO(overhang << " " << joint.id);
            const Words there = next_to(graph, joint.id);
            REQUIRE(there.size() == 1);
            const bool over = joint.path[0].u + 0.05 < overhang - 0.05;
            if (over) CHECK(*there.begin() == "bunk:middle");
            else if (joint.path[0].u > overhang) CHECK(there.begin()->starts_with("floor:"));
        }
    }
}

TEST_CASE("seals, sides and corners of a slide-out drain into their own end of it", "[coach]") {
    Coach coach = travel_trailer(9);
    const Surface face = surface_of(coach, "slide_face", "slide_1");
    const double low = face.low.v, high = face.high.v;
    coach.joints.push_back(line("front_side", "wall_seam_moulding", "slide_front_side", {{0.1, high - 0.3}, {0.3, high - 0.3}}, "slide_1"));
    coach.joints.push_back(line("rear_side", "wall_seam_moulding", "slide_rear_side", {{0.1, high - 0.3}, {0.3, high - 0.3}}, "slide_1"));
    coach.joints.push_back(line("side_corner", "slide_corner_moulding", "slide_rear_side", {{0.1, low}, {0.1, low + 0.4}}, "slide_1"));
    coach.joints.push_back(line("side_window", "window_frame", "slide_front_side", {{0.1, high - 0.5}, {0.1, high - 0.2}, {0.4, high - 0.2}, {0.4, high - 0.5}}, "slide_1"));
    const Drainage graph = drainage(coach, catalogue());
    CHECK(next_to(graph, "front_side") == Words{"slide_wall:slide_1:0"});
    CHECK(next_to(graph, "rear_side") == Words{"slide_wall:slide_1:2"});
    CHECK(next_to(graph, "side_corner") == Words{"slide_wall:slide_1:2", "slide_floor:slide_1:2"});
    CHECK(next_to(graph, "side_window") == Words{"slide_wall:slide_1:0", "slide_inner_wall:slide_1:0"});
    // A wiper seal leads into the frame alone, a flange into the wall beside it too.
    const Words seal = next_to(graph, "slide_1_wiper_seal"), flange = next_to(graph, "slide_1_flange");
    const auto in_wall = [](const Words& ids) { return std::any_of(ids.begin(), ids.end(), [](const auto& id) { return id.starts_with("wall_core:"); }); };
    CHECK(seal.count("slide_frame:slide_1:1") == 1);
    CHECK_FALSE(in_wall(seal));
    CHECK(in_wall(flange));
}

TEST_CASE("a gutter on the wall or on the roof keeps water off its own side", "[coach]") {
    const auto over = [](const Coach& coach, const std::string& side) {
        const Drainage graph = drainage(coach, catalogue());
        const int from = graph.find("outside:roof:3:" + side), to = graph.find("outside:" + side + "_wall:3:upper");
        for (const WaterLink& link : graph.links)
            if (link.from == from && link.to == to) return link.passes;
        return -1.0;
    };
    const double gutter = catalogue().number("drainage/way/over_gutter"), edge = catalogue().number("drainage/way/over_drip_edge");
    REQUIRE(gutter < edge);
    const Coach none = travel_trailer(8);
    const double v = none.width / 2 - 0.02;
    for (const std::string side : {"street", "curb"}) {
        const std::string other = side == "street" ? "curb" : "street";
        CHECK(over(none, side) == edge);
        Coach on_wall = none, on_roof = none;
        on_wall.joints.push_back(line("rail", "drip_rail", side + "_wall", {{0, none.roof_height - 0.02}, {8, none.roof_height - 0.02}}));
        on_roof.joints.push_back(line("rail", "drip_rail", "roof", {{0, side == "curb" ? v : -v}, {8, side == "curb" ? v : -v}}));
        for (const Coach& coach : {on_wall, on_roof}) {
            CHECK(over(coach, side) == gutter);
            CHECK(over(coach, other) == edge);
        }
    }
}

TEST_CASE("a hatch under the floor is no compartment of a wall, and a door in a wall is", "[coach]") {
    Coach coach = travel_trailer(8);
    coach.parts.push_back({"hatch_below", "baggage_door", "underside", "", {4, 0.2}, {4.6, 0.8}, "hatch under the floor", ""});
    coach.parts.push_back({"hatch_above", "baggage_door", "roof", "", {4, 0.2}, {4.6, 0.8}, "hatch in the roof", ""});
    const Drainage graph = drainage(coach, catalogue());
    const auto has = [&](const std::string& id) { return std::any_of(graph.places.begin(), graph.places.end(), [&](const WaterPlace& p) { return p.id == id; }); };
    CHECK(has("compartment:baggage_door_curb"));
    CHECK_FALSE(has("compartment:hatch_below"));
    CHECK_FALSE(has("compartment:hatch_above"));
    CHECK(next_to(graph, "baggage_door_curb").count("compartment:baggage_door_curb") == 1);
}

TEST_CASE("a way that lets nothing pass leads nowhere", "[coach]") {
    Drainage graph;
    for (const char* id : {"a", "b", "c"}) graph.places.push_back({id, "floor", "", "underside", "", {}, {}, true, ""});
    graph.links = {{0, 1, 0.5, "runs"}, {1, 2, 0.0, "stands"}};
    const WaterTree tree = WaterWays(graph).from(0);
    CHECK(tree.probability == std::vector<double>{1, 0.5, 0});
    CHECK(tree.path_to(graph, 2).empty());
    CHECK(tree.path_to(graph, 1) == std::vector<int>{0});
    CHECK(tree.path_to(graph, 0).empty());
    CHECK_THROWS_AS(WaterWays(graph).from(3), ValueError);
    CHECK(upstream_joints(graph, "no_such_joint").empty());
}
