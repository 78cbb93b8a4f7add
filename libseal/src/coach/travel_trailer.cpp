#include <algorithm>
#include <cmath>
#include <numbers>

#include "coach/builder.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

using detail::CoachBuilder;

void require_count(int value, int low, int high, const char* name) {
    if (value < low || value > high)
        throw_value_error(name, std::to_string(low) + " to " + std::to_string(high), std::to_string(value));
}

/// All sizes below are common practice, no source; the same as in the catalogue's joint types where these have them.
class Trailer {
public:
    Trailer(double length, const TravelTrailerOptions& options)
        : o_(options), length_(length), half_(options.width / 2), floor_(options.floor_height),
          top_(options.floor_height + options.wall_height), build_(coach_, catalogue_, from(options), to(options)) {
        coach_.id = o_.id;
        coach_.kind = "travel_trailer";
        coach_.label = "travel trailer " + number_text(length, 1) + " m";
        coach_.model_line = o_.model_line;
        coach_.model_year = o_.model_year;
        coach_.length = length;
        coach_.width = o_.width;
        coach_.floor_height = floor_;
        coach_.roof_height = top_;
    }

    Coach make() {
        add_shell();
        add_slides();
        add_roof();
        add_street_wall();
        add_curb_wall();
        add_caps();
        return std::move(coach_);
    }

private:
    // A model year's coaches are built from the middle of the year before: common practice, no source.
    static Date from(const TravelTrailerOptions& o) {
        return o.installed_from != Date{} || o.model_year == 0 ? o.installed_from : make_date(o.model_year - 1, 7, 1);
    }
    static Date to(const TravelTrailerOptions& o) {
        if (o.installed_to != Date{}) return o.installed_to;
        return o.installed_from != Date{} || o.model_year == 0 ? o.installed_from : make_date(o.model_year, 12, 31);
    }

    void add_shell() {
        const std::string& ws = o_.wall_substrate;
        const std::string& wf = o_.wall_finish;
        build_.surface("roof", {0, -half_}, {length_, half_}, o_.roof_substrate, o_.roof_finish);
        build_.surface("front_cap", {-half_, floor_}, {half_, top_}, ws, wf);
        build_.surface("rear_cap", {-half_, floor_}, {half_, top_}, ws, wf);
        build_.surface("street_wall", {0, floor_}, {length_, top_}, ws, wf);
        build_.surface("curb_wall", {0, floor_}, {length_, top_}, ws, wf);
        build_.surface("underside", {0, -half_}, {length_, half_}, "pvc", "black_plastic");

        const double cap = 0.15;  // where the roof sheet meets the moulded ends [m]
        for (const double side : {-1.0, 1.0}) {
            const std::string name = side < 0 ? "street" : "curb";
            build_.joint("roof_edge_" + name, "roof_edge_moulding", "roof", {{0, side * half_}, {length_, side * half_}},
                         {"mill_aluminium", o_.roof_substrate});
        }
        build_.joint("front_cap_to_roof", "front_cap_to_roof", "roof", {{cap, -half_}, {cap, half_}}, {ws, o_.roof_substrate});
        build_.joint("rear_cap_to_roof", "rear_cap_to_roof", "roof", {{length_ - cap, -half_}, {length_ - cap, half_}},
                     {ws, o_.roof_substrate});
        build_.keep_free("roof", {0, -half_}, {cap + 0.05, half_});
        build_.keep_free("roof", {length_ - cap - 0.05, -half_}, {length_, half_});
        for (const char* wall : {"street", "curb"}) {
            const std::string surface = std::string(wall) + "_wall";
            for (const bool front : {true, false}) {
                const double u = front ? 0.02 : length_ - 0.02;
                // Both edges of the rail are sealed: twice the path.
                build_.joint(std::string("corner_") + (front ? "front_" : "rear_") + wall, "corner_moulding", surface,
                             {{u, floor_}, {u, top_}}, {"mill_aluminium", ws}, 2 * o_.wall_height);
            }
            build_.joint("floor_edge_" + std::string(wall), "floor_edge_moulding", surface,
                         {{0, floor_ + 0.02}, {length_, floor_ + 0.02}}, {"mill_aluminium", ws});
            const double middle = 0.58 * length_;
            build_.keep_free(surface, {middle - 0.85, floor_}, {middle + 0.85, floor_ + 0.40});
            build_.joint("wheel_trim_" + std::string(wall), "wheel_opening_trim", surface,
                         {{middle - 0.80, floor_}, {middle - 0.55, floor_ + 0.33}, {middle + 0.55, floor_ + 0.33}, {middle + 0.80, floor_}},
                         {"abs", ws});
        }
    }

