// What is let into or screwed onto the walls.

#include <algorithm>
#include <tuple>

#include "coach/layout_maker.hpp"
#include "libseal/core/error.hpp"

namespace libseal::detail {

void LayoutMaker::fit(Wanted wanted, const std::string& type, const std::string& substrate) {
    wanted.v_slack = wanted.argument == "length" ? 0.8 : 0.0;
    build_.round(build_.part(wanted), type, {substrate, o.wall_substrate});
}

void LayoutMaker::note(Wanted wanted) { (void)build_.part_if_room(wanted); }

void LayoutMaker::add_windows(const std::string& wall, int count, bool with_exit) {
    // Above an overhang's floor even there.
    const double v = std::max(floor + 0.62 * o.wall_height, overhang > 0 ? overhang_floor + 0.35 : floor);
    for (int i = 0; i < count; ++i) {
        const bool exit = with_exit && i == 0;
        const std::string number = std::to_string(++windows_);
        const double u = exit ? 0.14 * length : length * (i + 0.7) / (count + 0.4);
        fit({"window_" + number, exit ? "exit_window" : "window", wall, {u, v}, 0.76, 0.56, exit ? "exit window" : "window " + number, "windows"},
            exit ? "exit_window_frame" : "window_frame", "painted_aluminium");
    }
}

void LayoutMaker::add_rear_window() {
    const std::string number = std::to_string(++windows_);
    fit({"window_" + number, "window", "rear_cap", {-0.2 * half, floor + 0.66 * o.wall_height}, 0.90, 0.50, "rear window", "windows"},
        "window_frame", "painted_aluminium");
}

void LayoutMaker::add_entrance_door(const std::string& wall, double u, double width) {
    const double height = std::min(1.80, o.wall_height - 0.16);
    fit({"entrance_door", "entrance_door", wall, {u, floor + (0.06 + height / 2)}, width, height, "entrance door"}, "entrance_door_frame",
        "painted_aluminium");
}

void LayoutMaker::add_baggage_door(const std::string& side, double u) {
    fit({"baggage_door_" + side, "baggage_door", side + "_wall", {u, floor + 0.30}, 0.60, 0.36, "baggage door, " + side + " side"},
        "baggage_door_frame", "painted_aluminium");
}

void LayoutMaker::add_inlets(double power, double water, double cable) {
    const std::string wall = "street_wall";
    const double v = floor + 0.30;
    fit({"power_inlet", "power_inlet", wall, {power * length, v}, 0.13, 0.13, "shore power inlet"}, "service_inlet", "abs");
    fit({"water_inlet", "water_inlet", wall, {water * length, v}, 0.13, 0.13, "water inlet"}, "service_inlet", "abs");
    if (cable > 0) fit({"cable_inlet", "cable_inlet", wall, {cable * length, v}, 0.10, 0.10, "cable inlet"}, "service_inlet", "abs");
}

void LayoutMaker::add_furnace_vent() {
    fit({"furnace_vent", "furnace_vent", "curb_wall", {0.74 * length, floor + 0.30}, 0.22, 0.18, "furnace vent"}, "furnace_vent_flange",
        "steel");
}

void LayoutMaker::add_porch_light(double u) {
    fit({"porch_light", "porch_light", "curb_wall", {u, floor + 0.78 * o.wall_height}, 0.18, 0.12, "porch light"}, "tail_light",
        "polycarbonate");
}

/// Marker lights in a row under the roof edge.
void LayoutMaker::add_markers(const std::string& surface, int count) {
    const Surface on = surface_of(coach_, surface, "");
    for (int i = 0; i < count; ++i) {
        const double u = on.low.u + (on.high.u - on.low.u) * (count == 1 ? 0.5 : 0.03 + 0.94 * i / (count - 1));
        const std::string number = std::to_string(++markers_);
        fit({"marker_light_" + number, "marker_light", surface, {u, top - 0.05}, 0.12, 0.05, "marker light " + number, "marker_lights"},
            "clearance_light", "polycarbonate");
    }
}

void LayoutMaker::add_tail_lights(double width, double height, double from_edge) {
    for (const double side : {-1.0, 1.0}) {
        const std::string name = side < 0 ? "street" : "curb";
        fit({"tail_light_" + name, "tail_light", "rear_cap", {side * (half - from_edge), floor + 0.22}, width, height,
             "tail light, " + name + " side"},
            "tail_light", "polycarbonate");
    }
}

/// What the walls left over of the marker lights and windows.
void LayoutMaker::add_ends() {
    const int ends = o.marker_lights - 2 * (o.marker_lights / 5);
    add_markers("front_cap", ends / 2);
    add_markers("rear_cap", ends - ends / 2);
    if (o.windows > 2) add_rear_window();
    add_tail_lights(0.22, 0.12, 0.22);
}

void LayoutMaker::add_awning(bool arms) {
    if (!o.awning) return;
    const double from = 0.12 * length, to = std::min(0.88 * length, from + 5.2), v = top - 0.07;
    double first = 0, last = 0;
    // Beside what is as high, and not over a slide-out, which would carry it off.
    for (const auto& [free_from, free_to] : build_.free_stretches("curb_wall", slides_on("curb_wall") > 0 ? top - 0.13 : v - 0.03, v + 0.03)) {
        const double a = std::max(from, free_from > 0 ? free_from + 0.05 : 0), b = std::min(to, free_to < length ? free_to - 0.05 : length);
        if (b - a > last - first) std::tie(first, last) = std::pair{a, b};
    }
    if (last - first < 1.2) throw_value_error("awning", "no awning where no stretch of the curb wall is free", "an awning");
    build_.part_at({"awning", "awning", "curb_wall", "", {first, v - 0.02}, {last, v + 0.02}, "awning", ""});
    build_.keep_free("curb_wall", {first, v - 0.03}, {last, v + 0.03});
    build_.joint("awning_rail", "awning_rail", "curb_wall", {{first, v}, {last, v}}, {"mill_aluminium", o.wall_substrate}, 0, "", "awning");
    int number = 0;
    for (const double at : {first + 0.1, last - 0.1}) {
        const double foot = at < overhang ? overhang_floor + 0.12 : floor + 0.08;
        for (const double height : {foot, top - 0.20}) {
            if (!arms && height < top - 0.20) continue;
            const std::string id = "awning_bracket_" + std::to_string(++number);
            fit({id, "awning_bracket", "curb_wall", {at, height}, 0.07, 0.09, "awning bracket " + std::to_string(number), "awning"},
                "awning_bracket", "mill_aluminium");
        }
    }
}

void LayoutMaker::add_long_lines() {
    struct Line {
        bool wanted;
        double share;  ///< of the wall's height
        std::string id, type, substrate;
    };
    const Line lines[] = {{o.wall_mouldings, 0.36, "wall_seam_", "wall_seam_moulding", "mill_aluminium"},
                          {o.graphics, 0.30, "graphics_edge_", "cladding_edge", "pvc"}};
    const double shortest = 0.3;  // [m]
    for (const auto& line : lines)
        for (const std::string side : {"street", "curb"}) {
            if (!line.wanted) continue;
            const double v = floor + line.share * o.wall_height;
            int number = 0;
            for (const auto& [from, to] : build_.free_stretches(side + "_wall", v - 0.02, v + 0.02))
                if (to - from >= shortest)
                    build_.joint(line.id + side + "_" + std::to_string(++number), line.type, side + "_wall", {{from, v}, {to, v}},
                                 {line.substrate, o.wall_substrate});
        }
}

}  // namespace libseal::detail
