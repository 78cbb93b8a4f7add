#include "coach/layout_table.hpp"

#include <algorithm>

#include "coach/fields.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

/// Width 2.6 m is the limit of 23 CFR 658.15 (commercial vehicles). All other ranges and usual values: common practice, no source.
struct Layout {
    const char* name;
    Coach (*make)(double, const LayoutOptions&);
    LayoutOptions (*usual)();
    std::vector<OptionRange> ranges;  ///< 0 to 0 for what is not named
};

LayoutOptions usual_trailer() { return {}; }

LayoutOptions usual_fifth_wheel() {
    LayoutOptions o;
    o.id = "fifth_wheel";
    o.floor_height = 0.75;
    o.wall_height = 2.85;
    o.overhang_length = 2.8;
    o.overhang_height = 0.80;
    o.windows = 6;
    o.slide_outs = 2;
    o.slide_outs_curb = 1;
    o.roof_seams = 1;
    o.slide_awnings = o.drip_rails = o.graphics = true;
    return o;
}

LayoutOptions usual_motorhome() {
    LayoutOptions o;
    o.id = "motorhome";
    o.floor_height = 0.70;
    o.wall_height = 2.45;
    o.overhang_length = 1.5;
    o.overhang_height = 1.20;
    o.windows = 6;
    o.solar_panels = 1;
    o.roof_seams = 1;
    o.slide_awnings = o.drip_rails = o.wall_mouldings = o.graphics = true;
    return o;
}

LayoutOptions usual_van() {
    LayoutOptions o;
    o.id = "van";
    o.width = 1.95;
    o.floor_height = 0.60;
    o.wall_height = 2.05;
    o.roof_vents = 1;
    o.windows = 2;
    o.slide_outs = o.marker_lights = 0;
    o.solar_panels = 1;
    o.roof_rail_feet = 3;
    o.skylight = o.ladder = false;
    o.drip_rails = o.graphics = true;
    o.roof_substrate = o.wall_substrate = "steel";
    o.roof_finish = o.wall_finish = "white_paint";
    return o;
}

LayoutOptions usual_truck_camper() {
    LayoutOptions o;
    o.id = "truck_camper";
    o.width = 2.2;
    o.floor_height = 0.95;
    o.overhang_length = 1.5;
    o.overhang_height = 0.85;
    o.windows = 3;
    o.slide_outs = 0;
    o.marker_lights = 5;
    o.roof_vents = o.solar_panels = 1;
    o.skylight = false;
    o.drip_rails = o.wall_mouldings = true;
    o.wall_substrate = "painted_aluminium";
    o.wall_finish = "white_paint";
    return o;
}

const std::vector<OptionRange> trailer_ranges{
    {"length", 4, 12},        {"width", 1.8, 2.6},      {"floor_height", 0.3, 1.2}, {"wall_height", 1.6, 2.8},
    {"roof_vents", 0, 6},     {"windows", 0, 12},       {"slide_outs", 0, 2},       {"slide_outs_curb", 0, 1},
    {"marker_lights", 0, 20}, {"solar_panels", 0, 4},   {"roof_rail_feet", 0, 6},   {"roof_seams", 0, 10},
    {"skylight", 0, 1},       {"air_conditioner", 0, 1}, {"ladder", 0, 1},          {"awning", 0, 1},
    {"slide_awnings", 0, 1},  {"drip_rails", 0, 1},     {"wall_mouldings", 0, 1},   {"graphics", 0, 1}};
const std::vector<OptionRange> fifth_wheel_ranges{
    {"length", 7, 14},           {"width", 2.2, 2.6},         {"floor_height", 0.5, 1.1},  {"wall_height", 2.4, 3.3},
    {"overhang_length", 2, 3.5}, {"overhang_height", 0.5, 1}, {"roof_vents", 0, 6},        {"windows", 0, 14},
    {"slide_outs", 0, 3},        {"slide_outs_curb", 0, 2},   {"marker_lights", 0, 20},    {"solar_panels", 0, 6},
    {"roof_rail_feet", 0, 6},    {"roof_seams", 0, 10},       {"skylight", 0, 1},          {"air_conditioner", 0, 1},
    {"ladder", 0, 1},            {"awning", 0, 1},            {"slide_awnings", 0, 1},     {"drip_rails", 0, 1},
    {"wall_mouldings", 0, 1},    {"graphics", 0, 1}};