    void add_roof() {
        const double along = length_;
        for (int i = 0; i < o_.roof_vents; ++i) {
            const double u = along * (0.14 + 0.72 * (i + 0.5) / o_.roof_vents);
            const Part part = build_.part({"roof_vent_" + std::to_string(i + 1), "roof_vent", "roof", {u, 0}, 0.457, 0.457,
                                           "roof vent " + std::to_string(i + 1), "roof_vents", 0.5, ""});
            build_.round(part, "roof_vent_flange", {"abs", o_.roof_substrate});
        }
        if (o_.air_conditioner) {
            const Part part = build_.part({"air_conditioner", "air_conditioner", "roof", {along * 0.5, 0}, 0.70, 0.70,
                                           "roof air conditioner", "air_conditioner", 0, ""});
            // The gasket lies round the opening of 356 mm, not round the housing.
            const Point m{(part.low.u + part.high.u) / 2, 0};
            const double h = 0.178;
            build_.joint("air_conditioner_gasket", "air_conditioner_gasket", "roof",
                         {{m.u - h, -h}, {m.u + h, -h}, {m.u + h, h}, {m.u - h, h}, {m.u - h, -h}},
                         {"painted_aluminium", o_.roof_substrate}, 0, "", part.id);
        }
        if (o_.skylight)
            build_.round(build_.part({"skylight", "skylight", "roof", {along * 0.66, 0.45}, 0.76, 0.61, "skylight", "skylight", 0.3, ""}),
                         "skylight_flange", {"acrylic", o_.roof_substrate});
        for (int i = 0; i < 2; ++i) add_pipe_vent(i);
        build_.round(build_.part({"refrigerator_roof_vent", "refrigerator_roof_vent", "roof", {along * 0.40, -half_ + 0.35}, 0.61,
                                  0.30, "refrigerator roof vent", "length", 0.3, ""}),
                     "roof_exhaust_base", {"abs", o_.roof_substrate});
        build_.round(build_.part({"antenna", "antenna", "roof", {along * 0.25, 0.70 * half_}, 0.30, 0.25, "antenna", "length", 0.3, ""}),
                     "antenna_base", {"abs", o_.roof_substrate});
        if (o_.ladder) add_ladder();
    }

    void add_pipe_vent(int index) {
        const double diameter = 0.15;
        const Point wanted{length_ * (index == 0 ? 0.62 : 0.46), index == 0 ? -0.5 * half_ : 0.72 * half_};
        const std::string number = std::to_string(index + 1);
        const Part part = build_.part({"plumbing_vent_" + number, "plumbing_vent", "roof", wanted, diameter, diameter,
                                       "plumbing vent " + number, "length", 0.3, ""});
        const Point middle{(part.low.u + part.high.u) / 2, (part.low.v + part.high.v) / 2};
        std::vector<Point> ring;
        for (int k = 0; k <= 24; ++k) {
            const double angle = 2 * std::numbers::pi * k / 24;
            ring.push_back({middle.u + diameter / 2 * std::cos(angle), middle.v + diameter / 2 * std::sin(angle)});
        }
        build_.joint(part.id, "plumbing_vent_flange", "roof", std::move(ring), {"abs", o_.roof_substrate},
                     std::numbers::pi * diameter, "", part.id);
    }

