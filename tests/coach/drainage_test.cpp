#include "support/built_in.hpp"
#include "support/catch.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "libseal/coach/drainage.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/core/error.hpp"
#include "support/problems.hpp"

using namespace libseal;
using libseal_test::catalogue;

namespace {

std::vector<Coach> coaches() {
    LayoutOptions two_slides = layout_options("fifth_wheel");
    two_slides.slide_outs_curb = 1;
    return {travel_trailer(5, {}), travel_trailer(10), fifth_wheel(11, two_slides), motorhome(9.5), camper_van(6.5), truck_camper(4.2)};
}

bool holds(const std::vector<std::string>& list, const std::string& id) { return std::find(list.begin(), list.end(), id) != list.end(); }

}  // namespace

TEST_CASE("water of every joint of every layout can be seen somewhere indoors", "[coach][law]") {
    for (const auto& coach : coaches()) {
        const Drainage graph = drainage(coach, catalogue());
        const WaterWays ways(graph);
        for (const auto& joint : coach.joints) {
            INFO(coach.kind << " " << joint.id);
            const auto runs = graph.runs_of(joint.id);
            REQUIRE_FALSE(runs.empty());
            for (const int run : runs) {
                const WaterTree tree = ways.from(run);
                double most = 0;
                for (std::size_t i = 0; i < graph.places.size(); ++i)
                    if (graph.places[i].inside) most = std::max(most, tree.probability[i]);
                CHECK(most > 0.05);
                CHECK(most <= 1);
            }
        }
    }
}

TEST_CASE("every link passes by chance, ends at a place, and never leads back into a joint", "[coach][law]") {
    for (const auto& coach : coaches()) {
        const Drainage graph = drainage(coach, catalogue());
        std::set<std::string> ids;
        for (const auto& place : graph.places) CHECK(ids.insert(place.id).second);
        for (const auto& link : graph.links) {
            CHECK(link.passes > 0);
            CHECK(link.passes < 1);
            CHECK_FALSE(link.way.empty());
            const WaterPlace& to = graph.places.at(static_cast<std::size_t>(link.to));
            CHECK(to.kind != "joint");
            // Indoors water may spread over floors, but it does not get back behind the skin.
            if (graph.places.at(static_cast<std::size_t>(link.from)).inside) CHECK(to.inside);
        }
    }
}

TEST_CASE("hidden water goes down or along, never up", "[coach][law]") {
    for (const auto& coach : coaches()) {
        const Drainage graph = drainage(coach, catalogue());
        for (const auto& link : graph.links) {
            const WaterPlace &from = graph.places[static_cast<std::size_t>(link.from)], &to = graph.places[static_cast<std::size_t>(link.to)];
            if (to.kind == "compartment") continue;  // marked at the middle of its door; its floor is lower
            if (from.kind == "joint") continue;  // a run enters the cell that it lies in, wherever the cell's middle is
            INFO(coach.kind << " " << from.id << " to " << to.id);
            CHECK(to.place.z <= from.place.z + 0.1 * (coach.roof_height - coach.floor_height));
        }
    }
}

TEST_CASE("the ways found are trees whose chances are products of their links, and no other way is better", "[coach][reference]") {
    const Coach coach = travel_trailer(6);
    const Drainage graph = drainage(coach, catalogue());
    const WaterWays ways(graph);
    for (const char* joint : {"roof_vent_1", "roof_edge_curb", "window_3", "slide_1_roof_seam"}) {
        const int start = graph.runs_of(joint)[0];
        const WaterTree tree = ways.from(start);
        // Bellman and Ford's method, written out here: the best products by repeated relaxation.
        std::vector<double> best(graph.places.size(), 0.0);
        best[static_cast<std::size_t>(start)] = 1;
        for (std::size_t round = 0; round < graph.places.size(); ++round)
            for (const auto& link : graph.links)
                best[static_cast<std::size_t>(link.to)] = std::max(best[static_cast<std::size_t>(link.to)], best[static_cast<std::size_t>(link.from)] * link.passes);
        for (std::size_t i = 0; i < graph.places.size(); ++i) {
            CHECK(tree.probability[i] == Approx(best[i]).epsilon(1e-12).margin(1e-300));
            if (static_cast<int>(i) == start || best[i] == 0) continue;
            double product = 1;
            int at = start;
            for (const int k : tree.path_to(graph, static_cast<int>(i))) {
                CHECK(graph.links[static_cast<std::size_t>(k)].from == at);
                at = graph.links[static_cast<std::size_t>(k)].to;
                product *= graph.links[static_cast<std::size_t>(k)].passes;
            }
            CHECK(at == static_cast<int>(i));
            CHECK(product == Approx(tree.probability[i]).epsilon(1e-12));
        }
    }
    CHECK_THROWS_AS(ways.from(-1), ValueError);
}

