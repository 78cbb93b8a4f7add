#include <algorithm>
#include <cmath>

#include "coach/builder.hpp"
#include "coach/check.hpp"
#include "coach/joint_fields.hpp"
#include "libseal/coach/read.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {

bool is_object(const JsonView& view) {
    if (view.node().kind == JsonNode::Kind::object) return true;
    view.fail("an object", view.shown());
    return false;
}

namespace {

Bead read_bead(const JsonView& view, Bead bead) {
    if (!view.present() || !is_object(view)) return bead;
    view.check_keys({"profile", "width", "width_mm", "width_m", "width_in", "thickness", "thickness_mm", "thickness_m", "thickness_in",
                     "leg", "leg_mm", "leg_m", "leg_in"});
    bead.profile = view.member("profile").word({"fillet", "strip", "none"}, bead.profile.empty() ? "none" : bead.profile);
    if (bead.profile == "none") bead.profile.clear();
    bead.width = view.length_member_m("width", 0, 0.3, bead.width, bead.profile == "strip" && bead.width == 0);
    // The thickness of a fillet is its leg and may be called so.
    bead.thickness = view.length_member_m("leg", 0, 0.1, bead.thickness, false);
    bead.thickness = view.length_member_m("thickness", 0, 0.1, bead.thickness, !bead.profile.empty() && bead.thickness == 0);
    return bead;
}

}  // namespace

Layer read_layer(const JsonView& view, const Layer& usual, bool complete) {
    view.check_keys({"kind", "family", "installed", "generation"});
    Layer layer = usual;
    layer.kind = view.required("kind").text(usual.kind);
    const JsonView family = complete ? view.required("family") : view.member("family");
    const JsonView installed = view.member("installed");  // else as the joint or the coach
    layer.family = family.text(usual.family);
    if (installed.present()) {
        const Installed when = read_installed(installed);
        layer.installed_from = when.from;
        layer.installed_to = when.to;
    }
    layer.generation = static_cast<int>(view.member("generation").integer(1, 10000, usual.generation));
    return layer;
}

void read_build(const JsonView& view, Joint& joint) {
    joint.bead = read_bead(view.member("bead"), joint.bead);
    joint.screw_spacing = view.length_member_m("screw_spacing", 0, 2, joint.screw_spacing, false);
    joint.open_edge = view.member("open_edge").word({"bottom", "ends", "none", "all"}, joint.open_edge);
    if (const JsonView list = view.member("substrates"); list.present()) {
        joint.substrates.clear();
        for (const auto& item : list.items()) joint.substrates.push_back(item.text());
    }
}

void read_names(const JsonView& view, Coach& coach) {
    coach.id = view.required("id").text();
    coach.label = view.member("label").text(coach.label);
    coach.model_line = view.member("model_line").text();
    coach.model_year = static_cast<int>(view.member("model_year").integer(1920, 2200, 0));
    coach.owner = view.member("owner").text();
    if (const JsonView stays = view.member("stays"); stays.present()) coach.stays = read_stays(stays);
}

