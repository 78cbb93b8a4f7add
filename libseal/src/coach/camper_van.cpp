#include <algorithm>
#include <tuple>

#include "coach/layout_maker.hpp"

namespace libseal {
namespace {

using detail::LayoutMaker;

/// Roof and sides of the body meet in two seams along the roof. Doors close on seals that no bead may touch.
void add_body(LayoutMaker& m) {
    const std::string &roof = m.o.roof_substrate, &wall = m.o.wall_substrate;
    for (const double side : {-1.0, 1.0}) {
        const double v = side * (m.half - 0.08);
        m.build().keep_free("roof", {0, v - 0.015}, {m.length, v + 0.015});
        m.build().joint(std::string("roof_seam_") + (side < 0 ? "street" : "curb"), "metal_roof_seam", "roof",
                        {{0.05, v}, {m.length - 0.05, v}}, {roof, wall});
    }
    for (const std::string side : {"street", "curb"}) m.add_wheels(side, std::max(0.70 * m.length, 3.0), 0.43, false);
    const double height = std::min(0.85, 0.42 * m.o.wall_height);
    m.fit({"windshield", "windshield", "front_cap", {0, m.floor + 0.62 * m.o.wall_height}, 2 * m.half - 0.25, height, "windshield"},
          "windshield_joint", "glass");
    const double door = m.o.wall_height - 0.42, middle = m.floor + 0.10 + door / 2;
    for (const std::string side : {"street", "curb"})
        m.build().part({"cab_door_" + side, "cab_door", side + "_wall", {0.60, middle}, 1.0, door, "cab door, " + side + " side"});
    m.build().part({"sliding_door", "sliding_door", "curb_wall", {1.90, middle}, 1.25, door, "sliding door"});
    m.build().part({"rear_doors", "rear_door", "rear_cap", {0, middle}, 2 * m.half - 0.55, door, "rear doors"});
    if (!m.o.drip_rails) return;
    for (const auto& [id, from, to, side] : {std::tuple{"drip_rail_street", 0.10, 1.10, "street_wall"},
                                             std::tuple{"drip_rail_curb", 0.10, 2.60, "curb_wall"}})
        m.build().joint(id, "drip_rail", side, {{from, m.top - 0.012}, {to, m.top - 0.012}}, {"mill_aluminium", wall}).screw_spacing = 0;
}

void add_walls(LayoutMaker& m) {
    const double low = m.floor + 0.30;
    m.add_inlets(0.90, 0.84, 0);
    m.fit({"furnace_vent", "furnace_vent", "street_wall", {0.50 * m.length, low}, 0.15, 0.15, "heater exhaust and intake"},
          "furnace_vent_flange", "steel");
    m.fit({"refrigerator_vent", "refrigerator_vent", "street_wall", {0.40 * m.length, low}, 0.40, 0.25, "refrigerator vent"},
          "refrigerator_vent_frame", "abs");
    m.add_awning(false);
    m.add_windows("street_wall", m.o.windows / 2, false);
    m.add_windows("curb_wall", m.o.windows - m.o.windows / 2, false);
    m.add_markers("front_cap", m.o.marker_lights / 2);
    m.add_markers("rear_cap", m.o.marker_lights - m.o.marker_lights / 2);
    m.add_tail_lights(0.10, 0.30, 0.13);
    m.note({"data_label", "data_label", "street_wall", {0.55 * m.length, low}, 0.15, 0.10, "data label", "length", 0.6});
}

}  // namespace

Coach camper_van(double length, const LayoutOptions& options) {
    LayoutMaker m("camper_van", "van", length, options);
    m.add_surfaces();
    add_body(m);
    m.add_roof_extras();
    m.add_roof_vents();
    m.add_air_conditioner(0.5);
    m.add_skylight();
    m.add_ladder();
    add_walls(m);
    m.add_gutter_spouts();
    m.add_long_lines();
    m.add_underside(true);
    return m.take();
}

}  // namespace libseal
