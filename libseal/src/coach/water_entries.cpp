// Where water gets in at each joint, and what runs down the outside.

#include <algorithm>
#include <cmath>

#include "coach/path.hpp"
#include "coach/wall_span.hpp"
#include "coach/water_builder.hpp"

namespace libseal::detail {
namespace {

std::string numbered(const std::string& kind, const std::string& wall, int cell) { return kind + ":" + wall + ":" + std::to_string(cell); }

/// A joint of one and a half cells across, or more, is a row of runs; a ring round a small part is one.
int number_of_runs(const std::vector<Point>& path, double cell) {
    const PathBox box = box_of(path);
    const double across = std::hypot(box.high.u - box.low.u, box.high.v - box.low.v);
    return across < 1.5 * cell ? 1 : static_cast<int>(std::ceil(path_length(path) / cell));
}

bool sees_indoors(const std::string& type) {
    return type == "window_frame" || type == "exit_window_frame" || type == "entrance_door_frame" || type == "windshield_joint";
}

bool is_retracted(const Coach& coach, const std::string& slide) {
    return std::any_of(coach.parts.begin(), coach.parts.end(), [&](const Part& p) { return p.id == slide && p.state == "in"; });
}

/// Is there a gutter under the edge of the roof over a wall?
bool has_gutter(const Coach& coach, const std::string& side) {
    return std::any_of(coach.joints.begin(), coach.joints.end(), [&](const Joint& j) {
        return j.type == "drip_rail" && (j.surface == side + "_wall" || (j.surface == "roof" && (middle_of(j).v > 0) == (side == "curb")));
    });
}

/// What rain and road reach: a class of "leak/when/...".
std::string exposure_of(const Coach& coach, const Joint& joint) {
    const std::string& type = joint.type;
    if (type == "air_conditioner_gasket") return "cooling_unit";
    if (type == "slide_bulb_seal" || type == "slide_wiper_seal") return is_retracted(coach, joint.part) ? "slide_seal_retracted" : "slide_seal";
    if (joint.surface == "slide_face") return "side";
    if (!joint.slide.empty()) return is_retracted(coach, joint.slide) ? "slide_box_retracted" : "slide_box";
    if (joint.surface == "roof") return "roof";
    // Under an overhang the wind of the road drives the rain in, and no wheel throws water up.
    if (joint.surface == "front_cap" || type == "overhang_underside_seam" || type == "windshield_joint") return "front";
    if (joint.surface == "underside" || type == "floor_edge_moulding" || type == "wheel_opening_trim" || type == "underbelly_pass")
        return "low";
    if (joint.surface == "rear_cap") return "rear";
    // Corner mouldings at the front meet the wind of the road.
    if (type == "corner_moulding" && middle_of(joint).u < coach.length / 2) return "front";
    return middle_of(joint).v > (coach.floor_height + coach.roof_height) / 2 ? "side_upper" : "side";
}

}  // namespace

void WaterBuilder::add_joint(const Joint& joint) {
    const int runs = number_of_runs(joint.path, catalogue_.number("drainage/cell_m"));
    const double length = path_length(joint.path);
    for (int k = 0; k < runs; ++k) {
        const Point p = point_along(joint.path, length * (k + 0.5) / runs);
        const std::string id = runs == 1 ? joint.id : joint.id + ":" + std::to_string(k + 1);
        const int run = place(id, "joint", joint.surface, p, false, joint.slide, joint.id);
        graph_.places.back().exposure = exposure_of(coach_, joint);
        enter(run, joint, p);
        leave(run, joint, p);
    }
}

void WaterBuilder::enter(int run, const Joint& joint, Point p) {
    if (!joint.slide.empty()) return enter_slide(run, joint, p);
    if (joint.surface == "roof") return enter_roof(run, joint, p);
    if (joint.surface == "underside") {
        if (in_overhang(place_of(coach_, joint.surface, "", p))) link(run, at("bunk:" + strip_of(p.v)), "into_bunk");
        else link(run, at(floor_at(p.u, strip_of(p.v))), "into_floor");
        return;
    }
    enter_wall(run, joint, p);
}

void WaterBuilder::enter_roof(int run, const Joint& joint, Point p) {
    const int cell = roof_cell(p.u);
    const std::string deck = "deck:" + std::to_string(cell) + ":" + strip_of(p.v);
    const double edge = 0.12;  // mouldings lie this near to the edge of the roof [m]
    const double to_side = coach_.width / 2 - std::abs(p.v);
    if (joint.type == "air_conditioner_gasket") link(run, at("ceiling:" + std::to_string(cell) + ":" + strip_of(p.v)), "into_opening");
    if (joint.type == "front_cap_to_roof" || joint.type == "rear_cap_to_roof") {
        const std::string end = joint.type == "front_cap_to_roof" ? "front_cap" : "rear_cap";
        link(run, at(numbered("wall_top", end, cell_of(wall(end), p.v))), "into_wall_top");
    } else if (to_side < edge && joint.part.empty()) {
        const std::string side = p.v > 0 ? "curb_wall" : "street_wall";
        link(run, at(numbered("wall_top", side, cell)), "into_wall_top");
        link(run, at(deck), "into_deck_at_edge");
        return;
    }
    link(run, at(deck), "into_deck");
}

void WaterBuilder::enter_wall(int run, const Joint& joint, Point p) {
    const Wall& on = wall(joint.surface);
    const Place place = place_of(coach_, joint.surface, "", p);
    const int cell = cell_of(on, p.u);
    const char* level = level_of(on, cell, p.v);
    const std::string core = wall_id("wall_core", on.name, cell, level);
    if (joint.type == "slide_opening_flange" || joint.type == "slide_bulb_seal" || joint.type == "slide_wiper_seal") {
        for (const auto& part : coach_.parts)
            if (part.kind == "slide_out" && part.id == joint.part) {
                const int third = std::clamp(static_cast<int>(3 * (p.u - part.low.u) / (part.high.u - part.low.u)), 0, 2);
                link(run, at(numbered("slide_frame", part.id, third)), "into_frame");
            }
        if (joint.type == "slide_opening_flange") link(run, at(core), "into_wall");
        return;
    }
    if (joint.type == "corner_moulding") {
        const bool front = place.x < coach_.length / 2;
        link(run, at(std::string("corner_post:") + (front ? "front:" : "rear:") + (place.y > 0 ? "curb" : "street")), "into_corner_post");
        link(run, at(core), "into_wall_beside_post");
        return;
    }
    if (joint.type == "overhang_underside_seam" || in_overhang(place)) {
        const std::string strip = strip_of(place.y);
        if (has("bunk:" + strip)) {
            link(run, at("bunk:" + strip), joint.type == "overhang_underside_seam" ? "into_bunk" : "into_opening");
            if (joint.type == "overhang_underside_seam") return;
        }
    }
    if (p.v - wall_span(coach_, std::clamp(place.x, 0.05, coach_.length - 0.05)).low < 0.08 || joint.type == "wheel_opening_trim") {
        link(run, at(numbered("floor_edge", on.name, cell)), "into_floor_edge");
        return;
    }
    if (has("compartment:" + joint.part)) link(run, at("compartment:" + joint.part), "into_compartment");
    if (sees_indoors(joint.type)) link(run, at(wall_id("inner_wall", on.name, cell, level)), "into_opening");
    link(run, at(core), "into_wall");
}

void WaterBuilder::enter_slide(int run, const Joint& joint, Point p) {
    const Surface& face = surface_of(coach_, "slide_face", joint.slide);
    const bool upright = joint.surface == "slide_front_side" || joint.surface == "slide_rear_side";
    const int third = joint.surface == "slide_front_side" ? 0
                      : upright ? 2
                                : std::clamp(static_cast<int>(3 * (p.u - face.low.u) / (face.high.u - face.low.u)), 0, 2);
    if (joint.surface == "slide_roof") return link(run, at(numbered("slide_deck", joint.slide, third)), "into_deck");
    if (joint.surface == "slide_floor") return link(run, at(numbered("slide_floor", joint.slide, third)), "into_floor_edge");
    if (sees_indoors(joint.type)) link(run, at(numbered("slide_inner_wall", joint.slide, third)), "into_opening");
    link(run, at(numbered("slide_wall", joint.slide, third)), "into_wall");
    if (joint.type == "slide_corner_moulding" && p.v < (face.low.v + face.high.v) / 2)
        link(run, at(numbered("slide_floor", joint.slide, third)), "into_slide_floor");
}

/// The outside as cells: roof strips, walls in two levels; a drip edge lets little past.
void WaterBuilder::add_outside() {
    const double length = coach_.length / cells_, third = coach_.width / 3;
    for (int i = 0; i < cells_; ++i)
        for (const double s : {-1.0, 0.0, 1.0})
            place("outside:roof:" + std::to_string(i) + ":" + strip_of(s * third), "surface", "roof", {(i + 0.5) * length, s * third}, false);
    for (const auto& wall : walls_)
        for (int i = 0; i < wall.cells; ++i)
            for (const char* level : {"upper", "lower"}) {
                const WaterPlace core = graph_.places[static_cast<std::size_t>(at(wall_id("wall_core", wall.name, i, level)))];
                place(wall_id("outside", wall.name, i, level), "surface", wall.name, core.at, false);
            }
    const auto roof = [](int i, const char* strip) { return "outside:roof:" + std::to_string(i) + ":" + strip; };
    for (int i = 0; i < cells_; ++i)
        for (const char* side : {"street", "curb"}) {
            link(roof(i, "middle"), roof(i, side), "across_roof");
            link(roof(i, side), wall_id("outside", std::string(side) + "_wall", i, "upper"), has_gutter(coach_, side) ? "over_gutter" : "over_drip_edge");
        }
    for (const bool front : {true, false})
        for (int s = 0; s < 3; ++s) {
            const char* strip = s == 0 ? "street" : s == 1 ? "middle" : "curb";
            link(roof(front ? 0 : cells_ - 1, strip), wall_id("outside", front ? "front_cap" : "rear_cap", s, "upper"), "over_end");
        }
    for (const auto& wall : walls_)
        for (int i = 0; i < wall.cells; ++i) link(wall_id("outside", wall.name, i, "upper"), wall_id("outside", wall.name, i, "lower"), "down_outside");
}

void WaterBuilder::leave(int run, const Joint& joint, Point p) {
    if (!joint.slide.empty() || joint.surface == "underside") return;
    if (joint.surface == "roof") {
        link(run, at("outside:roof:" + std::to_string(roof_cell(p.u)) + ":" + strip_of(p.v)), "runs_out");
        return;
    }
    const Wall& on = wall(joint.surface);
    const int cell = cell_of(on, p.u);
    link(run, at(wall_id("outside", on.name, cell, level_of(on, cell, p.v))), "runs_out");
}

}  // namespace libseal::detail
