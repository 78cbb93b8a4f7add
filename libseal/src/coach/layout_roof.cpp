// What stands on the roof.

#include <cmath>
#include <numbers>

#include "coach/layout_maker.hpp"
#include "libseal/core/error.hpp"

namespace libseal::detail {

/// Seams run from edge to edge; what stands on the roof keeps clear of them.
void LayoutMaker::add_roof_seams() {
    const bool metal = o.roof_substrate.ends_with("aluminium") || o.roof_substrate.ends_with("steel");
    const double apart = length / (o.roof_seams + 1);
    // Metal sheets are about 1.2 m wide, and between seams there must be room for what stands on the roof.
    if (o.roof_seams > 0 && apart < 0.95)
        throw_value_error("roof_seams", "seams at least 0.95 m apart", std::to_string(o.roof_seams) + " seams");
    for (int i = 0; i < o.roof_seams; ++i) {
        const double at = apart * (i + 1);
        build_.keep_free("roof", {at - 0.02, -half}, {at + 0.02, half});
        build_.joint("roof_seam_" + std::to_string(i + 1), metal ? "metal_roof_seam" : "membrane_seam", "roof", {{at, -half}, {at, half}},
                     {o.roof_substrate, o.roof_substrate});
    }
}

void LayoutMaker::add_roof_fittings(double air_conditioner, bool pipes) {
    add_roof_vents();
    add_air_conditioner(air_conditioner);
    add_skylight();
    if (pipes) add_pipe_vents();
    add_refrigerator_roof_vent();
    add_antenna();
    add_ladder();
    add_roof_extras();
}

void LayoutMaker::add_roof_vents() {
    for (int i = 0; i < o.roof_vents; ++i) {
        const double u = length * (0.14 + 0.72 * (i + 0.5) / o.roof_vents);
        const std::string number = std::to_string(i + 1);
        build_.round(build_.part({"roof_vent_" + number, "roof_vent", "roof", {u, 0}, 0.457, 0.457, "roof vent " + number, "roof_vents", 0.5}),
                     "roof_vent_flange", {"abs", o.roof_substrate});
    }
}

void LayoutMaker::add_air_conditioner(double share) {
    if (!o.air_conditioner) return;
    const Part part = build_.part({"air_conditioner", "air_conditioner", "roof", {length * share, 0}, 0.70, 0.70, "roof air conditioner",
                                   "air_conditioner"});
    // The gasket lies round the opening of 356 mm, not round the housing.
    const Point m{(part.low.u + part.high.u) / 2, 0};
    const double h = 0.178;
    build_.joint("air_conditioner_gasket", "air_conditioner_gasket", "roof",
                 {{m.u - h, -h}, {m.u + h, -h}, {m.u + h, h}, {m.u - h, h}, {m.u - h, -h}}, {"painted_aluminium", o.roof_substrate}, 0, "",
                 part.id);
}

void LayoutMaker::add_skylight() {
    if (!o.skylight) return;
    build_.round(build_.part({"skylight", "skylight", "roof", {length * 0.66, 0.45}, 0.76, 0.61, "skylight", "skylight", 0.3}),
                 "skylight_flange", {"acrylic", o.roof_substrate});
}

void LayoutMaker::add_pipe_vents() {
    for (int index = 0; index < 2; ++index) {
        const double diameter = 0.15;
        const Point wanted{length * (index == 0 ? 0.62 : 0.46), index == 0 ? -0.5 * half : 0.72 * half};
        const std::string number = std::to_string(index + 1);
        const Part part = build_.part({"plumbing_vent_" + number, "plumbing_vent", "roof", wanted, diameter, diameter,
                                       "plumbing vent " + number, "length", 0.3});
        const Point middle{(part.low.u + part.high.u) / 2, (part.low.v + part.high.v) / 2};
        std::vector<Point> ring;
        for (int k = 0; k <= 24; ++k) {
            const double angle = 2 * std::numbers::pi * k / 24;
            ring.push_back({middle.u + diameter / 2 * std::cos(angle), middle.v + diameter / 2 * std::sin(angle)});
        }
        build_.joint(part.id, "plumbing_vent_flange", "roof", std::move(ring), {"abs", o.roof_substrate}, std::numbers::pi * diameter, "",
                     part.id);
    }
}

void LayoutMaker::add_refrigerator_roof_vent() {
    build_.round(build_.part({"refrigerator_roof_vent", "refrigerator_roof_vent", "roof", {length * 0.40, -half + 0.35}, 0.61, 0.30,
                              "refrigerator roof vent", "length", 0.3}),
                 "roof_exhaust_base", {"abs", o.roof_substrate});
}

void LayoutMaker::add_antenna() {
    build_.round(build_.part({"antenna", "antenna", "roof", {length * 0.25, 0.70 * half}, 0.30, 0.25, "antenna", "length", 0.3}),
                 "antenna_base", {"abs", o.roof_substrate});
}

Point LayoutMaker::ladder_foot(int number) const { return {length - 0.33, half - (number == 0 ? 0.75 : 0.35) - 0.03}; }

/// The ladder hangs where it hangs; other parts go round it.
void LayoutMaker::keep_free_for_ladder() {
    for (int i = 0; i < 2; ++i) {
        const Point low = ladder_foot(i);
        build_.keep_free("roof", low, {low.u + 0.065, low.v + 0.06});
        build_.keep_free("rear_cap", {low.v, floor + 0.4}, {low.v + 0.06, top});
    }
}

void LayoutMaker::add_ladder() {
    if (!o.ladder) return;
    for (int i = 0; i < 2; ++i) {
        const std::string number = std::to_string(i + 1);
        const Point low = ladder_foot(i);
        build_.round(build_.part_at({"ladder_roof_foot_" + number, "ladder_foot", "roof", "", low, {low.u + 0.065, low.v + 0.06},
                                     "ladder foot on the roof " + number, ""}),
                     "ladder_roof_foot", {"mill_aluminium", o.roof_substrate});
        const double middle = half - (i == 0 ? 0.75 : 0.35);
        build_.round(build_.part_at({"ladder_wall_foot_" + number, "ladder_foot", "rear_cap", "", {middle - 0.03, floor + 0.5},
                                     {middle + 0.03, floor + 0.595}, "ladder foot on the rear " + number, ""}),
                     "wall_bracket_foot", {"mill_aluminium", o.wall_substrate});
    }
}

void LayoutMaker::add_roof_extras() {
    const auto number = [](int i) { return std::to_string(i + 1); };
    for (int i = 0; i < o.roof_rail_feet; ++i)
        for (const double side : {-1.0, 1.0}) {
            const double u = length * (0.12 + 0.74 * (o.roof_rail_feet == 1 ? 0.5 : double(i) / (o.roof_rail_feet - 1)));
            const std::string name = std::string(side < 0 ? "street" : "curb") + "_" + number(i);
            build_.round(build_.part({"roof_rail_foot_" + name, "roof_rail_foot", "roof", {u, side * (half - 0.17)}, 0.09, 0.06,
                                      "foot of the roof rack, " + std::string(side < 0 ? "street" : "curb") + " side " + number(i),
                                      "roof_rail_feet", 0.2}),
                         "roof_rail_foot", {"mill_aluminium", o.roof_substrate});
        }
    for (int i = 0; i < o.solar_panels; ++i) add_solar_panel(i);
    if (o.solar_panels > 0)
        build_.round(build_.part({"solar_cable_entry", "cable_entry", "roof", {0.55 * length, 0.3 * half}, 0.08, 0.08,
                                  "cable entry of the solar panels", "solar_panels", 0.8}),
                     "solar_mount_foot", {"abs", o.roof_substrate});
}

/// A panel with a foot beyond each corner, lengthwise or, where that has no room, crosswise.
void LayoutMaker::add_solar_panel(int index) {
    const double longer = 1.05, shorter = 0.55, foot = 0.06;  // [m]
    const std::string id = "solar_panel_" + std::to_string(index + 1), label = "solar panel " + std::to_string(index + 1);
    const double side = index % 2 == 0 ? 1 : -1;
    Wanted wanted{id, "solar_panel", "roof", {length * (0.3 + 0.15 * (index / 2)), side * 0.55 * half}, longer + 2 * foot, shorter, label,
                  "solar_panels", half};
    if (!build_.has_room(wanted)) {
        wanted.width = shorter + 2 * foot;
        wanted.height = longer;
    }
    const auto [a, b] = build_.room_for(wanted);
    build_.part_at({id, "solar_panel", "roof", "", {a.u + foot, a.v}, {b.u - foot, b.v}, label, ""});
    int number = 0;
    for (const double u : {a.u, b.u - foot})
        for (const double v : {a.v, b.v - foot}) {
            const std::string name = id + "_foot_" + std::to_string(++number);
            build_.round(build_.part_at({name, "solar_foot", "roof", "", {u, v}, {u + foot, v + foot},
                                         label + ", foot " + std::to_string(number), ""}),
                         "solar_mount_foot", {"mill_aluminium", o.roof_substrate});
        }
}

}  // namespace libseal::detail