TEST_CASE("upstream is up and on the same side: roof over edge, edge over window, window over floor", "[coach]") {
    const Coach coach = travel_trailer(9);
    const Drainage graph = drainage(coach, catalogue());
    const auto of_window = upstream_joints(graph, "window_3"), of_floor = upstream_joints(graph, "floor_edge_curb");
    CHECK(holds(of_window, "roof_edge_curb"));
    CHECK_FALSE(holds(of_window, "roof_edge_street"));
    CHECK_FALSE(holds(of_window, "floor_edge_curb"));
    CHECK(holds(of_floor, "window_3"));
    CHECK(holds(of_floor, "roof_edge_curb"));
    CHECK(std::find(of_floor.begin(), of_floor.end(), "window_3") < std::find(of_floor.begin(), of_floor.end(), "roof_edge_curb"));
    CHECK(holds(upstream_joints(graph, "roof_edge_curb"), "roof_vent_1"));
    CHECK(upstream_joints(graph, "roof_vent_1").empty());
    for (const auto& joint : coach.joints)
        for (const auto& above : upstream_joints(graph, joint.id)) CHECK_FALSE(holds(upstream_joints(graph, above), joint.id));
}

TEST_CASE("a mark is put at the nearest place of its surface, and a place without marks is an error", "[coach]") {
    const Coach coach = travel_trailer(8);
    const Drainage graph = drainage(coach, catalogue());
    for (std::size_t i = 0; i < graph.places.size(); ++i) {
        const WaterPlace& place = graph.places[i];
        if (!place.inside) continue;
        CHECK(graph.nearest(coach, place.surface, place.slide, place.at, true) == static_cast<int>(i));
    }
    CHECK(graph.places[static_cast<std::size_t>(graph.nearest(coach, "curb_wall", "", {4, 1}, false))].kind == "surface");
    CHECK_THROWS_AS(graph.nearest(coach, "slide_floor", "slide_9", {4, 1}, true), ValueError);
    CHECK_THROWS_AS(graph.find("ceiling:0:strete"), ValueError);
    // The drainage of a coach without a curb wall has no place for a mark on it.
    Drainage less = graph;
    std::erase_if(less.places, [](const WaterPlace& place) { return place.surface == "curb_wall"; });
    for (const bool inside : {true, false}) {
        const auto hidden = libseal_test::problems_of([&] { less.nearest(coach, "curb_wall", "", {4, 1}, inside); });
        REQUIRE(hidden.size() == 1);
        CHECK(hidden[0].field == "surface");
        CHECK(hidden[0].expected == std::string("a surface that water can be seen on ") + (inside ? "indoors" : "outside"));
        CHECK(hidden[0].got == "\"curb_wall\"");
    }
}

TEST_CASE("water needs two side walls and two ends to run down", "[coach][bad_input]") {
    Coach coach = travel_trailer(8);
    std::erase_if(coach.surfaces, [](const Surface& surface) { return surface.name == "rear_cap"; });
    const auto problems = libseal_test::problems_of([&] { drainage(coach, catalogue()); });
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].expected == "two side walls and two ends");
    CHECK(problems[0].got == "3 walls");
}

TEST_CASE("points of surfaces are where the frame of the coach says", "[coach]") {
    const Coach coach = travel_trailer(8);
    const auto near = [](const Place& p, double x, double y, double z) {
        CHECK(p.x == Approx(x).margin(1e-12));
        CHECK(p.y == Approx(y).margin(1e-12));
        CHECK(p.z == Approx(z).margin(1e-12));
    };
    near(place_of(coach, "roof", "", {3, 0.5}), 3, 0.5, coach.roof_height);
    near(place_of(coach, "curb_wall", "", {3, 1.5}), 3, coach.width / 2, 1.5);
    near(place_of(coach, "street_wall", "", {3, 1.5}), 3, -coach.width / 2, 1.5);
    near(place_of(coach, "front_cap", "", {0.5, 1.5}), 0, 0.5, 1.5);
    near(place_of(coach, "rear_cap", "", {0.5, 1.5}), coach.length, 0.5, 1.5);
    near(place_of(coach, "underside", "", {3, 0.5}), 3, 0.5, coach.floor_height);
    const Surface& face = surface_of(coach, "slide_face", "slide_1");
    const Surface& roof = surface_of(coach, "slide_roof", "slide_1");
    near(place_of(coach, "slide_face", "slide_1", face.low), face.low.u, roof.low.v, face.low.v);
    near(place_of(coach, "slide_roof", "slide_1", roof.low), roof.low.u, roof.low.v, face.high.v);
    near(place_of(coach, "slide_front_side", "slide_1", {0.2, face.low.v}), face.low.u, -coach.width / 2 - 0.2, face.low.v);
    CHECK(wall_of_slide(coach, "slide_1") == "street_wall");
    CHECK_THROWS_AS(wall_of_slide(coach, "slide_7"), ValueError);
    CHECK_THROWS_AS(place_of(coach, "slide_roof", "", {0, 0}), ValueError);
    // The floor of a fifth wheel steps up over its overhang.
    const Coach stepped = fifth_wheel(11);
    CHECK(place_of(stepped, "underside", "", {stepped.length * 0.8, 0}).z == Approx(stepped.floor_height));
    CHECK(place_of(stepped, "roof", "", {0.5, 0}).z == Approx(stepped.roof_height));
    const Joint square{"j", "membrane_seam", "", "roof", "", {{0, 0}, {2, 0}, {2, 2}}, 4, {}, 0, {}, {}};
    CHECK(middle_of(square).u == Approx(2));
    CHECK(middle_of(square).v == Approx(0).margin(1e-12));
}
