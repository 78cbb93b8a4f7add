#include "libseal/catalogue/joint_type.hpp"

#include <algorithm>

#include "catalogue/names.hpp"

namespace libseal {
namespace {

/// "none" stands for no such thing.
std::string optional_word(const Catalogue& catalogue, const std::string& id) {
    const std::string& word = catalogue.word(id);
    return word == "none" ? "" : word;
}

std::string answer(const Catalogue& catalogue, const std::string& id, const std::vector<std::string>& allowed) {
    const std::string& word = catalogue.word(id);
    if (std::find(allowed.begin(), allowed.end(), word) == allowed.end()) {
        std::string list;
        for (const auto& name : allowed) list += (list.empty() ? "" : ", ") + name;
        throw_value_error(id, "one of " + list, "\"" + word + "\"");
    }
    return word;
}

}  // namespace

JointType joint_type(const Catalogue& catalogue, const std::string& name) {
    detail::require_name(catalogue, "joint_type", name, "joint type");
    const std::string base = "joint_type/" + name + "/";
    constexpr double metres_per_mm = 1e-3;
    JointType type;
    type.name = name;
    type.bedding = optional_word(catalogue, base + "bedding");
    type.cap = optional_word(catalogue, base + "cap");
    type.profile = optional_word(catalogue, base + "profile");
    type.bead_width = catalogue.number(base + "bead_width") * metres_per_mm;
    type.bead_thickness = catalogue.number(base + "bead_thickness") * metres_per_mm;
    type.screw_spacing = catalogue.number(base + "screw_spacing") * metres_per_mm;
    type.consequence = static_cast<int>(catalogue.number(base + "consequence"));
    type.open_edge = answer(catalogue, base + "open_edge", {"bottom", "ends", "none", "all"});
    type.never_seal = answer(catalogue, base + "never_seal", {"yes", "no"}) == "yes";
    type.never_seal_reason = optional_word(catalogue, base + "never_seal_reason");
    const std::string& cautions = catalogue.word(base + "cautions");
    for (std::size_t at = 0; at < cautions.size();) {
        const std::size_t end = std::min(cautions.find(' ', at), cautions.size());
        std::string caution = cautions.substr(at, end - at);
        if (!caution.empty() && caution != "none") type.cautions.push_back(std::move(caution));
        at = end + 1;
    }
    return type;
}

std::vector<std::string> joint_type_names(const Catalogue& catalogue) { return catalogue.names("joint_type"); }

Finish finish(const Catalogue& catalogue, const std::string& name) {
    detail::require_name(catalogue, "finish", name, "finish");
    const std::string base = "finish/" + name + "/";
    return {name, catalogue.number(base + "absorptance"), catalogue.number(base + "emittance")};
}

std::string compatibility(const Catalogue& catalogue, const std::string& family, const std::string& substrate) {
    detail::require_name(catalogue, "compatibility/new", family, "family");
    detail::require_name(catalogue, "substrate", substrate, "substrate");
    return answer(catalogue, "compatibility/new/" + family + "/" + substrate, {"ok", "test", "never"});
}

std::string compatibility_over(const Catalogue& catalogue, const std::string& family, const std::string& old_family) {
    detail::require_name(catalogue, "compatibility/over", family, "family");
    detail::require_name(catalogue, "sealant", old_family, "old family");
    return answer(catalogue, "compatibility/over/" + family + "/" + old_family, {"ok", "test", "strip", "never"});
}

}  // namespace libseal
