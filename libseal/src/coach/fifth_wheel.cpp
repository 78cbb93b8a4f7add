#include <algorithm>

#include "coach/layout_maker.hpp"
#include "libseal/core/error.hpp"

namespace libseal {
namespace {

using detail::LayoutMaker;

/// Boxes behind the overhang first; the second of the street side, or of the curb side, is that of the bedroom over it.
void add_slides(LayoutMaker& m) {
    const int street = m.o.slide_outs, curb = m.o.slide_outs_curb;
    if (street + curb > 4) throw_value_error("slide_outs_curb", "no more than four slide-outs in all", std::to_string(street + curb));
    const double low = m.floor + 0.55, last = 0.97 * m.length, bed = m.overhang_floor + 0.15;
    const double behind = m.overhang + 0.35, door = std::max(behind, 0.40 * m.length) + 0.85;
    const int street_bed = street > 1 ? 1 : 0, curb_bed = curb > 1 ? 1 : 0;
    m.add_slides({"street_wall", behind, last, street - street_bed, low, 0.90, "slide_outs", 0.36});
    m.add_slides({"street_wall", 0.30, m.overhang, street_bed, bed, 0.60, "slide_outs"});
    m.add_slides({"curb_wall", door, last, curb - curb_bed, low, 0.60, "slide_outs_curb", 0.36});
    m.add_slides({"curb_wall", 0.30, m.overhang, curb_bed, bed, 0.60, "slide_outs_curb"});
}

void add_street_wall(LayoutMaker& m) {
    const std::string wall = "street_wall";
    const double low = m.floor + 0.30;
    m.add_baggage_door("street", m.overhang + 0.45);
    m.fit({"propane_compartment_street", "propane_compartment", wall, {m.overhang + 1.1, low}, 0.40, 0.40, "propane compartment, street side"},
          "baggage_door_frame", "painted_aluminium");
    m.fit({"water_heater", "water_heater", wall, {0.80 * m.length, low}, 0.40, 0.36, "water heater door"}, "water_heater_frame", "steel");
    m.add_inlets(0.92, 0.86, 0.95);
    m.fit({"refrigerator_vent", "refrigerator_vent", wall, {0.50 * m.length, low}, 0.50, 0.32, "refrigerator lower vent"},
          "refrigerator_vent_frame", "abs");
    m.fit({"range_exhaust", "wall_exhaust", wall, {0.48 * m.length, m.floor + 0.88 * m.o.wall_height}, 0.28, 0.15, "range hood outlet"},
          "wall_exhaust_flange", "abs");
    m.add_side_windows(wall, m.o.windows / 2, true);
    m.add_markers(wall, m.o.marker_lights / 5);
    m.note({"data_label", "data_label", wall, {m.overhang + 0.3, low}, 0.15, 0.10, "data label", "length", 0.6});
}

void add_curb_wall(LayoutMaker& m) {
    const std::string wall = "curb_wall";
    const double low = m.floor + 0.30, door = std::max(m.overhang + 0.5, 0.40 * m.length);
    m.add_entrance_door(wall, door, 0.75);
    m.add_porch_light(door + 0.6);
    m.add_baggage_door("curb", m.overhang + 0.45);
    m.add_furnace_vent();
    m.fit({"battery_vent", "battery_vent", wall, {m.overhang + 1.3, low}, 0.15, 0.12, "vent of the battery box"}, "service_inlet", "abs");
    m.add_awning();
    m.add_side_windows(wall, m.o.windows - m.o.windows / 2 - (m.o.windows > 2 ? 1 : 0), false);
    m.add_markers(wall, m.o.marker_lights / 5);
}

void add_underside(LayoutMaker& m) {
    m.add_underside(true);
    for (const double side : {-1.0, 1.0})
        m.note({std::string("landing_leg_") + (side < 0 ? "street" : "curb"), "jack", "underside", {m.overhang + 0.25, side * 0.7 * m.half}, 0.15,
                0.15, "landing leg", "length", 0.2});
    m.note({"propane_vent", "propane_vent", "underside", {m.overhang + 1.1, -0.75 * m.half}, 0.10, 0.10, "drop-out vent of the propane compartment",
            "length", 0.3});
}

}  // namespace

Coach fifth_wheel(double length, const LayoutOptions& options) {
    LayoutMaker m("fifth_wheel", "fifth_wheel", length, options, true);
    m.add_shell(0.70 * length, 0.80);
    m.add_overhang_seam();
    add_slides(m);
    m.add_roof_fittings(0.55);
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
