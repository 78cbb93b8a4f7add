#include "coach/layout_maker.hpp"

namespace libseal {
namespace {

using detail::LayoutMaker;

/// The cab under the bed is the chassis maker's; it meets the shell at the step of the walls and under the overhang.
void add_cab_joints(LayoutMaker& m) {
    const std::vector<std::string> substrates{"steel", m.o.wall_substrate};
    const double at = m.overhang + 0.02, in = m.half - 0.25, back = m.overhang - 0.06, front = 0.45;
    for (const std::string side : {"street", "curb"})
        m.build().joint("cab_joint_" + side, "windshield_joint", side + "_wall", {{at, m.floor}, {at, m.overhang_floor}}, substrates);
    m.build().joint("cab_joint_roof", "windshield_joint", "underside", {{back, -in}, {front, -in}, {front, in}, {back, in}}, substrates);
    m.add_overhang_seam();
}

void add_windshield(LayoutMaker& m) {
    const double width = 2 * m.half - 0.30, height = 0.40 * m.o.wall_height;
    m.fit({"windshield", "windshield", "front_cap", {0, m.floor + 0.50 * m.o.wall_height}, width, height, "windshield"}, "windshield_joint",
          "glass");
    for (const std::string side : {"street", "curb"}) m.add_wheels(side, 0.08 * m.length + 0.25, 0.43, false, "front_wheels_");
}

void add_street_wall(LayoutMaker& m) {
    const std::string wall = "street_wall";
    const double low = m.floor + 0.30;
    m.add_side_windows(wall, m.o.windows / 2, true);
    m.add_baggage_door("street", 0.40 * m.length);
    m.fit({"propane_compartment_street", "propane_compartment", wall, {0.50 * m.length, low}, 0.50, 0.36, "propane compartment, street side"},
          "baggage_door_frame", "painted_aluminium");
    m.fit({"water_heater", "water_heater", wall, {0.55 * m.length, low}, 0.40, 0.36, "water heater door"}, "water_heater_frame", "steel");
    m.add_inlets(0.90, 0.85, 0.95);
    m.fit({"refrigerator_vent", "refrigerator_vent", wall, {0.30 * m.length, low}, 0.50, 0.32, "refrigerator lower vent"},
          "refrigerator_vent_frame", "abs");
    m.fit({"range_exhaust", "wall_exhaust", wall, {0.34 * m.length, m.floor + 0.88 * m.o.wall_height}, 0.28, 0.15, "range hood outlet"},
          "wall_exhaust_flange", "abs");
    m.add_markers(wall, m.o.marker_lights / 5);
    m.note({"data_label", "data_label", wall, {m.overhang + 0.3, low}, 0.15, 0.10, "data label", "length", 0.6});
}

void add_curb_wall(LayoutMaker& m) {
    const std::string wall = "curb_wall";
    const double low = m.floor + 0.30, door = m.overhang + 0.28 * m.length;
    m.add_entrance_door(wall, door, 0.70);
    m.add_porch_light(door + 0.6);
    m.add_baggage_door("curb", 0.45 * m.length);
    m.add_furnace_vent();
    m.fit({"generator_door", "baggage_door", wall, {0.85 * m.length, low}, 0.60, 0.36, "door of the generator"}, "baggage_door_frame",
          "painted_aluminium");
    m.fit({"battery_vent", "battery_vent", wall, {0.52 * m.length, low}, 0.15, 0.12, "vent of the battery box"}, "service_inlet", "abs");
    m.add_awning();
    m.add_side_windows(wall, m.o.windows - m.o.windows / 2 - (m.o.windows > 2 ? 1 : 0), false);
    m.add_markers(wall, m.o.marker_lights / 5);
}

void add_underside(LayoutMaker& m) {
    m.add_underside(true);
    m.note({"generator_exhaust", "generator_exhaust", "underside", {0.88 * m.length, 0.7 * m.half}, 0.10, 0.10, "exhaust of the generator",
            "length", 0.2});
    m.note({"propane_vent", "propane_vent", "underside", {0.50 * m.length, -0.75 * m.half}, 0.10, 0.10,
            "drop-out vent of the propane compartment", "length", 0.3});
}

}  // namespace

Coach motorhome(double length, const LayoutOptions& options) {
    LayoutMaker m("motorhome", "motorhome", length, options, options.overcab);
    m.add_shell(0.70 * length, 0.47);
    if (options.overcab) add_cab_joints(m);
    else add_windshield(m);
    const double behind = m.overhang + 0.25 * length, low = m.floor + 0.55;
    m.add_slides({"street_wall", behind, 0.97 * length, options.slide_outs, low, 0.75, "slide_outs"});
    m.add_slides({"curb_wall", behind + 0.10 * length + 0.8, 0.97 * length, options.slide_outs_curb, low, 0.60, "slide_outs_curb"});
    m.add_roof_fittings(0.5);
    add_street_wall(m);
    add_curb_wall(m);
    m.add_ends();
    m.add_drip_rails();
    m.add_gutter_spouts();
    m.add_long_lines();
    add_underside(m);
    return m.take();
}

}  // namespace libseal
