#include <cmath>

#include "coach/fields.hpp"
#include "libseal/coach/read.hpp"

namespace libseal::detail {
namespace {

void write_text(JsonWriter& out, const char* key, const std::string& text) {
    if (text.empty()) return;
    out.member(key, text);
}
void write_number(JsonWriter& out, const char* key, double number) {
    out.member(key, number);
}
void write_point(JsonWriter& out, Point point) {
    out.begin_list();
    out.value(point.u);
    out.value(point.v);
    out.end_list();
}

void write_surface(JsonWriter& out, const Surface& surface) {
    out.begin_object();
    write_text(out, "name", surface.name);
    write_text(out, "slide", surface.slide);
    out.key("low_m");
    write_point(out, surface.low);
    out.key("high_m");
    write_point(out, surface.high);
    write_text(out, "substrate", surface.substrate);
    write_text(out, "finish", surface.finish);
    if (!surface.outline.empty()) {
        out.key("outline_m");
        out.begin_list();
        for (const auto& point : surface.outline) write_point(out, point);
        out.end_list();
    }
    out.end_object();
}

void write_part(JsonWriter& out, const Part& part) {
    out.begin_object();
    write_text(out, "id", part.id);
    write_text(out, "kind", part.kind);
    write_text(out, "surface", part.surface);
    write_text(out, "slide", part.slide);
    out.key("low_m");
    write_point(out, part.low);
    out.key("high_m");
    write_point(out, part.high);
    write_text(out, "label", part.label);
    write_text(out, "state", part.state);
    out.end_object();
}

void write_layer(JsonWriter& out, const Layer& layer) {
    out.begin_object();
    write_text(out, "kind", layer.kind);
    write_text(out, "family", layer.family);
    out.key("installed");
    if (layer.installed_from == layer.installed_to) {
        out.value(to_text(layer.installed_from));
    } else {
        out.begin_object();
        write_text(out, "from", to_text(layer.installed_from));
        write_text(out, "to", to_text(layer.installed_to));
        out.end_object();
    }
    out.member("generation", layer.generation);
    out.end_object();
}

void write_joint(JsonWriter& out, const Joint& joint) {
    out.begin_object();
    write_text(out, "id", joint.id);
    write_text(out, "type", joint.type);
    write_text(out, "part", joint.part);
    write_text(out, "surface", joint.surface);
    write_text(out, "slide", joint.slide);
    out.key("path_m");
    out.begin_list();
    for (const auto& point : joint.path) write_point(out, point);
    out.end_list();
    write_number(out, "length_m", joint.length);
    write_text(out, "open_edge", joint.open_edge);
    out.key("bead");
    out.begin_object();
    write_text(out, "profile", joint.bead.profile.empty() ? "none" : joint.bead.profile);
    write_number(out, "width_m", joint.bead.width);
    write_number(out, "thickness_m", joint.bead.thickness);
    out.end_object();
    write_number(out, "screw_spacing_m", joint.screw_spacing);
    out.key("substrates");
    out.begin_list();
    for (const auto& substrate : joint.substrates) out.value(substrate);
    out.end_list();
    out.key("layers");
    out.begin_list();
    for (const auto& layer : joint.layers) write_layer(out, layer);
    out.end_list();
    out.end_object();
}

void write_stay(JsonWriter& out, const Stay& stay) {
    out.begin_object();
    write_text(out, "from", to_text(stay.from));
    write_text(out, "to", to_text(stay.to));
    write_text(out, "place", stay.place);
    write_text(out, "station", stay.station);
    if (!std::isnan(stay.latitude)) write_number(out, "latitude_deg", stay.latitude);
    if (!std::isnan(stay.longitude)) write_number(out, "longitude_deg", stay.longitude);
    write_text(out, "cover", stay.cover);
    if (!std::isnan(stay.heading)) write_number(out, "heading_deg", stay.heading);
    out.end_object();
}

template <class Items, class Write>
void write_list(JsonWriter& out, const char* key, const Items& items, Write write) {
    out.key(key);
    out.begin_list();
    for (const auto& item : items) write(out, item);
    out.end_list();
}

}  // namespace

void write_coach(JsonWriter& out, const Coach& coach, bool with_schema) {
    out.begin_object();
    if (with_schema) write_text(out, "schema", "libseal/coach/1");
    write_text(out, "id", coach.id);
    write_text(out, "kind", coach.kind);
    write_text(out, "label", coach.label);
    write_text(out, "model_line", coach.model_line);
    if (coach.model_year != 0) {
        out.member("model_year", coach.model_year);
    }
    write_text(out, "owner", coach.owner);
    write_number(out, "length_m", coach.length);
    write_number(out, "width_m", coach.width);
    write_number(out, "floor_height_m", coach.floor_height);
    write_number(out, "roof_height_m", coach.roof_height);
    write_list(out, "surfaces", coach.surfaces, write_surface);
    write_list(out, "parts", coach.parts, write_part);
    write_list(out, "joints", coach.joints, write_joint);
    write_list(out, "stays", coach.stays, write_stay);
    out.end_object();
}

}  // namespace libseal::detail

namespace libseal {

std::string coach_json(const Coach& coach) {
    detail::JsonWriter out;
    detail::write_coach(out, coach, true);
    return out.take();
}

std::string fleet_json(const Fleet& fleet) {
    detail::JsonWriter out;
    out.begin_object();
    out.member("schema", "libseal/fleet/1");
    out.key("coaches");
    out.begin_list();
    for (const auto& coach : fleet.coaches) detail::write_coach(out, coach, false);
    out.end_list();
    out.end_object();
    return out.take();
}

}  // namespace libseal
