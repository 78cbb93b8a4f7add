#include "libseal/coach/joint.hpp"

#include <cmath>

namespace libseal {

const Layer* layer_of(const Joint& joint, const std::string& kind) {
    for (const auto& layer : joint.layers)
        if (layer.kind == kind) return &layer;
    return nullptr;
}

double path_length(const std::vector<Point>& path) {
    double sum = 0;
    for (std::size_t i = 1; i < path.size(); ++i) sum += std::hypot(path[i].u - path[i - 1].u, path[i].v - path[i - 1].v);
    return sum;
}

double bead_section_mm2(const Bead& bead) {
    const double thickness_mm = bead.thickness * 1e3;
    if (bead.profile == "fillet") return thickness_mm * thickness_mm / 2;
    if (bead.profile == "strip") return bead.width * 1e3 * thickness_mm;
    return 0;
}

const std::vector<std::string>& layer_names() {
    static const std::vector<std::string> names{"cap_bead",   "bedding", "gasket",    "bulb_seal",
                                                "wiper_seal", "insert",  "cover_tape"};
    return names;
}

const std::vector<std::string>& surface_names() {
    static const std::vector<std::string> names{
        "roof",       "front_cap",  "rear_cap",         "street_wall",     "curb_wall", "underside",
        "slide_roof", "slide_face", "slide_front_side", "slide_rear_side", "slide_floor"};
    return names;
}

}  // namespace libseal
