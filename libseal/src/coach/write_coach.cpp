#include <cmath>

#include "coach/read_parts.hpp"
#include "libseal/coach/read.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace detail {
namespace {

void write_text(JsonWriter& writer, const char* key, const std::string& text) {
    if (text.empty()) return;
    writer.key(key);
    writer.value(text);
}

void write_number(JsonWriter& writer, const char* key, double number) {
    writer.key(key);
    writer.value(number);
}

void write_point(JsonWriter& writer, const Point& point) {
    writer.begin_list();
    writer.value(point.u);
    writer.value(point.v);
    writer.end_list();
}

void write_named_point(JsonWriter& writer, const char* key, const Point& point) {
    writer.key(key);
    write_point(writer, point);
}

/// Metres as millimetres whose text reads back as the same metres.
void write_millimetres(JsonWriter& writer, const std::string& key, double metres) {
    const double mm = std::round(metres * 1e9) / 1e6;
    if (mm * 1e-3 == metres) {
        write_number(writer, (key + "_mm").c_str(), mm);
    } else {
        writer.key(key);
        writer.value(number_text(metres) + " m");
    }
}

void write_layer(JsonWriter& writer, const Layer& layer) {
    writer.begin_object();
    write_text(writer, "kind", layer.kind);
    write_text(writer, "family", layer.family);
    writer.key("installed");
    if (layer.installed_from == layer.installed_to) {
        writer.value(to_text(layer.installed_from));
    } else {
        writer.begin_object();
        write_text(writer, "from", to_text(layer.installed_from));
        write_text(writer, "to", to_text(layer.installed_to));
        writer.end_object();
    }
    if (layer.generation != 1) {
        writer.key("generation");
        writer.value(layer.generation);
    }
    writer.end_object();
}

void write_joint(JsonWriter& writer, const Joint& joint) {
    writer.begin_object();
    write_text(writer, "id", joint.id);
    write_text(writer, "type", joint.type);
    write_text(writer, "part", joint.part);
    write_text(writer, "surface", joint.surface);
    write_text(writer, "slide", joint.slide);
    writer.key("path_m");
    writer.begin_list();
    for (const auto& point : joint.path) write_point(writer, point);
    writer.end_list();
    write_number(writer, "length_m", joint.length);
    writer.key("bead");
    writer.begin_object();
    write_text(writer, "profile", joint.bead.profile.empty() ? "none" : joint.bead.profile);
    if (joint.bead.profile == "fillet") write_millimetres(writer, "leg", joint.bead.thickness);
    if (joint.bead.profile == "strip") {
        write_millimetres(writer, "width", joint.bead.width);
        write_millimetres(writer, "thickness", joint.bead.thickness);
    }
    writer.end_object();
    write_millimetres(writer, "screw_spacing", joint.screw_spacing);
    writer.key("substrates");
    writer.begin_list();
    for (const auto& substrate : joint.substrates) writer.value(substrate);
    writer.end_list();
    writer.key("layers");
    writer.begin_list();
    for (const auto& layer : joint.layers) write_layer(writer, layer);
    writer.end_list();
    writer.end_object();
}

void write_stays(JsonWriter& writer, const Itinerary& stays) {
    writer.key("stays");
    writer.begin_list();
    for (const auto& stay : stays) {
        writer.begin_object();
        write_text(writer, "from", to_text(stay.from));
        write_text(writer, "to", to_text(stay.to));
        write_text(writer, "place", stay.place);
        write_text(writer, "station", stay.station);
        if (!std::isnan(stay.latitude)) write_number(writer, "latitude_deg", stay.latitude);
        if (!std::isnan(stay.longitude)) write_number(writer, "longitude_deg", stay.longitude);
        write_text(writer, "cover", stay.cover);
        if (!std::isnan(stay.heading)) write_number(writer, "heading_deg", stay.heading);
        writer.end_object();
    }
    writer.end_list();
}

}  // namespace

void write_coach_object(JsonWriter& writer, const Coach& coach) {
    writer.begin_object();
    write_text(writer, "schema", "libseal/coach/1");
    write_text(writer, "id", coach.id);
    write_text(writer, "kind", coach.kind);
    write_text(writer, "label", coach.label);
    write_text(writer, "model_line", coach.model_line);
    if (coach.model_year > 0) {
        writer.key("model_year");
        writer.value(coach.model_year);
    }
    write_text(writer, "owner", coach.owner);
    write_number(writer, "length_m", coach.length);
    write_number(writer, "width_m", coach.width);
    write_number(writer, "floor_height_m", coach.floor_height);
    write_number(writer, "roof_height_m", coach.roof_height);
    write_stays(writer, coach.stays);
    writer.key("surfaces");
    writer.begin_list();
    for (const auto& surface : coach.surfaces) {
        writer.begin_object();
        write_text(writer, "name", surface.name);
        write_text(writer, "slide", surface.slide);
        write_named_point(writer, "low_m", surface.low);
        write_named_point(writer, "high_m", surface.high);
        write_text(writer, "substrate", surface.substrate);
        write_text(writer, "finish", surface.finish);
        writer.end_object();
    }
    writer.end_list();
    writer.key("parts");
    writer.begin_list();
    for (const auto& part : coach.parts) {
        writer.begin_object();
        write_text(writer, "id", part.id);
        write_text(writer, "kind", part.kind);
        write_text(writer, "surface", part.surface);
        write_text(writer, "slide", part.slide);
        write_named_point(writer, "low_m", part.low);
        write_named_point(writer, "high_m", part.high);
        write_text(writer, "label", part.label);
        writer.end_object();
    }
    writer.end_list();
    writer.key("joints");
    writer.begin_list();
    for (const auto& joint : coach.joints) write_joint(writer, joint);
    writer.end_list();
    writer.end_object();
}

}  // namespace detail

std::string coach_json(const Coach& coach) {
    detail::JsonWriter writer;
    detail::write_coach_object(writer, coach);
    return writer.take();
}

std::string fleet_json(const Fleet& fleet) {
    detail::JsonWriter writer;
    writer.begin_object();
    writer.key("schema");
    writer.value("libseal/fleet/1");
    writer.key("coaches");
    writer.begin_list();
    for (const auto& coach : fleet.coaches) detail::write_coach_object(writer, coach);
    writer.end_list();
    writer.end_object();
    return writer.take();
}

}  // namespace libseal