namespace {

const std::vector<std::string> written_keys = {
    "schema", "id", "kind", "label", "model_line", "model_year", "owner", "length", "length_m", "length_ft", "width", "width_m",
    "width_ft", "floor_height", "floor_height_m", "floor_height_ft", "roof_height", "roof_height_m", "roof_height_ft", "surfaces",
    "parts", "joints", "installed", "stays"};
Point read_point(const JsonView& view) {
    const double far = 50;
    if (!view.present()) return {};
    const auto pair = view.items();
    if (pair.size() != 2) {
        if (view.node().kind == JsonNode::Kind::list) view.fail("two numbers, u and v in metres", "a list of " + std::to_string(pair.size()));
        return {};
    }
    return {pair[0].number(-far, far, 0), pair[1].number(-far, far, 0)};
}

Surface read_surface(const JsonView& view) {
    view.check_keys({"name", "slide", "low_m", "high_m", "substrate", "finish", "outline_m"});
    Surface surface;
    surface.name = view.required("name").text();
    surface.slide = view.member("slide").text();
    surface.low = read_point(view.required("low_m"));
    surface.high = read_point(view.required("high_m"));
    surface.substrate = view.required("substrate").text();
    surface.finish = view.required("finish").text();
    if (const JsonView outline = view.member("outline_m"); outline.present())
        for (const auto& point : outline.items()) surface.outline.push_back(read_point(point));
    return surface;
}

Part read_part(const JsonView& view) {
    view.check_keys({"id", "kind", "surface", "slide", "low_m", "high_m", "label", "state"});
    Part part;
    part.id = view.required("id").text();
    part.kind = view.required("kind").text();
    part.surface = view.required("surface").text();
    part.slide = view.member("slide").text();
    part.low = read_point(view.required("low_m"));
    part.high = read_point(view.required("high_m"));
    part.label = view.member("label").text();
    part.state = view.member("state").word({"in", "out", "partway"}, part.kind == "slide_out" ? "out" : "");
    return part;
}

const std::vector<std::string> joint_keys = {"id", "type", "part", "surface", "slide", "path_m", "length", "length_m", "length_mm",
                                             "length_ft", "bead", "screw_spacing", "screw_spacing_mm", "screw_spacing_m",
                                             "screw_spacing_in", "substrates", "installed", "layers", "open_edge"};

/// Layers, bead and screws that a joint does not name are the usual ones of its type.
Joint read_joint(const JsonView& view, const Installed& coach_installed, const Catalogue& catalogue) {
    view.check_keys(joint_keys);
    Joint joint;
    joint.id = view.required("id").text();
    joint.type = view.required("type").text();
    joint.part = view.member("part").text();
    joint.surface = view.required("surface").text();
    joint.slide = view.member("slide").text();
    for (const auto& point : view.required("path_m").items()) joint.path.push_back(read_point(point));
    joint.length = view.length_member_m("length", 0, 100, path_length(joint.path), false);
    (void)view.required("substrates");
    const JsonView own = view.member("installed"), layers = view.member("layers");
    const Installed installed = own.present() ? read_installed(own) : coach_installed;
    const bool known_type = catalogue.has_prefix("joint_type/" + joint.type + "/");  // else the check says so
    if (known_type) set_usual_build(joint, catalogue);
    if (known_type && !layers.present()) joint.layers = usual_layers(joint.type, installed.from, installed.to, catalogue);
    read_build(view, joint);
    const Layer usual{"", "", installed.from, installed.to, 1};
    for (const auto& layer : layers.items())
        if (is_object(layer)) joint.layers.push_back(read_layer(layer, usual, true));
    return joint;
}

Coach read_written(const JsonView& view) {
    view.check_keys(written_keys);
    Coach coach;
    read_names(view, coach);
    coach.kind = view.required("kind").text();
    coach.length = view.length_member_m("length", 1, 25, 0, true);
    coach.width = view.length_member_m("width", 1, 4, 0, true);
    coach.floor_height = view.length_member_m("floor_height", 0, 3, 0, true);
    coach.roof_height = view.length_member_m("roof_height", 0.5, 6, 0, true);
    for (const auto& item : view.required("surfaces").items())
        if (is_object(item)) coach.surfaces.push_back(read_surface(item));
    if (const JsonView parts = view.member("parts"); parts.present())
        for (const auto& item : parts.items())
            if (is_object(item)) coach.parts.push_back(read_part(item));
    const Installed installed = read_installed(view.member("installed"));
    const Catalogue catalogue = Catalogue::built_in();
    for (const auto& item : view.required("joints").items())
        if (is_object(item)) coach.joints.push_back(read_joint(item, installed, catalogue));
    return coach;
}

}  // namespace

Coach read_coach_view(const JsonView& view, bool with_schema) {
    if (!view.present() || !is_object(view)) return {};
    const std::size_t before = view.problem_count();
    if (with_schema || view.member("schema").present()) view.check_schema("libseal/coach/1");
    const bool layout = view.member("layout").present();
    Coach coach = layout ? read_layout(view) : read_written(view);
    // What it means is only looked at once it could be read.
    if (view.problem_count() > before) return coach;
    auto problems = coach_problems(coach, Catalogue::built_in());
    if (problems.empty()) coach.stays = checked_itinerary(std::move(coach.stays));
    else if (layout) note_layout_problems(view, coach, std::move(problems));
    else note_at_places(view, std::move(problems));
    return coach;
}

}  // namespace libseal::detail

namespace libseal {

Coach read_coach_text(std::string_view text, const std::string& name) {
    const detail::JsonDocument document{std::string(text), name};
    detail::Problems problems;
    Coach coach = detail::read_coach_view(detail::JsonView::root(document, problems), true);
    problems.throw_if_any();
    return coach;
}

Coach read_coach(const std::string& path) { return read_coach_text(read_text_file(path), path); }

}  // namespace libseal