    void add_ladder() {
        const double across[2] = {half_ - 0.75, half_ - 0.35};
        for (int i = 0; i < 2; ++i) {
            const std::string number = std::to_string(i + 1);
            const Point low{length_ - 0.33, across[i] - 0.03};
            coach_.parts.push_back({"ladder_roof_foot_" + number, "ladder_foot", "roof", "", low, {low.u + 0.065, low.v + 0.06},
                                    "ladder foot on the roof " + number, ""});
            build_.keep_free("roof", low, {low.u + 0.065, low.v + 0.06});
            build_.round(coach_.parts.back(), "ladder_roof_foot", {"mill_aluminium", o_.roof_substrate});
            coach_.parts.push_back({"ladder_wall_foot_" + number, "ladder_foot", "rear_cap", "", {across[i] - 0.03, floor_ + 0.5},
                                    {across[i] + 0.03, floor_ + 0.595}, "ladder foot on the rear " + number, ""});
            build_.keep_free("rear_cap", {across[i] - 0.03, floor_ + 0.4}, {across[i] + 0.03, top_});
            build_.round(coach_.parts.back(), "wall_bracket_foot", {"mill_aluminium", o_.wall_substrate});
        }
    }

    void wall_part(const std::string& id, const std::string& kind, const std::string& wall, double u, double v_middle,
                   double width, double height, const std::string& label, const std::string& type,
                   const std::string& substrate, const std::string& argument = "length") {
        // Only things that no option counts may leave their usual height.
        const double v_slack = argument == "length" ? 0.8 : 0.0;
        build_.round(build_.part({id, kind, wall, {u, v_middle}, width, height, label, argument, v_slack, ""}), type,
                     {substrate, o_.wall_substrate});
    }

    void add_windows(const std::string& wall, int first, int count, bool with_exit) {
        for (int i = 0; i < count; ++i) {
            const bool exit = with_exit && i == 0;
            const std::string id = "window_" + std::to_string(first + i);
            const double u = exit ? 0.14 * length_ : length_ * (i + 0.7) / (count + 0.4);
            wall_part(id, exit ? "exit_window" : "window", wall, u, floor_ + 0.62 * o_.wall_height, 0.76, 0.56,
                      exit ? "exit window" : "window " + std::to_string(first + i),
                      exit ? "exit_window_frame" : "window_frame", "painted_aluminium", "windows");
        }
    }

    /// A slide-out takes the place of a window, so it carries one.
    void add_slide_window(int number) {
        const std::string id = "slide_" + std::to_string(number);
        const Surface face = surface_of(coach_, "slide_face", id);
        const std::string name = "window_" + std::to_string(number);
        const Point middle{(face.low.u + face.high.u) / 2, floor_ + 0.62 * o_.wall_height};
        build_.round(build_.part({name, "window", "slide_face", middle, 0.76, 0.56, "window " + std::to_string(number), "windows",
                                  0.2, id}),
                     "window_frame", {"painted_aluminium", o_.wall_substrate});
    }

    void add_street_wall() {
        const std::string wall = "street_wall";
        const double low = floor_ + 0.30;
        const int here = o_.windows / 2, on_slides = std::min(o_.slide_outs, here);
        for (int i = 1; i <= on_slides; ++i) add_slide_window(i);
        add_windows(wall, on_slides + 1, here - on_slides, true);
        wall_part("baggage_door_street", "baggage_door", wall, 0.45, low, 0.60, 0.36, "baggage door, street side",
                  "baggage_door_frame", "painted_aluminium");
        wall_part("water_heater", "water_heater", wall, 0.74 * length_, low, 0.40, 0.36, "water heater door", "water_heater_frame",
                  "steel");
        wall_part("power_inlet", "power_inlet", wall, 0.90 * length_, low, 0.13, 0.13, "shore power inlet", "service_inlet", "abs");
        wall_part("water_inlet", "water_inlet", wall, 0.84 * length_, low, 0.13, 0.13, "water inlet", "service_inlet", "abs");
        wall_part("cable_inlet", "cable_inlet", wall, 0.95 * length_, low, 0.10, 0.10, "cable inlet", "service_inlet", "abs");
        wall_part("refrigerator_vent", "refrigerator_vent", wall, 0.22 * length_, low, 0.50, 0.32, "refrigerator lower vent",
                  "refrigerator_vent_frame", "abs");
        wall_part("range_exhaust", "wall_exhaust", wall, 0.26 * length_, floor_ + 0.88 * o_.wall_height, 0.28, 0.15,
                  "range hood outlet", "wall_exhaust_flange", "abs");
        add_markers(wall, o_.marker_lights / 5);
    }

