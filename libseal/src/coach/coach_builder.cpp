#include "coach/coach_builder.hpp"

#include "coach/usual_layers.hpp"

namespace libseal::detail {

void CoachBuilder::surface(const std::string& name, const std::string& slide, Point low, Point high,
                           const std::string& substrate, const std::string& finish) {
    coach_.surfaces.push_back({name, slide, low, high, substrate, finish});
}

void CoachBuilder::part(const std::string& id, const std::string& kind, const std::string& surface,
                        const std::string& slide, Point low, Point high, const std::string& label) {
    coach_.parts.push_back({id, kind, surface, slide, low, high, label});
}

void CoachBuilder::seam(const std::string& id, const std::string& type_name, const std::string& surface,
                        const std::string& slide, std::vector<Point> path, const std::string& trim,
                        const std::string& part) {
    const JointType type = joint_type(catalogue_, type_name);
    Joint joint;
    joint.id = id;
    joint.type = type_name;
    joint.part = part;
    joint.surface = surface;
    joint.slide = slide;
    joint.length = path_length(path);
    joint.path = std::move(path);
    joint.bead = usual_bead(type);
    joint.screw_spacing = type.screw_spacing;
    joint.substrates = {surface_of(coach_, surface, slide).substrate};
    if (!trim.empty()) joint.substrates.push_back(trim);
    joint.layers = usual_layers(type, from_, to_);
    coach_.joints.push_back(std::move(joint));
}

void CoachBuilder::framed(const std::string& id, const std::string& kind, const std::string& type_name,
                          const std::string& surface, Point centre, double width, double height,
                          const std::string& trim, const std::string& label, const std::string& slide) {
    const Point low{centre.u - width / 2, centre.v - height / 2}, high{centre.u + width / 2, centre.v + height / 2};
    part(id, kind, surface, slide, low, high, label);
    // An open bottom edge is a drain: the bead runs up one side, over the top and down the other.
    const bool open_below = joint_type(catalogue_, type_name).open_edge == "bottom";
    std::vector<Point> path{{low.u, low.v}, {low.u, high.v}, {high.u, high.v}, {high.u, low.v}};
    if (!open_below) path.push_back(path.front());
    seam(id + "_frame", type_name, surface, slide, std::move(path), trim, id);
}

}  // namespace libseal::detail
