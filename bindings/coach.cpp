// Coaches, fleets and layouts in Python.

#include "docs/coach.hpp"
#include "libseal/coach/coach.hpp"
#include "libseal/coach/keep_open.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/coach/read.hpp"
#include "record.hpp"

namespace libseal::python {
namespace {

void define_pieces() {
    Record<Point>().field(LIBSEAL_FIELD(Point, u)).field(LIBSEAL_FIELD(Point, v)).finish();
    Record<Surface>()
        .field(LIBSEAL_FIELD(Surface, name))
        .field(LIBSEAL_FIELD(Surface, slide))
        .field(LIBSEAL_FIELD(Surface, low))
        .field(LIBSEAL_FIELD(Surface, high))
        .field(LIBSEAL_FIELD(Surface, substrate))
        .field(LIBSEAL_FIELD(Surface, finish))
        .field(LIBSEAL_FIELD(Surface, outline))
        .finish();
    Record<Stay>()
        .field("from_", &Stay::from, doc::Stay_from)
        .field(LIBSEAL_FIELD(Stay, to))
        .field(LIBSEAL_FIELD(Stay, place))
        .field(LIBSEAL_FIELD(Stay, station))
        .field(LIBSEAL_FIELD(Stay, latitude))
        .field(LIBSEAL_FIELD(Stay, longitude))
        .field(LIBSEAL_FIELD(Stay, cover))
        .field(LIBSEAL_FIELD(Stay, heading))
        .finish();
    Record<Layer>()
        .field(LIBSEAL_FIELD(Layer, kind))
        .field(LIBSEAL_FIELD(Layer, family))
        .field(LIBSEAL_FIELD(Layer, installed_from))
        .field(LIBSEAL_FIELD(Layer, installed_to))
        .field(LIBSEAL_FIELD(Layer, generation))
        .finish();
    Record<Bead>()
        .field(LIBSEAL_FIELD(Bead, profile))
        .field(LIBSEAL_FIELD(Bead, width))
        .field(LIBSEAL_FIELD(Bead, thickness))
        .finish();
    Record<Joint>()
        .field(LIBSEAL_FIELD(Joint, id))
        .field(LIBSEAL_FIELD(Joint, type))
        .field(LIBSEAL_FIELD(Joint, part))
        .field(LIBSEAL_FIELD(Joint, surface))
        .field(LIBSEAL_FIELD(Joint, slide))
        .field(LIBSEAL_FIELD(Joint, path))
        .field(LIBSEAL_FIELD(Joint, length))
        .field(LIBSEAL_FIELD(Joint, bead))
        .field(LIBSEAL_FIELD(Joint, screw_spacing))
        .field(LIBSEAL_FIELD(Joint, substrates))
        .field(LIBSEAL_FIELD(Joint, layers))
        .field(LIBSEAL_FIELD(Joint, open_edge))
        .finish();
    Record<Part>()
        .field(LIBSEAL_FIELD(Part, id))
        .field(LIBSEAL_FIELD(Part, kind))
        .field(LIBSEAL_FIELD(Part, surface))
        .field(LIBSEAL_FIELD(Part, slide))
        .field(LIBSEAL_FIELD(Part, low))
        .field(LIBSEAL_FIELD(Part, high))
        .field(LIBSEAL_FIELD(Part, label))
        .field(LIBSEAL_FIELD(Part, state))
        .finish();
}

void define_coach_type() {
    Record<Coach>()
        .field(LIBSEAL_FIELD(Coach, id))
        .field(LIBSEAL_FIELD(Coach, kind))
        .field(LIBSEAL_FIELD(Coach, label))
        .field(LIBSEAL_FIELD(Coach, model_line))
        .field(LIBSEAL_FIELD(Coach, model_year))
        .field(LIBSEAL_FIELD(Coach, owner))
        .field(LIBSEAL_FIELD(Coach, length))
        .field(LIBSEAL_FIELD(Coach, width))
        .field(LIBSEAL_FIELD(Coach, floor_height))
        .field(LIBSEAL_FIELD(Coach, roof_height))
        .field(LIBSEAL_FIELD(Coach, surfaces))
        .field(LIBSEAL_FIELD(Coach, parts))
        .field(LIBSEAL_FIELD(Coach, joints))
        .field(LIBSEAL_FIELD(Coach, stays))
        .finish();
    Record<Fleet>().field(LIBSEAL_FIELD(Fleet, coaches)).finish();
}

void define_options() {
    Record<LayoutOptions>()
        .field(LIBSEAL_FIELD(LayoutOptions, id))
        .field(LIBSEAL_FIELD(LayoutOptions, width))
        .field(LIBSEAL_FIELD(LayoutOptions, floor_height))
        .field(LIBSEAL_FIELD(LayoutOptions, wall_height))
        .field(LIBSEAL_FIELD(LayoutOptions, overhang_length))
        .field(LIBSEAL_FIELD(LayoutOptions, overhang_height))
        .field(LIBSEAL_FIELD(LayoutOptions, roof_vents))
        .field(LIBSEAL_FIELD(LayoutOptions, windows))
        .field(LIBSEAL_FIELD(LayoutOptions, slide_outs))
        .field(LIBSEAL_FIELD(LayoutOptions, slide_outs_curb))
        .field(LIBSEAL_FIELD(LayoutOptions, marker_lights))
        .field(LIBSEAL_FIELD(LayoutOptions, solar_panels))
        .field(LIBSEAL_FIELD(LayoutOptions, roof_rail_feet))
        .field(LIBSEAL_FIELD(LayoutOptions, roof_seams))
        .field(LIBSEAL_FIELD(LayoutOptions, skylight))
        .field(LIBSEAL_FIELD(LayoutOptions, air_conditioner))
        .field(LIBSEAL_FIELD(LayoutOptions, ladder))
        .field(LIBSEAL_FIELD(LayoutOptions, awning))
        .field(LIBSEAL_FIELD(LayoutOptions, overcab))
        .field(LIBSEAL_FIELD(LayoutOptions, slide_awnings))
        .field(LIBSEAL_FIELD(LayoutOptions, drip_rails))
        .field(LIBSEAL_FIELD(LayoutOptions, wall_mouldings))
        .field(LIBSEAL_FIELD(LayoutOptions, graphics))
        .field(LIBSEAL_FIELD(LayoutOptions, roof_substrate))
        .field(LIBSEAL_FIELD(LayoutOptions, roof_finish))
        .field(LIBSEAL_FIELD(LayoutOptions, wall_substrate))
        .field(LIBSEAL_FIELD(LayoutOptions, wall_finish))
        .field(LIBSEAL_FIELD(LayoutOptions, model_year))
        .field(LIBSEAL_FIELD(LayoutOptions, model_line))
        .field(LIBSEAL_FIELD(LayoutOptions, installed_from))
        .field(LIBSEAL_FIELD(LayoutOptions, installed_to))
        .finish();
    Record<KeepOpen>()
        .field(LIBSEAL_FIELD(KeepOpen, id))
        .field(LIBSEAL_FIELD(KeepOpen, kind))
        .field(LIBSEAL_FIELD(KeepOpen, part))
        .field(LIBSEAL_FIELD(KeepOpen, joint))
        .field(LIBSEAL_FIELD(KeepOpen, surface))
        .field(LIBSEAL_FIELD(KeepOpen, slide))
        .field(LIBSEAL_FIELD(KeepOpen, path))
        .field(LIBSEAL_FIELD(KeepOpen, reason))
        .finish();
    Record<OptionRange>()
        .field(LIBSEAL_FIELD(OptionRange, option))
        .field(LIBSEAL_FIELD(OptionRange, low))
        .field(LIBSEAL_FIELD(OptionRange, high))
        .finish();
}

using Layout = Coach (*)(double, const LayoutOptions&);

/// Fields of LayoutOptions as keywords, in the order of `define_layout`.
template <Layout make>
Coach coach_of_keywords(double length, const std::string& id, double width, double floor_height, double wall_height,
                        double overhang_length, double overhang_height, int roof_vents, int windows, int slide_outs,
                        int slide_outs_curb, int marker_lights, int solar_panels, int roof_rail_feet, int roof_seams,
                        bool skylight, bool air_conditioner, bool ladder, bool awning, bool overcab, bool slide_awnings,
                        bool drip_rails, bool wall_mouldings, bool graphics, const std::string& roof_substrate,
                        const std::string& roof_finish, const std::string& wall_substrate, const std::string& wall_finish,
                        int model_year, const std::string& model_line, std::optional<Date> installed_from,
                        std::optional<Date> installed_to) {
    LayoutOptions o{id, width, floor_height, wall_height, overhang_length, overhang_height, roof_vents, windows, slide_outs,
                    slide_outs_curb, marker_lights, solar_panels, roof_rail_feet, roof_seams, skylight, air_conditioner, ladder,
                    awning, overcab, slide_awnings, drip_rails, wall_mouldings, graphics, roof_substrate, roof_finish,
                    wall_substrate, wall_finish, model_year, model_line, {}, {}};
    if (installed_from) o.installed_from = *installed_from;
    if (installed_to) o.installed_to = *installed_to;
    return make(length, o);
}

template <Layout make>
void define_layout(py::module_& m, const char* name, const char* text) {
    const LayoutOptions d = layout_options(name);
    m.def(name, &coach_of_keywords<make>, "length"_a, py::kw_only(), "id"_a = d.id, "width"_a = d.width,
          "floor_height"_a = d.floor_height, "wall_height"_a = d.wall_height, "overhang_length"_a = d.overhang_length,
          "overhang_height"_a = d.overhang_height, "roof_vents"_a = d.roof_vents, "windows"_a = d.windows,
          "slide_outs"_a = d.slide_outs, "slide_outs_curb"_a = d.slide_outs_curb, "marker_lights"_a = d.marker_lights,
          "solar_panels"_a = d.solar_panels, "roof_rail_feet"_a = d.roof_rail_feet, "roof_seams"_a = d.roof_seams,
          "skylight"_a = d.skylight, "air_conditioner"_a = d.air_conditioner, "ladder"_a = d.ladder,
          "awning"_a = d.awning, "overcab"_a = d.overcab, "slide_awnings"_a = d.slide_awnings,
          "drip_rails"_a = d.drip_rails, "wall_mouldings"_a = d.wall_mouldings, "graphics"_a = d.graphics,
          "roof_substrate"_a = d.roof_substrate, "roof_finish"_a = d.roof_finish, "wall_substrate"_a = d.wall_substrate,
          "wall_finish"_a = d.wall_finish, "model_year"_a = d.model_year, "model_line"_a = d.model_line,
          "installed_from"_a = py::none(), "installed_to"_a = py::none(), text);
}

void define_layouts(py::module_& m) {
    define_options();
    define_layout<travel_trailer>(m, "travel_trailer", doc::travel_trailer);
    define_layout<fifth_wheel>(m, "fifth_wheel", doc::fifth_wheel);
    define_layout<motorhome>(m, "motorhome", doc::motorhome);
    define_layout<camper_van>(m, "camper_van", doc::camper_van);
    define_layout<truck_camper>(m, "truck_camper", doc::truck_camper);
    m.def("layout_names", &layout_names, doc::layout_names);
    m.def("layout_options", &layout_options, "layout"_a, doc::layout_options);
    m.def("layout_ranges", &layout_ranges, "layout"_a, doc::layout_ranges);
}

void define_look_ups(py::module_& m) {
    const auto inside =
        py::return_value_policy::reference_internal;  // the result keeps its coach or fleet alive
    m.def("joint_of", &joint_of, "coach"_a, "id"_a, doc::joint_of, inside, py::keep_alive<0, 1>());
    m.def("coach_of", &coach_of, "fleet"_a, "id"_a, doc::coach_of, inside, py::keep_alive<0, 1>());
    m.def("surface_of", &surface_of, "coach"_a, "surface"_a, "slide"_a, doc::surface_of, inside,
          py::keep_alive<0, 1>());
    m.def("layer_of", &layer_of, "joint"_a, "kind"_a, doc::layer_of, inside, py::keep_alive<0, 1>());
    m.def("fleet_of", &fleet_of, "coach"_a, doc::fleet_of);
    m.def("check_coach", &check_coach, "coach"_a, "catalogue"_a, doc::check_coach);
    m.def("open_edge_of", &open_edge_of, "joint"_a, "catalogue"_a, doc::open_edge_of);
    m.def("places_kept_open", &places_kept_open, "coach"_a, "catalogue"_a, doc::places_kept_open);
    m.def("places_kept_open_at", &places_kept_open_at, "coach"_a, "joint"_a, "catalogue"_a, doc::places_kept_open_at);
    m.def("checked_itinerary", &checked_itinerary, "stays"_a, doc::checked_itinerary);
    m.def("path_length", &path_length, "path"_a, doc::path_length);
    m.def("bead_section_mm2", &bead_section_mm2, "bead"_a, doc::bead_section_mm2);
    m.def("layer_names", &layer_names, doc::layer_names);
    m.def("surface_names", &surface_names, doc::surface_names);
    m.def("cover_names", &cover_names, doc::cover_names);
}

void define_files(py::module_& m) {
    m.def(
        "read_coach", [](const Path& path) { return read_coach(path.string()); }, "path"_a, doc::read_coach,
        Free());
    m.def("read_coach_text", &read_coach_text, "text"_a, "name"_a, doc::read_coach_text, Free());
    m.def("coach_json", &coach_json, "coach"_a, doc::coach_json, Free());
    m.def(
        "read_fleet", [](const Path& path) { return read_fleet(path.string()); }, "path"_a, doc::read_fleet,
        Free());
    m.def("read_fleet_text", &read_fleet_text, "text"_a, "name"_a, "folder"_a = "", doc::read_fleet_text,
          Free());
    m.def("fleet_json", &fleet_json, "fleet"_a, doc::fleet_json, Free());
}

}  // namespace

void declare_coach(py::module_& m) {
    py::class_<Point>(m, "Point", doc::Point);
    py::class_<Surface>(m, "Surface", doc::Surface);
    py::class_<Stay>(m, "Stay", doc::Stay);
    py::class_<Layer>(m, "Layer", doc::Layer);
    py::class_<Bead>(m, "Bead", doc::Bead);
    py::class_<Joint>(m, "Joint", doc::Joint);
    py::class_<Part>(m, "Part", doc::Part);
    py::class_<Coach>(m, "Coach", doc::Coach);
    py::class_<Fleet>(m, "Fleet", doc::Fleet);
    py::class_<LayoutOptions>(m, "LayoutOptions", doc::LayoutOptions);
    py::class_<KeepOpen>(m, "KeepOpen", doc::KeepOpen);
    py::class_<OptionRange>(m, "OptionRange", doc::OptionRange);
}

void define_coach(py::module_& m) {
    define_pieces();
    define_coach_type();
    define_layouts(m);
    define_look_ups(m);
    define_files(m);
}

}  // namespace libseal::python
