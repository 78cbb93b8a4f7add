#include <algorithm>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "libseal/survey/finding.hpp"

namespace libseal {

const std::vector<std::string>& sign_names() {
    static const std::vector<std::string> names = {
        "yellowing", "chalking", "dirt_pick_up", "skin_cracks",                                            // surface
        "deep_crack", "void", "edge_lift", "gap", "corner_loose", "worn_thin", "missing",                  // bead
        "soft_or_reverted", "wrinkled",                                                                    //
        "bedding_squeezed_out", "bedding_shrunk",                                                          // bedding
        "insert_short", "insert_out_of_track", "gasket_puckered", "gasket_set", "gasket_torn",             // profiles
        "fastener_loose", "fastener_missing", "fasteners_far_apart", "part_off_surface",                   // fixing
        "cord_out_of_rail", "latch_or_handle_loose",                                                       //
        "part_cracked", "part_missing", "sealed_shut",                                                     // parts
        "dirt_run", "rust_run", "stain", "fogged_lens",                                                    // water
        "soft_substrate", "delaminated",                                                                   // structure
        "silicone_residue", "hardened",                                                                    // material
        "clean_look", "not_inspected"};
    return names;
}

const std::vector<std::string>& sign_groups() {
    static const std::vector<std::string> groups = {
        "surface_ageing",     "cracks_and_voids", "loss_of_bond", "wear_and_absence", "bedding",  "inserts_and_seals",
        "fasteners_and_rails", "parts",           "water_marks",  "structure",        "material", "look"};
    return groups;
}

std::vector<std::string> signs_of_group(const std::string& group, const Catalogue& catalogue) {
    const auto& groups = sign_groups();
    if (std::find(groups.begin(), groups.end(), group) == groups.end()) {
        const std::string near = nearest_name(group, groups);
        throw_value_error("group", "a group of signs", "\"" + group + "\"", near.empty() ? "" : "did you mean \"" + near + "\"?");
    }
    std::vector<std::string> signs;
    for (const auto& sign : sign_names())
        if (catalogue.word("grade/sign/" + sign + "/group") == group) signs.push_back(sign);
    return signs;
}

const std::vector<std::string>& action_names() {
    static const std::vector<std::string> names = {"monitor",       "clean_and_condition", "touch_up",          "reseal_over",
                                                   "cut_out_and_reseal", "rebed",          "refasten_and_seal", "replace_part",
                                                   "cover_with_tape",    "temporary_cover", "damage_survey"};
    return names;
}

}  // namespace libseal
