#include <algorithm>
#include <cmath>

#include "coach/read_parts.hpp"
#include "coach/usual_layers.hpp"
#include "libseal/catalogue/sealant.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/coach/read.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace detail {
namespace {

constexpr double longest = 30;  // no measure of a coach is longer [m]

const std::vector<std::string>& kind_names() {
    static const std::vector<std::string> names = {"travel_trailer", "fifth_wheel", "motorhome", "van", "truck_camper"};
    return names;
}

Point read_point(const JsonView& view) {
    const auto pair = view.items();
    if (view.present() && pair.size() != 2) {
        view.fail("two numbers [u, v] in metres", view.shown());
        return {};
    }
    if (pair.size() != 2) return {};
    return {pair[0].number(-longest, longest, 0), pair[1].number(-longest, longest, 0)};
}

Bead read_bead(const JsonView& view, const Bead& usual) {
    if (!view.present()) return usual;
    view.check_keys({"profile", "width", "width_mm", "width_in", "thickness", "thickness_mm", "thickness_in", "leg",
                     "leg_mm", "leg_in"});
    Bead bead;
    bead.profile = view.required("profile").word({"fillet", "strip", "none"}, "none");
    if (bead.profile == "fillet") bead.thickness = view.length_member_m("leg", 0.001, 0.05, 0, true);
    if (bead.profile == "strip") {
        bead.width = view.length_member_m("width", 0.003, 0.3, 0, true);
        bead.thickness = view.length_member_m("thickness", 0.001, 0.05, 0, true);
    }
    if (bead.profile == "none") bead.profile.clear();
    return bead;
}

std::vector<Layer> read_layers(const JsonView& view, const Interval& installed, const Catalogue& catalogue) {
    std::vector<Layer> layers;
    for (const auto& item : view.items()) {
        item.check_keys({"kind", "family", "installed", "generation"});
        Layer layer;
        layer.kind = item.required("kind").word(layer_names());
        layer.family = item.required("family").word(catalogue.names("sealant"));
        const JsonView own = item.member("installed");
        const Interval fitted = own.present() ? read_installed(own) : installed;
        if (!own.present() && !installed.known)
            item.fail("an \"installed\" date here, at the joint or at the coach", "none");
        layer.installed_from = fitted.from;
        layer.installed_to = fitted.to;
        layer.generation = static_cast<int>(item.member("generation").integer(1, 1000, 1));
        layers.push_back(std::move(layer));
    }
    return layers;
}

Joint read_joint(const JsonView& view, const Coach& coach, const Interval& coach_installed, const Catalogue& catalogue) {
    view.check_keys({"id", "type", "part", "surface", "slide", "path_m", "length", "length_m", "length_ft", "bead",
                     "screw_spacing", "screw_spacing_mm", "screw_spacing_in", "substrates", "layers", "installed"});
    Joint joint;
    joint.id = view.required("id").text();
    joint.type = view.required("type").word(joint_type_names(catalogue));
    joint.part = view.member("part").text();
    joint.surface = view.required("surface").word(surface_names());
    joint.slide = view.member("slide").text();
    for (const auto& point : view.required("path_m").items()) joint.path.push_back(read_point(point));
    joint.length = view.length_member_m("length", 0.01, 4 * longest, path_length(joint.path), false);
    if (joint.type.empty()) return joint;  // already noted; its usual build is not known
    const JointType type = joint_type(catalogue, joint.type);
    joint.bead = read_bead(view.member("bead"), usual_bead(type));
    joint.screw_spacing = view.length_member_m("screw_spacing", 0, 2, type.screw_spacing, false);
    if (const JsonView list = view.member("substrates"); list.present()) {
        for (const auto& item : list.items()) joint.substrates.push_back(item.word(catalogue.names("substrate")));
    } else {
        for (const auto& surface : coach.surfaces)
            if (surface.name == joint.surface && surface.slide == joint.slide) joint.substrates = {surface.substrate};
    }
    const JsonView own = view.member("installed");
    const Interval installed = own.present() ? read_installed(own) : coach_installed;
    if (const JsonView list = view.member("layers"); list.present()) {
        joint.layers = read_layers(list, installed, catalogue);
    } else {
        if (!installed.known) view.fail("an \"installed\" date here or at the coach", "none");
        joint.layers = usual_layers(type, installed.from, installed.to);
    }
    return joint;
}

void read_written_out(const JsonView& view, Coach& coach, const Interval& installed, const Catalogue& catalogue) {
    coach.length = view.length_member_m("length", 1, longest, 0, true);
    coach.width = view.length_member_m("width", 0.5, 5, 0, true);
    coach.floor_height = view.length_member_m("floor_height", 0, 3, 0, true);
    coach.roof_height = view.length_member_m("roof_height", 0.5, 6, 0, true);
    for (const auto& item : view.required("surfaces").items()) {
        item.check_keys({"name", "slide", "low_m", "high_m", "substrate", "finish"});
        coach.surfaces.push_back({item.required("name").word(surface_names()), item.member("slide").text(),
                                  read_point(item.required("low_m")), read_point(item.required("high_m")),
                                  item.required("substrate").word(catalogue.names("substrate")),
                                  item.required("finish").word(catalogue.names("finish"))});
    }
    for (const auto& item : view.member("parts").items()) {
        item.check_keys({"id", "kind", "surface", "slide", "low_m", "high_m", "label"});
        coach.parts.push_back({item.required("id").text(), item.required("kind").text(),
                               item.required("surface").word(surface_names()), item.member("slide").text(),
                               read_point(item.required("low_m")), read_point(item.required("high_m")),
                               item.member("label").text()});
    }
    for (const auto& item : view.required("joints").items())
        coach.joints.push_back(read_joint(item, coach, installed, catalogue));
}

TravelTrailerOptions read_layout_options(const JsonView& view, const Catalogue& catalogue) {
    view.check_keys({"length", "length_m", "length_ft", "width", "width_m", "width_ft", "floor_height", "floor_height_m",
                     "wall_height", "wall_height_m", "roof_vents", "windows", "slide_outs", "marker_lights", "skylight",
                     "air_conditioner", "ladder", "awning", "roof_substrate", "roof_finish", "wall_substrate", "wall_finish"});
    TravelTrailerOptions o;
    o.width = view.length_member_m("width", 1.8, 2.6, o.width, false);
    o.floor_height = view.length_member_m("floor_height", 0.2, 1.2, o.floor_height, false);
    o.wall_height = view.length_member_m("wall_height", 1.5, 2.6, o.wall_height, false);
    o.roof_vents = static_cast<int>(view.member("roof_vents").integer(0, 6, o.roof_vents));
    o.windows = static_cast<int>(view.member("windows").integer(0, 12, o.windows));
    o.slide_outs = static_cast<int>(view.member("slide_outs").integer(0, 2, o.slide_outs));
    o.marker_lights = static_cast<int>(view.member("marker_lights").integer(0, 20, o.marker_lights));
    o.skylight = view.member("skylight").boolean(o.skylight);
    o.air_conditioner = view.member("air_conditioner").boolean(o.air_conditioner);
    o.ladder = view.member("ladder").boolean(o.ladder);
    o.awning = view.member("awning").boolean(o.awning);
    const auto substrates = catalogue.names("substrate"), finishes = catalogue.names("finish");
    o.roof_substrate = view.member("roof_substrate").word(substrates, o.roof_substrate);
    o.roof_finish = view.member("roof_finish").word(finishes, o.roof_finish);
    o.wall_substrate = view.member("wall_substrate").word(substrates, o.wall_substrate);
    o.wall_finish = view.member("wall_finish").word(finishes, o.wall_finish);
    return o;
}

/// Changes to single joints of a layout: other layers, bead, screws, length, or "absent".
void read_changes(const JsonView& view, Coach& coach, const Interval& installed, const Catalogue& catalogue) {
    std::vector<std::string> ids;
    for (const auto& joint : coach.joints) ids.push_back(joint.id);
    for (const auto& [id, change] : view.members()) {
        change.check_keys({"absent", "length", "length_m", "length_ft", "bead", "screw_spacing", "screw_spacing_mm",
                           "screw_spacing_in", "layers", "installed"});
        const auto place = std::find_if(coach.joints.begin(), coach.joints.end(),
                                        [&, name = id](const Joint& joint) { return joint.id == name; });
        if (place == coach.joints.end()) {
            const std::string near = nearest_name(id, ids);
            change.fail("a joint of the layout", "\"" + id + "\"", near.empty() ? "" : "did you mean \"" + near + "\"?");
            continue;
        }
        if (change.member("absent").boolean(false)) {
            coach.joints.erase(place);
            continue;
        }
        place->length = change.length_member_m("length", 0.01, 4 * longest, place->length, false);
        place->bead = read_bead(change.member("bead"), place->bead);
        place->screw_spacing = change.length_member_m("screw_spacing", 0, 2, place->screw_spacing, false);
        const JsonView own = change.member("installed");
        const Interval fitted = own.present() ? read_installed(own) : installed;
        if (const JsonView list = change.member("layers"); list.present())
            place->layers = read_layers(list, fitted, catalogue);
        else if (own.present())
            for (auto& layer : place->layers) {
                layer.installed_from = fitted.from;
                layer.installed_to = fitted.to;
            }
    }
}

}  // namespace

