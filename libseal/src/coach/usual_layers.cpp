#include "coach/usual_layers.hpp"

namespace libseal::detail {

std::vector<Layer> usual_layers(const JointType& type, Date from, Date to) {
    std::vector<Layer> layers;
    const auto add = [&](const char* kind, const std::string& family) { layers.push_back({kind, family, from, to, 1}); };
    if (!type.bedding.empty()) add("bedding", type.bedding);
    if (!type.cap.empty()) add("cap_bead", type.cap);
    if (type.name == "air_conditioner_gasket") add("gasket", "epdm_gasket");
    if (type.name == "slide_bulb_seal") add("bulb_seal", "epdm_gasket");
    if (type.name == "slide_wiper_seal") add("wiper_seal", "epdm_gasket");
    if (type.name == "windshield_joint") add("gasket", "epdm_gasket");
    // Rails that hide their screws under a vinyl strip.
    if (type.name == "roof_edge_moulding" || type.name == "corner_moulding" || type.name == "slide_corner_moulding")
        add("insert", "pvc_insert");
    return layers;
}

Bead usual_bead(const JointType& type) {
    if (type.never_seal) return {};
    return {type.profile, type.bead_width, type.bead_thickness};
}

}  // namespace libseal::detail
