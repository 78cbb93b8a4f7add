// Surfaces and edges of the shell, wheels, gutters, underside.

#include <cmath>

#include "coach/layout_maker.hpp"
#include "coach/layout_table.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

// A model year's coaches are built from the middle of the year before: common practice, no source.
Date first_day(const LayoutOptions& o) {
    return o.installed_from != Date{} || o.model_year == 0 ? o.installed_from : make_date(o.model_year - 1, 7, 1);
}
Date last_day(const LayoutOptions& o) {
    if (o.installed_to != Date{}) return o.installed_to;
    return o.installed_from != Date{} || o.model_year == 0 ? o.installed_from : make_date(o.model_year, 12, 31);
}

const LayoutOptions& checked(const std::string& layout, double length, const LayoutOptions& options) {
    check_options(layout, length, options);
    return options;
}

std::string in_words(std::string name) {
    for (char& c : name)
        if (c == '_') c = ' ';
    return name;
}

}  // namespace

LayoutMaker::LayoutMaker(const std::string& layout, const std::string& kind, double length_of_shell,
                         const LayoutOptions& options, bool with_overhang)
    : o(checked(layout, length_of_shell, options)), length(length_of_shell), half(options.width / 2), floor(options.floor_height),
      top(options.floor_height + options.wall_height), overhang(with_overhang ? options.overhang_length : 0),
      overhang_floor(with_overhang ? floor + options.overhang_height : floor),
      build_(coach_, catalogue_, first_day(options), last_day(options)) {
    coach_.id = o.id;
    coach_.kind = kind;
    coach_.label = in_words(layout) + " " + number_text(length, 1) + " m";
    coach_.model_line = o.model_line;
    coach_.model_year = o.model_year;
    coach_.length = length;
    coach_.width = o.width;
    coach_.floor_height = floor;
    coach_.roof_height = top;
}

void LayoutMaker::add_surfaces() {
    const std::string& ws = o.wall_substrate;
    const std::string& wf = o.wall_finish;
    build_.surface("roof", {0, -half}, {length, half}, o.roof_substrate, o.roof_finish);
    build_.surface("front_cap", {-half, overhang_floor}, {half, top}, ws, wf);
    build_.surface("rear_cap", {-half, floor}, {half, top}, ws, wf);
    build_.surface("street_wall", {0, floor}, {length, top}, ws, wf);
    build_.surface("curb_wall", {0, floor}, {length, top}, ws, wf);
    build_.surface("underside", {0, -half}, {length, half}, "pvc", "black_plastic");
    if (o.ladder) keep_free_for_ladder();
    if (overhang <= 0) return;
    for (const char* wall : {"street_wall", "curb_wall"}) {
        build_.outline(wall, {{0, overhang_floor}, {overhang, overhang_floor}, {overhang, floor}, {length, floor}, {length, top}, {0, top}});
        build_.keep_free(wall, {0, floor}, {overhang, overhang_floor});
    }
}

void LayoutMaker::add_shell(double wheels, double half_wheels) {
    add_surfaces();
    add_roof_edges();
    add_ends_of_roof();
    add_roof_seams();
    add_wall_edges(wheels, half_wheels);
}

void LayoutMaker::add_roof_edges() {
    for (const double side : {-1.0, 1.0})
        build_.joint(std::string("roof_edge_") + (side < 0 ? "street" : "curb"), "roof_edge_moulding", "roof",
                     {{0, side * half}, {length, side * half}}, {"mill_aluminium", o.roof_substrate});
}

void LayoutMaker::add_ends_of_roof() {
    const double cap = 0.15;  // [m]
    for (const bool front : {true, false}) {
        const std::string id = front ? "front_cap_to_roof" : "rear_cap_to_roof";
        const double u = front ? cap : length - cap;
        build_.joint(id, id, "roof", {{u, -half}, {u, half}}, {o.wall_substrate, o.roof_substrate});
    }
    build_.keep_free("roof", {0, -half}, {cap + 0.05, half});
    build_.keep_free("roof", {length - cap - 0.05, -half}, {length, half});
}