const std::vector<OptionRange> motorhome_ranges{
    {"length", 6, 13.7},         {"width", 2.1, 2.6},         {"floor_height", 0.5, 1.2},  {"wall_height", 2, 2.9},
    {"overhang_length", 1, 2},   {"overhang_height", 0.9, 1.3}, {"roof_vents", 0, 6},      {"windows", 0, 12},
    {"slide_outs", 0, 2},        {"slide_outs_curb", 0, 1},   {"marker_lights", 0, 20},    {"solar_panels", 0, 6},
    {"roof_rail_feet", 0, 6},    {"roof_seams", 0, 10},       {"skylight", 0, 1},          {"air_conditioner", 0, 1},
    {"ladder", 0, 1},            {"awning", 0, 1},            {"overcab", 0, 1},           {"slide_awnings", 0, 1},
    {"drip_rails", 0, 1},        {"wall_mouldings", 0, 1},    {"graphics", 0, 1}};
const std::vector<OptionRange> van_ranges{
    {"length", 3.8, 6.5},     {"width", 1.75, 2.2},    {"floor_height", 0.3, 0.9}, {"wall_height", 1.6, 2.4},
    {"roof_vents", 0, 3},     {"windows", 0, 6},       {"marker_lights", 0, 10},   {"solar_panels", 0, 4},
    {"roof_rail_feet", 0, 6}, {"skylight", 0, 1},      {"air_conditioner", 0, 1},  {"ladder", 0, 1},
    {"awning", 0, 1},         {"drip_rails", 0, 1},    {"graphics", 0, 1}};
const std::vector<OptionRange> truck_camper_ranges{
    {"length", 3.4, 6.2},       {"width", 1.8, 2.6},           {"floor_height", 0.7, 1.3}, {"wall_height", 1.7, 2.3},
    {"overhang_length", 1, 2},  {"overhang_height", 0.6, 1.1}, {"roof_vents", 0, 4},       {"windows", 0, 6},
    {"marker_lights", 0, 15},   {"solar_panels", 0, 4},        {"roof_rail_feet", 0, 6},   {"roof_seams", 0, 5},
    {"skylight", 0, 1},         {"air_conditioner", 0, 1},     {"ladder", 0, 1},           {"awning", 0, 1},
    {"drip_rails", 0, 1},       {"wall_mouldings", 0, 1},      {"graphics", 0, 1}};

const std::vector<Layout>& layouts() {
    static const std::vector<Layout> all{{"travel_trailer", travel_trailer, usual_trailer, trailer_ranges},
                                         {"fifth_wheel", fifth_wheel, usual_fifth_wheel, fifth_wheel_ranges},
                                         {"motorhome", motorhome, usual_motorhome, motorhome_ranges},
                                         {"camper_van", camper_van, usual_van, van_ranges},
                                         {"truck_camper", truck_camper, usual_truck_camper, truck_camper_ranges}};
    return all;
}

const Layout& layout_named(const std::string& name) {
    for (const auto& layout : layouts())
        if (name == layout.name) return layout;
    const std::string near = nearest_name(name, layout_names());
    throw_value_error("layout", "one of travel_trailer, fifth_wheel, motorhome, camper_van, truck_camper", "\"" + name + "\"",
                      near.empty() ? "" : "did you mean \"" + near + "\"?");
}

}  // namespace