    void add_curb_wall() {
        const std::string wall = "curb_wall";
        const double low = floor_ + 0.30;
        wall_part("entrance_door", "entrance_door", wall, 0.40 * length_, floor_ + 0.96, 0.70, 1.80, "entrance door",
                  "entrance_door_frame", "painted_aluminium");
        wall_part("baggage_door_curb", "baggage_door", wall, 0.45, low, 0.60, 0.36, "baggage door, curb side", "baggage_door_frame",
                  "painted_aluminium");
        wall_part("furnace_vent", "furnace_vent", wall, 0.74 * length_, low, 0.22, 0.18, "furnace vent", "furnace_vent_flange", "steel");
        wall_part("porch_light", "porch_light", wall, 0.40 * length_ + 0.6, floor_ + 0.78 * o_.wall_height, 0.18, 0.12, "porch light",
                  "tail_light", "polycarbonate");
        if (o_.awning) add_awning();
        add_windows(wall, o_.windows / 2 + 1, o_.windows - o_.windows / 2 - (o_.windows > 2 ? 1 : 0), false);
        add_markers(wall, o_.marker_lights / 5);
    }

    void add_awning() {
        const double first = 0.12 * length_, last = std::min(0.88 * length_, first + 5.2), v = top_ - 0.07;
        coach_.parts.push_back({"awning", "awning", "curb_wall", "", {first, v - 0.02}, {last, v + 0.02}, "awning", ""});
        build_.keep_free("curb_wall", {first, v - 0.03}, {last, v + 0.03});
        build_.joint("awning_rail", "awning_rail", "curb_wall", {{first, v}, {last, v}}, {"mill_aluminium", o_.wall_substrate}, 0, "",
                     "awning");
        int number = 0;
        for (const double at : {first + 0.1, last - 0.1})
            for (const double height : {floor_ + 0.08, top_ - 0.20}) {
                const std::string id = "awning_bracket_" + std::to_string(++number);
                wall_part(id, "awning_bracket", "curb_wall", at, height, 0.07, 0.09, "awning bracket " + std::to_string(number),
                          "awning_bracket", "mill_aluminium", "awning");
            }
    }

    /// Marker lights in a row under the roof edge.
    void add_markers(const std::string& surface, int count) {
        const Surface on = surface_of(coach_, surface, "");
        for (int i = 0; i < count; ++i) {
            const double u = on.low.u + (on.high.u - on.low.u) * (count == 1 ? 0.5 : 0.03 + 0.94 * i / (count - 1));
            const std::string id = "marker_light_" + std::to_string(++markers_);
            wall_part(id, "marker_light", surface, u, top_ - 0.05, 0.12, 0.05, "marker light " + std::to_string(markers_),
                      "clearance_light", "polycarbonate", "marker_lights");
        }
    }

    void add_caps() {
        const int walls = 2 * (o_.marker_lights / 5), ends = o_.marker_lights - walls;
        add_markers("front_cap", ends / 2);
        add_markers("rear_cap", ends - ends / 2);
        if (o_.windows > 2)
            wall_part("window_" + std::to_string(o_.windows), "window", "rear_cap", -0.2 * half_, floor_ + 0.66 * o_.wall_height, 0.90, 0.50,
                      "rear window", "window_frame", "painted_aluminium", "windows");
        for (const double side : {-1.0, 1.0}) {
            const std::string name = side < 0 ? "street" : "curb";
            wall_part("tail_light_" + name, "tail_light", "rear_cap", side * (half_ - 0.22), floor_ + 0.22, 0.22, 0.12,
                      "tail light, " + name + " side", "tail_light", "polycarbonate");
        }
    }

    void add_slides() {
        double from = 0.30 * length_;
        for (int i = 0; i < o_.slide_outs; ++i) {
            const double room = (0.97 * length_ - from) / (o_.slide_outs - i) - 0.15;
            const double width = std::min({3.7, 0.42 * length_, room});
            if (width < 1.0) throw_value_error("slide_outs", "no more than fits on the street wall", std::to_string(o_.slide_outs));
            add_slide("slide_" + std::to_string(i + 1), from, width, i == 0 ? 0.85 : 0.60);
            from += width + 0.15;
        }
    }

