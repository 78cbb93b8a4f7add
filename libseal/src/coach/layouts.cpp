#include "libseal/coach/layouts.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "coach/coach_builder.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"

namespace libseal {
namespace {

using detail::CoachBuilder;

/// Measures of the shell, for all the pieces below. Sizes and places of parts are common practice, no source.
struct Shell {
    double length, half, low, high;  ///< [m]
    const TravelTrailerOptions& options;
};

std::string numbered(const char* name, int i) { return std::string(name) + "_" + std::to_string(i + 1); }

void check_counts(const TravelTrailerOptions& o) {
    const auto check = [](int value, int highest, const char* name) {
        require_between(value, 0, highest, name);
    };
    require_between(o.width, 1.8, 2.6, "width");
    require_between(o.floor_height, 0.2, 1.2, "floor_height");
    require_between(o.wall_height, 1.5, 2.6, "wall_height");
    check(o.roof_vents, 6, "roof_vents");
    check(o.windows, 12, "windows");
    check(o.slide_outs, 2, "slide_outs");
    check(o.marker_lights, 20, "marker_lights");
}

void add_shell(CoachBuilder& build, const Shell& s) {
    const auto& o = s.options;
    build.surface("roof", "", {0, -s.half}, {s.length, s.half}, o.roof_substrate, o.roof_finish);
    for (const char* cap : {"front_cap", "rear_cap"})
        build.surface(cap, "", {-s.half, s.low}, {s.half, s.high}, o.wall_substrate, o.wall_finish);
    for (const char* wall : {"street_wall", "curb_wall"})
        build.surface(wall, "", {0, s.low}, {s.length, s.high}, o.wall_substrate, o.wall_finish);
    build.surface("underside", "", {0, -s.half}, {s.length, s.half}, "plywood", "black_plastic");

    build.seam("roof_edge_street", "roof_edge_moulding", "roof", "", {{0, -s.half}, {s.length, -s.half}}, "painted_aluminium");
    build.seam("roof_edge_curb", "roof_edge_moulding", "roof", "", {{0, s.half}, {s.length, s.half}}, "painted_aluminium");
    build.seam("front_cap_to_roof", "front_cap_to_roof", "roof", "", {{0, -s.half}, {0, s.half}}, "gelcoat_laminate");
    build.seam("rear_cap_to_roof", "rear_cap_to_roof", "roof", "", {{s.length, -s.half}, {s.length, s.half}}, "gelcoat_laminate");
    for (const char* side : {"street", "curb"}) {
        const std::string wall = std::string(side) + "_wall";
        build.seam(std::string("corner_front_") + side, "corner_moulding", wall, "", {{0, s.low}, {0, s.high}}, "painted_aluminium");
        build.seam(std::string("corner_rear_") + side, "corner_moulding", wall, "",
                   {{s.length, s.low}, {s.length, s.high}}, "painted_aluminium");
        build.seam(std::string("floor_edge_") + side, "floor_edge_moulding", wall, "",
                   {{0, s.low}, {s.length, s.low}}, "painted_aluminium");
        const double axle = 0.55 * s.length;
        build.seam(std::string("wheel_trim_") + side, "wheel_opening_trim", wall, "",
                   {{axle - 0.9, s.low}, {axle - 0.7, s.low + 0.35}, {axle + 0.7, s.low + 0.35}, {axle + 0.9, s.low}}, "abs");
    }
    build.seam("underbelly_pass", "underbelly_pass", "underside", "", {{0.4 * s.length, 0}, {0.4 * s.length + 0.4, 0}}, "abs");
}

void add_roof_parts(CoachBuilder& build, const Shell& s) {
    const auto& o = s.options;
    const double side = std::min(0.45, s.half - 0.45);  // fittings stand beside the centreline
    for (int i = 0; i < o.roof_vents; ++i)
        build.framed(numbered("roof_vent", i), "roof_vent", "roof_vent_flange", "roof",
                     {s.length * (i + 1) / (o.roof_vents + 1), 0}, 0.457, 0.457, "abs", "roof vent " + std::to_string(i + 1));
    if (o.skylight)
        build.framed("skylight", "skylight", "skylight_flange", "roof", {0.86 * s.length, side}, 0.76, 0.61, "acrylic", "skylight");
    if (o.air_conditioner)
        build.framed("air_conditioner", "air_conditioner", "air_conditioner_gasket", "roof", {0.42 * s.length, 0}, 0.356,
                     0.356, "steel", "roof air conditioner");
    for (int i = 0; i < 2; ++i)
        build.framed(numbered("plumbing_vent", i), "plumbing_vent", "plumbing_vent_flange", "roof",
                     {s.length * (i == 0 ? 0.62 : 0.94), -side}, 0.15, 0.15, "abs", "plumbing vent " + std::to_string(i + 1));
    build.framed("refrigerator_roof_vent", "roof_exhaust", "roof_exhaust_base", "roof", {0.52 * s.length, -side}, 0.61, 0.30,
                 "abs", "refrigerator roof vent");
    build.framed("antenna", "antenna", "antenna_base", "roof", {0.20 * s.length, side}, 0.30, 0.25, "abs", "antenna");
    if (!o.ladder) return;
    for (int i = 0; i < 2; ++i) {
        const double across = i == 0 ? 0.2 : 0.6;
        build.framed(numbered("ladder_roof_foot", i), "ladder_foot", "ladder_roof_foot", "roof", {s.length - 0.15, across},
                     0.08, 0.045, "mill_aluminium", "ladder roof foot " + std::to_string(i + 1));
        build.framed(numbered("ladder_wall_foot", i), "ladder_foot", "wall_bracket_foot", "rear_cap",
                     {across, s.low + 0.5}, 0.08, 0.045, "mill_aluminium", "ladder wall foot " + std::to_string(i + 1));
    }
}

void add_wall_parts(CoachBuilder& build, const Shell& s) {
    const auto& o = s.options;
    const double height = s.high - s.low, sill = s.low + 0.62 * height;
    // Windows take turns between the walls; the street wall keeps clear of slide-outs, the curb wall of the door.
    for (int i = 0; i < o.windows; ++i) {
        const bool curb = i % 2 == 0;
        const int on_side = i / 2, of_side = (o.windows + (curb ? 1 : 0)) / 2;
        const double from = curb ? 0.10 : 0.70, to = curb ? 0.62 : 0.96;
        const double u = s.length * (from + (to - from) * (on_side + 0.5) / of_side);
        const double room = s.length * (to - from) / of_side - 0.1;
        const bool exit = i == 0;
        build.framed(numbered("window", i), "window", exit ? "exit_window_frame" : "window_frame",
                     curb ? "curb_wall" : "street_wall", {u, sill}, std::min(0.76, room), 0.56, "glass",
                     exit ? "emergency-exit window" : "window " + std::to_string(i + 1));
    }
    build.framed("entrance_door", "door", "entrance_door_frame", "curb_wall", {0.72 * s.length, s.low + 0.5 * height}, 0.66,
                 std::min(1.85, height - 0.1), "painted_aluminium", "entrance door");
    for (int i = 0; i < 2; ++i)
        build.framed(numbered("baggage_door", i), "baggage_door", "baggage_door_frame", i == 0 ? "curb_wall" : "street_wall",
                     {0.06 * s.length + 0.3, s.low + 0.30}, 0.70, 0.40, "painted_aluminium", "baggage door " + std::to_string(i + 1));
    build.framed("furnace_vent", "furnace_vent", "furnace_vent_flange", "curb_wall", {0.85 * s.length, s.low + 0.25}, 0.30, 0.20,
                 "steel", "furnace vent");
    build.framed("water_heater", "water_heater", "water_heater_frame", "street_wall", {0.90 * s.length, s.low + 0.30}, 0.40,
                 0.40, "steel", "water heater");
    build.framed("refrigerator_vent", "refrigerator_vent", "refrigerator_vent_frame", "curb_wall",
                 {0.92 * s.length, s.low + 0.60}, 0.50, 0.30, "abs", "refrigerator lower vent");
    build.framed("range_vent", "wall_exhaust", "wall_exhaust_flange", "curb_wall", {0.66 * s.length - 0.35, s.high - 0.30},
                 0.25, 0.15, "abs", "range exhaust");
    const char* inlets[] = {"power inlet", "water inlet", "cable inlet"};
    for (int i = 0; i < 3; ++i)
        build.framed(numbered("inlet", i), "inlet", "service_inlet", "street_wall",
                     {s.length - 0.30 - 0.25 * i, s.low + 0.75}, 0.13, 0.13, "abs", inlets[i]);
    if (!o.awning) return;
    const double from = 0.25 * s.length, to = 0.80 * s.length;
    build.seam("awning_rail", "awning_rail", "curb_wall", "", {{from, s.high - 0.06}, {to, s.high - 0.06}}, "painted_aluminium");
    for (int i = 0; i < 4; ++i)
        build.framed(numbered("awning_bracket", i), "awning_bracket", "awning_bracket", "curb_wall",
                     {i < 2 ? from : to, i % 2 == 0 ? s.high - 0.18 : s.low + 0.12}, 0.08, 0.10, "painted_aluminium",
                     "awning bracket " + std::to_string(i + 1));
}

void add_lights(CoachBuilder& build, const Shell& s) {
    const int count = s.options.marker_lights;
    const int front = (count + 1) / 2;
    for (int i = 0; i < count; ++i) {
        const bool at_front = i < front;
        const int k = at_front ? i : i - front, of = at_front ? front : count - front;
        const double across = of == 1 ? 0 : -s.half + 0.12 + (2 * s.half - 0.24) * k / (of - 1);
        build.framed(numbered("marker_light", i), "light", "clearance_light", at_front ? "front_cap" : "rear_cap",
                     {across, s.high - 0.10}, 0.10, 0.04, "polycarbonate", "marker light " + std::to_string(i + 1));
    }
    for (int i = 0; i < 2; ++i)
        build.framed(numbered("tail_light", i), "light", "tail_light", "rear_cap",
                     {(i == 0 ? -1 : 1) * (s.half - 0.25), s.low + 0.25}, 0.20, 0.12, "polycarbonate",
                     "tail light " + std::to_string(i + 1));
}

void add_slide_outs(CoachBuilder& build, const Shell& s) {
    const auto& o = s.options;
    const double room = 0.58 * s.length / std::max(1, o.slide_outs);
    const double width = std::min(3.7, room - 0.4), depth = 0.9;
    const double low = s.low + 0.15, high = s.high - 0.2;
    for (int i = 0; i < o.slide_outs; ++i) {
        const std::string id = numbered("slide", i);
        const double from = 0.10 * s.length + room * i + 0.1, to = from + width;
        build.part(id, "slide_out", "street_wall", "", {from, low}, {to, high}, "slide-out " + std::to_string(i + 1));
        build.surface("slide_roof", id, {from, -s.half - depth}, {to, -s.half}, o.roof_substrate, o.roof_finish);
        build.surface("slide_face", id, {from, low}, {to, high}, o.wall_substrate, o.wall_finish);
        for (const char* side : {"slide_front_side", "slide_rear_side"})
            build.surface(side, id, {0, low}, {depth, high}, o.wall_substrate, o.wall_finish);
        build.surface("slide_floor", id, {from, -s.half - depth}, {to, -s.half}, "plywood", "black_plastic");

        const std::vector<Point> opening{{from, low}, {from, high}, {to, high}, {to, low}};
        build.seam(id + "_opening", "slide_opening_flange", "street_wall", "", opening, "painted_aluminium", id);
        build.seam(id + "_bulb_seal", "slide_bulb_seal", "slide_face", id,
                   {{from, low}, {from, high}, {to, high}, {to, low}, {from, low}}, "", id);
        build.seam(id + "_wiper_seal", "slide_wiper_seal", "slide_face", id, opening, "", id);
        build.seam(id + "_roof_seam", "slide_roof_seam", "slide_roof", id,
                   {{from, -s.half}, {from, -s.half - depth}, {to, -s.half - depth}, {to, -s.half}}, "painted_aluminium", id);
        build.seam(id + "_corner_front", "slide_corner_moulding", "slide_face", id, {{from, low}, {from, high}}, "painted_aluminium", id);
        build.seam(id + "_corner_rear", "slide_corner_moulding", "slide_face", id, {{to, low}, {to, high}}, "painted_aluminium", id);
        build.seam(id + "_floor_edge", "slide_floor_edge", "slide_floor", id,
                   {{from, -s.half}, {from, -s.half - depth}, {to, -s.half - depth}, {to, -s.half}}, "painted_aluminium", id);
        build.seam(id + "_awning_rail", "slide_awning_rail", "street_wall", "", {{from, high + 0.08}, {to, high + 0.08}},
                   "painted_aluminium", id);
    }
}

}  // namespace

namespace {

/// When the layers were fitted: as given, else the twelve months in which a model year is built (common practice).
std::pair<Date, Date> installed_interval(const TravelTrailerOptions& o) {
    if (o.installed_from == Date{} && o.installed_to == Date{}) {
        if (o.model_year == 0)
            throw_value_error("installed_from", "a date, or a model_year", "neither", "give model_year = 2021, for example");
        require_between(o.model_year, 1950, 2200, "model_year");
        return {make_date(o.model_year - 1, 7, 1), make_date(o.model_year, 6, 30)};
    }
    const Date to = o.installed_to == Date{} ? o.installed_from : o.installed_to;
    if (to < o.installed_from) throw_value_error("installed_to", "a date not before installed_from", to_text(to));
    return {o.installed_from, to};
}

}  // namespace

Coach travel_trailer(double length, const TravelTrailerOptions& options) {
    require_between(length, 4, 12, "length");
    check_counts(options);
    const auto [from, to] = installed_interval(options);
    const Catalogue catalogue = Catalogue::built_in();
    Coach coach;
    coach.id = options.id;
    coach.kind = "travel_trailer";
    coach.label = "travel trailer";
    coach.model_line = options.model_line;
    coach.model_year = options.model_year;
    coach.length = length;
    coach.width = options.width;
    coach.floor_height = options.floor_height;
    coach.roof_height = options.floor_height + options.wall_height;
    const Shell shell{length, options.width / 2, coach.floor_height, coach.roof_height, options};
    CoachBuilder build(coach, catalogue, from, to);
    add_shell(build, shell);
    add_roof_parts(build, shell);
    add_wall_parts(build, shell);
    add_lights(build, shell);
    add_slide_outs(build, shell);
    check_coach(coach, catalogue);
    return coach;
}

}  // namespace libseal
