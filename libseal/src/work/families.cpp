#include "work/families.hpp"

#include <algorithm>

#include "libseal/catalogue/sealant.hpp"
#include "libseal/core/require.hpp"

namespace libseal {
namespace detail {
namespace {

/// Slope of a surface [deg]: walls and caps stand upright.
double slope_of(const Surface& surface, double roof_slope) {
    return surface.name == "roof" || surface.name == "slide_roof" ? roof_slope : 90;
}

}  // namespace

bool is_level(const Surface& surface, double roof_slope, const Catalogue& catalogue) {
    return self_levelling(slope_of(surface, roof_slope), catalogue) != "never";
}

bool is_silicone(const std::string& family) { return family.find("silicone") != std::string::npos; }

std::string impossible_on(const std::string& family, const Joint& joint, const Catalogue& catalogue) {
    for (const auto& substrate : joint.substrates)
        if (compatibility(catalogue, family, substrate) == "never") return substrate;
    return "";
}

std::string old_family(const Joint& joint) {
    const Layer* cap = layer_of(joint, "cap_bead");
    return cap ? cap->family : "";
}

}  // namespace detail

namespace {

using detail::is_level;
using detail::is_silicone;

/// Families that may seal the joint, best first, some more than once, until `take` says that it has enough.
template <class Take>
void each_allowed_family(const Joint& joint, const Surface& surface, const Catalogue& catalogue, double roof_slope, const Take& take) {
    const JointType& type = joint_type(catalogue, joint.type);
    if (type.never_seal) return;
    const bool level = is_level(surface, roof_slope, catalogue);
    const auto enough = [&](const std::string& family, const std::string& worst_allowed) {
        if (family.empty() || family == "unknown" || family == "asphalt_or_roof_coating") return false;
        const Sealant& data = sealant(catalogue, family);
        if (data.package_ml <= 0 || (data.levels_itself && !level)) return false;
        for (const auto& substrate : joint.substrates) {
            const std::string& fit = compatibility(catalogue, family, substrate);
            if (fit == "never" || (fit == "test" && worst_allowed == "ok")) return false;
        }
        return take(family);
    };
    // One family per joint: the present one holds here already, then the usual one, both with a primer if
    // need be.
    if (enough(detail::old_family(joint), "test") || enough(type.cap, "test")) return;
    // A sealant that levels itself runs on a wall; there its thick sister takes its place.
    if (!level && enough("non_sag_lap", "test")) return;
    // Silicone only where nothing else goes: its traces spoil every later bond.
    for (const char* worst : {"ok", "test"})
        for (const bool silicone : {false, true})
            for (const auto& name : sealant_names(catalogue))
                if (is_silicone(name) == silicone && enough(name, worst)) return;
}

}  // namespace

std::string detail::best_family(const Joint& joint, const Surface& surface, const Catalogue& catalogue, double roof_slope) {
    std::string best;
    each_allowed_family(joint, surface, catalogue, roof_slope, [&](const std::string& family) {
        best = family;
        return true;
    });
    return best;
}

std::string self_levelling(double slope, const Catalogue& catalogue) {
    require_between(slope, 0, 90, "slope");
    if (slope <= catalogue.number("gate/self_levelling_slope")) return "free";
    return slope <= catalogue.number("gate/self_levelling_slope_dammed") ? "dammed" : "never";
}

std::vector<std::string> allowed_families(const Joint& joint, const Surface& surface,
                                          const Catalogue& catalogue, double roof_slope) {
    std::vector<std::string> result;
    each_allowed_family(joint, surface, catalogue, roof_slope, [&](const std::string& family) {
        if (std::find(result.begin(), result.end(), family) == result.end()) result.push_back(family);
        return false;
    });
    return result;
}

}  // namespace libseal