namespace detail {

const std::vector<NamedOption<double>>& length_options() {
    static const std::vector<NamedOption<double>> all{{"width", &LayoutOptions::width},
                                                      {"floor_height", &LayoutOptions::floor_height},
                                                      {"wall_height", &LayoutOptions::wall_height},
                                                      {"overhang_length", &LayoutOptions::overhang_length},
                                                      {"overhang_height", &LayoutOptions::overhang_height}};
    return all;
}

const std::vector<NamedOption<int>>& count_options() {
    static const std::vector<NamedOption<int>> all{{"roof_vents", &LayoutOptions::roof_vents},
                                                   {"windows", &LayoutOptions::windows},
                                                   {"slide_outs", &LayoutOptions::slide_outs},
                                                   {"slide_outs_curb", &LayoutOptions::slide_outs_curb},
                                                   {"marker_lights", &LayoutOptions::marker_lights},
                                                   {"solar_panels", &LayoutOptions::solar_panels},
                                                   {"roof_rail_feet", &LayoutOptions::roof_rail_feet},
                                                   {"roof_seams", &LayoutOptions::roof_seams}};
    return all;
}

const std::vector<NamedOption<bool>>& switch_options() {
    static const std::vector<NamedOption<bool>> all{{"skylight", &LayoutOptions::skylight},
                                                    {"air_conditioner", &LayoutOptions::air_conditioner},
                                                    {"ladder", &LayoutOptions::ladder},
                                                    {"awning", &LayoutOptions::awning},
                                                    {"overcab", &LayoutOptions::overcab},
                                                    {"slide_awnings", &LayoutOptions::slide_awnings},
                                                    {"drip_rails", &LayoutOptions::drip_rails},
                                                    {"wall_mouldings", &LayoutOptions::wall_mouldings},
                                                    {"graphics", &LayoutOptions::graphics}};
    return all;
}

const std::vector<NamedOption<std::string>>& material_options() {
    static const std::vector<NamedOption<std::string>> all{{"roof_substrate", &LayoutOptions::roof_substrate},
                                                           {"wall_substrate", &LayoutOptions::wall_substrate},
                                                           {"roof_finish", &LayoutOptions::roof_finish},
                                                           {"wall_finish", &LayoutOptions::wall_finish}};
    return all;
}

OptionRange option_range(const std::string& layout, const std::string& option) {
    const auto& ranges = layout_named(layout).ranges;
    const auto found = std::find_if(ranges.begin(), ranges.end(), [&](const OptionRange& r) { return r.option == option; });
    return found == ranges.end() ? OptionRange{option, 0, 0} : *found;
}

Coach layout_coach(const std::string& layout, double length, const LayoutOptions& options) {
    return layout_named(layout).make(length, options);
}

void check_options(const std::string& layout, double length, const LayoutOptions& options) {
    const auto check = [&](double value, const char* name) {
        const OptionRange range = option_range(layout, name);
        if (range.low == range.high && value != range.low)
            throw_value_error(name, "0: a " + layout + " has none", number_text(value));
        require_between(value, range.low, range.high, name);
    };
    check(length, "length");
    for (const auto& option : length_options()) check(options.*option.field, option.name);
    for (const auto& option : count_options()) check(options.*option.field, option.name);
    for (const auto& option : switch_options()) check(options.*option.field ? 1 : 0, option.name);
    if (options.model_year != 0) require_between(options.model_year, 1920, 2200, "model_year");
    if (options.installed_to == Date{}) return;
    if (options.installed_from == Date{} && options.model_year == 0)
        throw_value_error("installed_to", "none without installed_from or a model year", to_text(options.installed_to));
    if (options.installed_from != Date{} ? options.installed_to < options.installed_from
                                         : options.installed_to < built_in_model_year(options.model_year).from)
        throw_value_error("installed_to",
                          options.installed_from != Date{} ? "no day before installed_from" : "no day before those of the model year",
                          to_text(options.installed_to));
}

}  // namespace detail

std::vector<std::string> layout_names() {
    std::vector<std::string> names;
    for (const auto& layout : layouts()) names.emplace_back(layout.name);
    return names;
}

LayoutOptions layout_options(const std::string& layout) { return layout_named(layout).usual(); }

std::vector<OptionRange> layout_ranges(const std::string& layout) {
    std::vector<OptionRange> ranges{detail::option_range(layout, "length")};
    for (const auto& option : detail::length_options()) ranges.push_back(detail::option_range(layout, option.name));
    for (const auto& option : detail::count_options()) ranges.push_back(detail::option_range(layout, option.name));
    for (const auto& option : detail::switch_options()) ranges.push_back(detail::option_range(layout, option.name));
    return ranges;
}

}  // namespace libseal