void LayoutMaker::add_wall_edges(double wheels, double half_wheels) {
    const std::string& ws = o.wall_substrate;
    for (const std::string side : {"street", "curb"}) {
        const std::string wall = side + "_wall";
        for (const bool front : {true, false}) {
            const double u = front ? 0.02 : length - 0.02, low = front ? overhang_floor : floor;
            // Both edges of the rail are sealed: twice the path.
            build_.joint(std::string("corner_") + (front ? "front_" : "rear_") + side, "corner_moulding", wall, {{u, low}, {u, top}},
                         {"mill_aluminium", ws}, 2 * (o.wall_height - (front && overhang > 0 ? o.overhang_height : 0)));
        }
        build_.joint("floor_edge_" + side, "floor_edge_moulding", wall, {{overhang, floor + 0.02}, {length, floor + 0.02}},
                     {"mill_aluminium", ws});
        if (wheels > 0) add_wheels(side, wheels, half_wheels, true);
    }
}

void LayoutMaker::add_wheels(const std::string& side, double middle, double edge, bool trim, const std::string& name) {
    const std::string wall = side + "_wall";
    const double shoulder = edge - 0.25, high = floor + 0.33, clear = std::round((edge + 0.05) * 1e3) / 1e3;
    build_.part_at({name + side, "wheel_opening", wall, "", {middle - edge + 0.10, floor}, {middle + edge - 0.10, high - 0.04},
                    (name == "wheels_" ? "wheels, " : "front wheels, ") + side + " side", ""});
    build_.keep_free(wall, {middle - clear, floor}, {middle + clear, floor + 0.40});
    if (!trim) return;
    build_.joint("wheel_trim_" + side, "wheel_opening_trim", wall,
                 {{middle - edge, floor}, {middle - shoulder, high}, {middle + shoulder, high}, {middle + edge, floor}},
                 {"abs", o.wall_substrate});
}

void LayoutMaker::add_overhang_seam() {
    if (overhang <= 0) return;
    const double in = 0.06, v = half - in, last = overhang - in;
    build_.joint("overhang_seam", "overhang_underside_seam", "underside", {{last, -v}, {in, -v}, {in, v}, {last, v}},
                 {o.wall_substrate, "mill_aluminium"});
}

/// Water leaves the gutters under the roof edges at their ends.
void LayoutMaker::add_gutter_spouts() {
    for (const std::string side : {"street", "curb"})
        for (const bool front : {true, false}) {
            const double u = front ? 0.005 : length - 0.040;
            const std::string end = front ? "front" : "rear";
            build_.part_at({"gutter_spout_" + end + "_" + side, "gutter_spout", side + "_wall", "", {u, top - 0.06}, {u + 0.035, top - 0.02},
                            "gutter spout, " + end + ", " + side + " side", ""});
        }
}

void LayoutMaker::add_drip_rails() {
    if (!o.drip_rails) return;
    for (const std::string side : {"street", "curb"})
        build_.joint("drip_rail_" + side, "drip_rail", side + "_wall", {{0, top - 0.012}, {length, top - 0.012}},
                     {"mill_aluminium", o.wall_substrate});
}

void LayoutMaker::add_underside(bool passes) {
    const double room = length - overhang;
    for (int i = 0; i < 2; ++i) {
        const std::string number = std::to_string(i + 1);
        note({"underbelly_drain_" + number, "underbelly_drain", "underside", {overhang + room * (0.3 + 0.4 * i), 0.4 * half}, 0.06, 0.06,
              "drain of the underbelly " + number, "length", 0.3});
        if (!passes) continue;
        Wanted pass{"underbelly_pass_" + number, "pipe_pass", "underside", {overhang + room * (0.35 + 0.4 * i), -0.3 * half}, 0.10, 0.10,
                    "pipe through the underbelly " + number, "length", 0.5};
        build_.round(build_.part(pass), "underbelly_pass", {"abs", "pvc"});
    }
}

}  // namespace libseal::detail
