#include "libseal/catalogue/joint_type.hpp"

#include <algorithm>

#include "catalogue/names.hpp"
#include "catalogue/tables.hpp"

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

JointType read_joint_type(const Catalogue& catalogue, const std::string& name) {
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

std::string read_fit(const Catalogue& catalogue, const std::string& family, const std::string& substrate) {
    detail::require_name(catalogue, "compatibility/new", family, "family");
    detail::require_name(catalogue, "substrate", substrate, "substrate");
    return answer(catalogue, "compatibility/new/" + family + "/" + substrate, {"ok", "test", "never"});
}

std::string read_fit_over(const Catalogue& catalogue, const std::string& family, const std::string& old_family) {
    detail::require_name(catalogue, "compatibility/over", family, "family");
    detail::require_name(catalogue, "sealant", old_family, "old family");
    return answer(catalogue, "compatibility/over/" + family + "/" + old_family, {"ok", "test", "strip", "never"});
}

struct JointTypes {
    explicit JointTypes(const Catalogue& catalogue)
        : by_name(detail::read_by_name(joint_type_names(catalogue), [&](const std::string& name) { return read_joint_type(catalogue, name); })) {}
    detail::ByName<JointType> by_name;
};

/// How families take to what is there, by new family, then by what is there.
struct Fits {
    explicit Fits(const Catalogue& catalogue)
        : on(pairs(catalogue.names("compatibility/new"), catalogue.names("substrate"),
                   [&](const std::string& family, const std::string& what) { return read_fit(catalogue, family, what); })),
          over(pairs(catalogue.names("compatibility/over"), catalogue.names("sealant"),
                     [&](const std::string& family, const std::string& what) { return read_fit_over(catalogue, family, what); })) {}

    using Pairs = detail::ByName<detail::ByName<std::string>>;
    template <class Read>
    static Pairs pairs(const std::vector<std::string>& families, const std::vector<std::string>& others, const Read& read) {
        return detail::read_by_name(families, [&](const std::string& family) {
            return detail::read_by_name(others, [&](const std::string& other) { return read(family, other); });
        });
    }
    template <class Read>
    static const std::string& fit(const Pairs& pairs, std::string_view family, std::string_view other, const Read& read) {
        static const detail::ByName<std::string> none;
        const auto found = pairs.find(family);
        return detail::value_of(found == pairs.end() ? none : found->second, other, read);
    }
    Pairs on, over;
};

}  // namespace

const JointType& joint_type(const Catalogue& catalogue, std::string_view name) {
    return detail::value_of(catalogue.derived<JointTypes>().by_name, name, [&] { read_joint_type(catalogue, std::string(name)); });
}

std::vector<std::string> joint_type_names(const Catalogue& catalogue) { return catalogue.names("joint_type"); }

Finish finish(const Catalogue& catalogue, const std::string& name) {
    detail::require_name(catalogue, "finish", name, "finish");
    const std::string base = "finish/" + name + "/";
    return {name, catalogue.number(base + "absorptance"), catalogue.number(base + "emittance")};
}

const std::string& compatibility(const Catalogue& catalogue, std::string_view family, std::string_view substrate) {
    return Fits::fit(catalogue.derived<Fits>().on, family, substrate, [&] { read_fit(catalogue, std::string(family), std::string(substrate)); });
}

const std::string& compatibility_over(const Catalogue& catalogue, std::string_view family, std::string_view old_family) {
    return Fits::fit(catalogue.derived<Fits>().over, family, old_family, [&] { read_fit_over(catalogue, std::string(family), std::string(old_family)); });
}

}  // namespace libseal
