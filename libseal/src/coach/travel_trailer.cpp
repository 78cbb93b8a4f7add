#include "coach/layout_maker.hpp"

namespace libseal {
namespace {

using detail::LayoutMaker;

void add_street_wall(LayoutMaker& m) {
    const std::string wall = "street_wall";
    const double low = m.floor + 0.30;
    m.add_side_windows(wall, m.o.windows / 2, true);
    m.add_baggage_door("street", 0.45);
    m.fit({"water_heater", "water_heater", wall, {0.74 * m.length, low}, 0.40, 0.36, "water heater door"}, "water_heater_frame", "steel");
    m.add_inlets(0.90, 0.84, 0.95);
    m.fit({"refrigerator_vent", "refrigerator_vent", wall, {0.22 * m.length, low}, 0.50, 0.32, "refrigerator lower vent"},
          "refrigerator_vent_frame", "abs");
    m.fit({"range_exhaust", "wall_exhaust", wall, {0.26 * m.length, m.floor + 0.88 * m.o.wall_height}, 0.28, 0.15, "range hood outlet"},
          "wall_exhaust_flange", "abs");
    m.add_markers(wall, m.o.marker_lights / 5);
}

void add_curb_wall(LayoutMaker& m) {
    m.add_entrance_door("curb_wall", 0.40 * m.length, 0.70);
    m.add_baggage_door("curb", 0.45);
    m.add_furnace_vent();
    m.add_porch_light(0.40 * m.length + 0.6);
    m.add_awning();
    m.add_side_windows("curb_wall", m.o.windows - m.o.windows / 2 - (m.o.windows > 2 ? 1 : 0), false);
    m.add_markers("curb_wall", m.o.marker_lights / 5);
}

}  // namespace

Coach travel_trailer(double length, const LayoutOptions& options) {
    LayoutMaker m("travel_trailer", "travel_trailer", length, options);
    m.add_shell(0.58 * length, 0.80);
    // Above the wheels, and behind the door.
    m.add_slides({"street_wall", 0.30 * length, 0.97 * length, options.slide_outs, m.floor + 0.55, 0.85, "slide_outs"});
    m.add_slides({"curb_wall", 0.40 * length + 0.6, 0.97 * length, options.slide_outs_curb, m.floor + 0.55, 0.60, "slide_outs_curb"});
    m.add_roof_fittings(0.5);
    add_street_wall(m);
    add_curb_wall(m);
    m.add_ends();
    m.add_drip_rails();
    m.add_gutter_spouts();
    m.add_long_lines();
    m.add_underside(false);
    return m.take();
}

}  // namespace libseal