    void add_slide(const std::string& id, double u, double width, double depth) {
        // The box stands above the wheels and below the roof edge.
        const double low = floor_ + 0.55, high = top_ - 0.12, height = high - low, inner = -half_, outer = -half_ - depth;
        const std::string& ws = o_.wall_substrate;
        coach_.parts.push_back({id, "slide_out", "street_wall", "", {u, low}, {u + width, high}, "slide-out " + id.substr(6), "out"});
        build_.keep_free("street_wall", {u, low}, {u + width, high});
        build_.surface("slide_roof", {u, outer}, {u + width, inner}, o_.roof_substrate, o_.roof_finish, id);
        build_.surface("slide_face", {u, low}, {u + width, high}, ws, o_.wall_finish, id);
        build_.surface("slide_front_side", {0, low}, {depth, high}, ws, o_.wall_finish, id);
        build_.surface("slide_rear_side", {0, low}, {depth, high}, ws, o_.wall_finish, id);
        build_.surface("slide_floor", {u, outer}, {u + width, inner}, "plywood", "black_plastic", id);
        const std::vector<Point> frame{{u, low}, {u, high}, {u + width, high}, {u + width, low}};
        const std::vector<Point> ring{{u, low}, {u, high}, {u + width, high}, {u + width, low}, {u, low}};
        build_.joint(id + "_flange", "slide_opening_flange", "street_wall", frame, {"mill_aluminium", ws}, 0, "", id);
        build_.joint(id + "_bulb_seal", "slide_bulb_seal", "street_wall", ring, {"mill_aluminium", ws}, 0, "", id);
        build_.joint(id + "_wiper_seal", "slide_wiper_seal", "street_wall", frame, {"mill_aluminium", ws}, 0, "", id);
        build_.joint(id + "_roof_seam", "slide_roof_seam", "slide_roof",
                     {{u + 0.02, inner}, {u + 0.02, outer + 0.02}, {u + width - 0.02, outer + 0.02}, {u + width - 0.02, inner}},
                     {"mill_aluminium", o_.roof_substrate}, 0, id, id);
        for (const bool front : {true, false}) {
            const double at = front ? u + 0.02 : u + width - 0.02;
            build_.joint(id + (front ? "_corner_front" : "_corner_rear"), "slide_corner_moulding", "slide_face",
                         {{at, low}, {at, high}}, {"mill_aluminium", ws}, 2 * height, id, id);
        }
        build_.joint(id + "_floor_edge", "slide_floor_edge", "slide_floor",
                     {{u + 0.02, inner}, {u + 0.02, outer + 0.02}, {u + width - 0.02, outer + 0.02}, {u + width - 0.02, inner}},
                     {"plywood", "pvc"}, 0, id, id);
    }

    const TravelTrailerOptions& o_;
    const Catalogue catalogue_ = Catalogue::built_in();
    Coach coach_;
    double length_, half_, floor_, top_;
    CoachBuilder build_;
    int markers_ = 0;
};

}  // namespace

Coach travel_trailer(double length, const TravelTrailerOptions& options) {
    require_between(length, 4, 12, "length");
    require_between(options.width, 1.8, 2.6, "width");
    require_between(options.floor_height, 0.3, 1.2, "floor_height");
    require_between(options.wall_height, 1.6, 2.8, "wall_height");
    require_count(options.roof_vents, 0, 6, "roof_vents");
    require_count(options.windows, 0, 12, "windows");
    require_count(options.slide_outs, 0, 2, "slide_outs");
    require_count(options.marker_lights, 0, 20, "marker_lights");
    if (options.model_year != 0) require_count(options.model_year, 1920, 2200, "model_year");
    if (options.installed_to < options.installed_from && options.installed_to != Date{})
        throw_value_error("installed_to", "no day before installed_from", to_text(options.installed_to));
    return Trailer(length, options).make();
}

}  // namespace libseal