Interval read_installed(const JsonView& view) {
    Interval interval;
    if (!view.present()) return interval;
    interval.known = true;
    if (view.node().kind == JsonNode::Kind::object) {
        view.check_keys({"from", "to", "model_year"});
        if (const JsonView year = view.member("model_year"); year.present()) {
            const int y = static_cast<int>(year.integer(1950, 2200, 2000));
            interval.from = make_date(y - 1, 7, 1);
            interval.to = make_date(y, 6, 30);
            return interval;
        }
        interval.from = view.required("from").date(Date{});
        interval.to = view.required("to").date(interval.from);
        if (interval.to < interval.from) view.fail("\"from\" not after \"to\"", to_text(interval.from) + " to " + to_text(interval.to));
        return interval;
    }
    interval.from = interval.to = view.date(Date{});
    return interval;
}

Itinerary read_stays(const JsonView& view) {
    Itinerary stays;
    const auto items = view.items();
    for (const auto& item : items) {
        item.check_keys({"from", "to", "place", "station", "latitude_deg", "longitude_deg", "cover", "heading_deg"});
        Stay stay;
        stay.from = item.required("from").date(Date{});
        stay.to = item.member("to").date(make_date(9999, 12, 31));
        stay.place = item.member("place").text();
        stay.station = item.member("station").text();
        stay.latitude = item.member("latitude_deg").number(-90, 90, stay.latitude);
        stay.longitude = item.member("longitude_deg").number(-180, 180, stay.longitude);
        stay.cover = item.member("cover").word(cover_names(), "open");
        stay.heading = item.member("heading_deg").number(0, 360, stay.heading);
        if (std::isnan(stay.latitude) != std::isnan(stay.longitude))
            item.fail("both latitude_deg and longitude_deg", "one of them");
        stays.push_back(std::move(stay));
    }
    try {
        return stays.empty() ? stays : checked_itinerary(std::move(stays));
    } catch (const ValueError& error) {
        for (const auto& problem : error.problems()) view.fail(problem.expected, problem.got, problem.hint);
    }
    return {};
}

