#include "coach/layout_maker.hpp"

namespace libseal {
namespace {

using detail::LayoutMaker;

void add_street_wall(LayoutMaker& m) {
    const std::string wall = "street_wall";
    const double low = m.floor + 0.30, room = m.length - m.overhang;
    m.fit({"water_heater", "water_heater", wall, {m.overhang + 0.70 * room, low}, 0.40, 0.36, "water heater door"}, "water_heater_frame",
          "steel");
    m.fit({"propane_compartment_street", "propane_compartment", wall, {m.overhang + 0.25 * room, low}, 0.35, 0.40,
           "propane compartment, street side"},
          "baggage_door_frame", "painted_aluminium");
    m.add_inlets(0.92, 0.86, 0);
    m.fit({"range_exhaust", "wall_exhaust", wall, {m.overhang + 0.4 * room, m.floor + 0.88 * m.o.wall_height}, 0.28, 0.15, "range hood outlet"},
          "wall_exhaust_flange", "abs");
    m.add_windows(wall, m.o.windows / 2, true);
    m.add_markers(wall, m.o.marker_lights / 5);
    m.note({"data_label", "data_label", wall, {m.overhang + 0.2, m.floor + 0.6}, 0.15, 0.10, "data label", "length", 0.6});
}

void add_curb_wall(LayoutMaker& m) {
    const std::string wall = "curb_wall";
    const double low = m.floor + 0.30, room = m.length - m.overhang;
    m.fit({"refrigerator_vent", "refrigerator_vent", wall, {m.overhang + 0.30 * room, low}, 0.45, 0.32, "refrigerator lower vent"},
          "refrigerator_vent_frame", "abs");
    m.fit({"furnace_vent", "furnace_vent", wall, {m.overhang + 0.60 * room, low}, 0.22, 0.18, "furnace vent"}, "furnace_vent_flange", "steel");
    m.fit({"battery_vent", "battery_vent", wall, {m.overhang + 0.85 * room, low}, 0.15, 0.12, "vent of the battery box"}, "service_inlet",
          "abs");
    m.add_awning();
    m.add_windows(wall, m.o.windows - m.o.windows / 2, false);
    m.add_markers(wall, m.o.marker_lights / 5);
}

/// The door is at the back; the legs that lift the camper off the truck are bolted to the ends.
void add_ends(LayoutMaker& m) {
    const int ends = m.o.marker_lights - 2 * (m.o.marker_lights / 5);
    m.add_entrance_door("rear_cap", -0.25 * m.half, 0.60);
    m.add_markers("front_cap", ends / 2);
    m.add_markers("rear_cap", ends - ends / 2);
    m.add_tail_lights(0.12, 0.12, 0.12);
    for (const double side : {-1.0, 1.0}) {
        const std::string name = side < 0 ? "street" : "curb";
        for (const bool front : {true, false}) {
            const double u = front ? m.overhang + 0.12 : m.length - 0.12;
            m.fit({std::string("jack_bracket_") + (front ? "front_" : "rear_") + name, "jack_bracket", name + "_wall", {u, m.floor + 0.75},
                   0.08, 0.10, std::string("jack bracket, ") + (front ? "front, " : "rear, ") + name + " side"},
                  "wall_bracket_foot", "mill_aluminium");
        }
    }
}

}  // namespace

Coach truck_camper(double length, const LayoutOptions& options) {
    LayoutMaker m("truck_camper", "truck_camper", length, options, true);
    m.add_shell(0, 0);
    m.add_overhang_seam();
    m.add_roof_fittings(0.5, false);
    add_ends(m);
    add_street_wall(m);
    add_curb_wall(m);
    m.add_drip_rails();
    m.add_gutter_spouts();
    m.add_long_lines();
    m.add_underside(false);
    return m.take();
}

}  // namespace libseal
