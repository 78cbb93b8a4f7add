#include "coach/builder.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/catalogue/joint_type.hpp"
#include "libseal/core/error.hpp"

namespace libseal::detail {

void set_usual_build(Joint& joint, const Catalogue& catalogue) {
    const JointType type = joint_type(catalogue, joint.type);
    joint.bead = {type.profile, type.bead_width, type.bead_thickness};
    joint.screw_spacing = type.screw_spacing;
}

std::vector<Layer> usual_layers(const std::string& type_name, Date from, Date to, const Catalogue& catalogue) {
    const JointType type = joint_type(catalogue, type_name);
    std::vector<Layer> layers;
    if (!type.cap.empty()) layers.push_back({"cap_bead", type.cap, from, to, 1});
    if (!type.bedding.empty()) layers.push_back({"bedding", type.bedding, from, to, 1});
    const std::string base = "joint_type/" + type_name + "/";
    if (catalogue.has(base + "extra_layer"))
        layers.push_back({catalogue.word(base + "extra_layer"), catalogue.word(base + "extra_family"), from, to, 1});
    return layers;
}

void CoachBuilder::surface(const std::string& name, Point low, Point high, const std::string& substrate,
                           const std::string& finish, const std::string& slide) {
    coach_.surfaces.push_back({name, slide, low, high, substrate, finish, {}});
}

void CoachBuilder::outline(const std::string& name, std::vector<Point> corners) {
    for (auto& surface : coach_.surfaces)
        if (surface.name == name && surface.slide.empty()) surface.outline = std::move(corners);
}

void CoachBuilder::keep_free(const std::string& surface, Point low, Point high, const std::string& slide) {
    taken_[surface + slide].emplace_back(low, high);
}

std::vector<std::pair<double, double>> CoachBuilder::free_stretches(const std::string& surface, double low, double high) const {
    const Surface& on = surface_of(coach_, surface, "");
    std::vector<std::pair<double, double>> blocks, free;
    if (const auto taken = taken_.find(surface); taken != taken_.end())
        for (const auto& [from, to] : taken->second)
            if (from.v < high && to.v > low) blocks.emplace_back(from.u, to.u);
    std::sort(blocks.begin(), blocks.end());
    double at = on.low.u;
    for (const auto& [from, to] : blocks) {
        if (from > at) free.emplace_back(at, from);
        at = std::max(at, to);
    }
    if (at < on.high.u) free.emplace_back(at, on.high.u);
    return free;
}

std::optional<std::pair<Point, Point>> CoachBuilder::find_room(const Wanted& wanted) const {
    constexpr double gap = 0.05, step = 0.05;  // [m]
    const Surface& on = surface_of(coach_, wanted.surface, wanted.slide);
    static const std::vector<std::pair<Point, Point>> nothing;
    const auto found = taken_.find(wanted.surface + wanted.slide);
    const auto& taken = found == taken_.end() ? nothing : found->second;
    const auto is_free = [&](double u0, double v0) {
        const double u1 = u0 + wanted.width, v1 = v0 + wanted.height;
        // A light sits close under the roof edge, so only the surface itself bounds v.
        if (u0 < on.low.u + gap || u1 > on.high.u - gap || v0 < on.low.v || v1 > on.high.v) return false;
        for (const auto& [low, high] : taken)
            if (u0 < high.u + gap && u1 > low.u - gap && v0 < high.v + gap && v1 > low.v - gap) return false;
        return true;
    };
    // Nearest places first: 0, -1, +1, -2, +2, ... steps from the wanted one.
    const auto shift = [](int k) { return (k % 2 ? -1 : 1) * ((k + 1) / 2) * step; };
    const int across = 2 * static_cast<int>((on.high.u - on.low.u) / step) + 2;
    const int along = 2 * static_cast<int>(wanted.v_slack / step) + 1;
    for (int j = 0; j < along; ++j)
        for (int k = 0; k < across; ++k) {
            const double u0 = wanted.middle.u - wanted.width / 2 + shift(k), v0 = wanted.middle.v - wanted.height / 2 + shift(j);
            if (!is_free(u0, v0)) continue;
            return std::pair{Point{u0, v0}, Point{u0 + wanted.width, v0 + wanted.height}};
        }
    return std::nullopt;
}

std::pair<Point, Point> CoachBuilder::room_for(const Wanted& wanted) const {
    if (const auto room = find_room(wanted)) return *room;
    throw_value_error(wanted.argument, "no more than fits on the " + wanted.surface, "no room for " + wanted.id);
}

std::optional<Part> CoachBuilder::part_if_room(const Wanted& wanted) {
    const auto room = find_room(wanted);
    if (!room) return std::nullopt;
    return part_at({wanted.id, wanted.kind, wanted.surface, wanted.slide, room->first, room->second, wanted.label, ""});
}

Part CoachBuilder::part(const Wanted& wanted) {
    const auto [low, high] = room_for(wanted);
    return part_at({wanted.id, wanted.kind, wanted.surface, wanted.slide, low, high, wanted.label, ""});
}

Part CoachBuilder::part_at(Part part) {
    keep_free(part.surface, part.low, part.high, part.slide);
    coach_.parts.push_back(part);
    return part;
}

Joint& CoachBuilder::joint(const std::string& id, const std::string& type_name, const std::string& surface,
                           std::vector<Point> path, std::vector<std::string> substrates, double length,
                           const std::string& slide, const std::string& part) {
    Joint joint;
    joint.id = id;
    joint.type = type_name;
    joint.part = part;
    joint.surface = surface;
    joint.slide = slide;
    joint.length = length > 0 ? length : path_length(path);
    joint.path = std::move(path);
    joint.substrates = std::move(substrates);
    set_usual_build(joint, catalogue_);
    joint.layers = usual_layers(type_name, from_, to_, catalogue_);
    coach_.joints.push_back(std::move(joint));
    return coach_.joints.back();
}

Joint& CoachBuilder::round(const Part& part, const std::string& type, std::vector<std::string> substrates) {
    const Point a = part.low, b = part.high;
    std::vector<Point> path;
    if (catalogue_.word("joint_type/" + type + "/open_edge") == "bottom")
        path = {{a.u, a.v}, {a.u, b.v}, {b.u, b.v}, {b.u, a.v}};
    else
        path = {{a.u, a.v}, {b.u, a.v}, {b.u, b.v}, {a.u, b.v}, {a.u, a.v}};
    return joint(part.id, type, part.surface, std::move(path), std::move(substrates), 0, part.slide, part.id);
}

}  // namespace libseal::detail