Coach read_coach_object(const JsonView& view, const Catalogue& catalogue) {
    view.check_keys({"schema", "id", "kind", "label", "model_line", "model_year", "owner", "installed", "stays", "layout",
                     "options", "changes", "length", "length_m", "length_ft", "width", "width_m", "width_ft", "floor_height",
                     "floor_height_m", "roof_height", "roof_height_m", "surfaces", "parts", "joints"});
    Coach coach;
    const std::string id = view.required("id").text();
    const std::string kind = view.required("kind").word(kind_names());
    const std::string label = view.member("label").text();
    const std::string line = view.member("model_line").text();
    const int year = static_cast<int>(view.member("model_year").integer(1950, 2200, 0));
    Interval installed = read_installed(view.member("installed"));
    if (!installed.known && year > 0) installed = {make_date(year - 1, 7, 1), make_date(year, 6, 30), true};

    if (const JsonView layout = view.member("layout"); layout.present()) {
        layout.word({"travel_trailer"});
        const JsonView own = view.required("options");
        const TravelTrailerOptions given = read_layout_options(own, catalogue);
        const double length = own.length_member_m("length", 4, 12, 8, true);
        if (!installed.known) view.fail("an \"installed\" date or a \"model_year\"", "neither");
        TravelTrailerOptions options = given;
        options.id = id.empty() ? "coach" : id;
        options.installed_from = installed.known ? installed.from : make_date(2000, 1, 1);
        options.installed_to = installed.known ? installed.to : options.installed_from;
        try {
            coach = travel_trailer(length, options);
        } catch (const ValueError& error) {
            for (const auto& problem : error.problems()) own.fail(problem.expected, problem.got, problem.hint);
        }
        read_changes(view.member("changes"), coach, installed, catalogue);
    } else {
        read_written_out(view, coach, installed, catalogue);
    }
    coach.id = id;
    coach.kind = kind;
    coach.label = label;
    coach.model_line = line;
    coach.model_year = year;
    coach.owner = view.member("owner").text();
    coach.stays = read_stays(view.member("stays"));
    return coach;
}

}  // namespace detail

Coach read_coach_text(std::string_view text, const std::string& name) {
    const detail::JsonDocument document(std::string(text), name);
    detail::Problems problems;
    const auto root = detail::JsonView::root(document, problems);
    root.check_schema("libseal/coach/1");
    const Catalogue catalogue = Catalogue::built_in();
    Coach coach = detail::read_coach_object(root, catalogue);
    problems.throw_if_any();
    try {
        check_coach(coach, catalogue);
    } catch (const ValueError& error) {
        std::vector<Problem> list = error.problems();
        for (auto& problem : list) problem.file = name;
        throw ValueError(std::move(list));
    }
    return coach;
}

Coach read_coach(const std::string& path) { return read_coach_text(read_text_file(path), path); }

}  // namespace libseal
