#include "libseal/work/choose.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "libseal/catalogue/sealant.hpp"
#include "libseal/core/error.hpp"
#include "survey/size_class.hpp"
#include "work/families.hpp"
#include "work/planning.hpp"

namespace libseal {
namespace {

bool has(const std::vector<std::string>& list, const std::string& name) {
    return std::find(list.begin(), list.end(), name) != list.end();
}

bool seen(const JointState& state, const std::string& sign) {
    return std::any_of(state.findings.begin(), state.findings.end(),
                       [&](const Finding& f) { return f.sign == sign; });
}

std::string listed(const std::vector<std::string>& names) {
    std::string text;
    for (const auto& name : names) text += (text.empty() ? "" : ", ") + name;
    return text;
}

/// The state without what was looked for and not there; nothing if all of it is there.
std::optional<JointState> without_absent(const JointState& state, const Catalogue& catalogue) {
    const auto absent = [&](const Finding& f) { return !detail::is_there(f, catalogue); };
    if (std::none_of(state.findings.begin(), state.findings.end(), absent)) return std::nullopt;
    JointState left = state;
    std::erase_if(left.findings, absent);
    return left;
}

void check_wanted(const JointState& state, const JointType& type, const Catalogue& catalogue) {
    const Joint& joint = *state.joint;
    const std::string field = "families." + joint.id;
    if (type.never_seal)
        throw_value_error(field, "no sealant on a " + type.name + ": " + type.never_seal_reason,
                          state.wanted_family, "clean_and_condition or replace_part instead");
    const auto allowed = allowed_families(joint, *state.surface, catalogue, state.roof_slope);
    const std::string names = listed(allowed);
    if (const std::string bad = detail::impossible_on(state.wanted_family, joint, catalogue); !bad.empty())
        throw_value_error(field, "a family that may go on " + bad, state.wanted_family,
                          "choose from " + names);
    if (sealant(catalogue, state.wanted_family).levels_itself && !detail::is_level(*state.surface, state.roof_slope, catalogue))
        throw_value_error(field, "a family that does not run on the " + state.surface->name,
                          state.wanted_family, "choose from " + names);
    if (!has(allowed, state.wanted_family))
        throw_value_error(field, "a sealant for beads", state.wanted_family, "choose from " + names);
}

/// Layers other than bead and bedding that are due or seen to have failed.
std::string failed_part_layer(const JointState& state) {
    for (const auto& layer : state.due)
        if (layer != "cap_bead" && layer != "bedding") return layer;
    const auto layer_named = [&](std::initializer_list<const char*> kinds) -> std::string {
        for (const char* kind : kinds)
            if (layer_of(*state.joint, kind)) return kind;
        return "";
    };
    if (seen(state, "insert_short") || seen(state, "insert_out_of_track")) return "insert";
    if (seen(state, "gasket_torn") || (state.grade.cap >= 3 && (seen(state, "gasket_set") || seen(state, "gasket_puckered"))))
        return layer_named({"gasket", "bulb_seal", "wiper_seal"});
    return "";
}

/// Was anything seen that speaks of the bead itself, not of an insert, a gasket, a screw, a part or water?
bool bead_seen(const JointState& state, const Catalogue& catalogue) {
    static const std::vector<std::string> others{"inserts_and_seals", "fasteners_and_rails", "parts", "water_marks", "look"};
    return std::any_of(state.findings.begin(), state.findings.end(), [&](const Finding& f) {
        return !has(others, catalogue.word("grade/sign/" + f.sign + "/group"));
    });
}

std::string because(const JointState& state, const std::string& layer) {
    std::string text;
    for (const auto& reason : state.grade.reasons) text += (text.empty() ? "" : "; ") + reason;
    if (has(state.due, layer))
        text += (text.empty() ? "" : "; ") +
                ("the forecast has the " + detail::plain_words(layer) + " due by " + to_text(state.due_date));
    return text;
}

/// Places that are never sealed: clean them, or give them a new part.
Choice choose_unsealed(const JointState& state, const JointType& type, const Catalogue& catalogue) {
    Choice choice;
    const Joint& joint = *state.joint;
    choice.layer = joint.layers.empty() ? "" : joint.layers.front().kind;
    const std::string failed = failed_part_layer(state);
    const int worst = std::max(state.grade.cap, state.grade.bedding);
    if (!failed.empty() || worst >= 4 || asks_for(state.findings, "replace_part", catalogue)) {
        choice.action = "replace_part";
        if (!failed.empty()) choice.layer = failed;
        if (!choice.layer.empty()) choice.renewed = {choice.layer};
    } else if (asks_for(state.findings, "refasten_and_seal", catalogue)) {
        choice.action = "refasten_and_seal";  // without a bead: the screws alone
    } else if (worst >= 1) {
        choice.action = "clean_and_condition";
    } else {
        choice.action = "monitor";
    }
    choice.reason = because(state, choice.layer);
    if (worst >= 3 || !failed.empty())
        choice.refused = "no sealant here: " + type.never_seal_reason + "; " + choice.action + " instead";
    return choice;
}

/// A temporary cover where beads may not be laid now and water has a way in.
Choice choose_cover(JointState state, const Catalogue& catalogue) {
    Choice choice;
    const std::string no_sealing = state.no_sealing;
    state.sealing_allowed = true;
    choice.follow_up = choose_action(state, catalogue).action;
    choice.action = "temporary_cover";
    choice.layer = layer_of(*state.joint, "cap_bead") ? "cap_bead" : "bedding";
    choice.reason =
        because(state, choice.layer) + "; " + no_sealing + ": covered until it can be sealed";
    choice.refused = "a lasting repair now: " + no_sealing;
    return choice;
}

/// 0 nothing, 1 spots, 2 over the old bead, 3 cut out, 4 re-bed.
int needed_depth(const JointState& state, const JointType& type, const Catalogue& catalogue) {
    Grade grade = state.grade;
    if (!bead_seen(state, catalogue)) grade.cap = std::min(grade.cap, 2);
    const bool has_bedding = layer_of(*state.joint, "bedding") != nullptr;
    int depth = 0;
    if (grade.cap == 3) {
        double share = 0;
        bool known = true;
        for (const auto& f : state.findings) {
            if (f.sign == "clean_look" || f.sign == "not_inspected") continue;
            known = known && !std::isnan(f.share);
            share = std::max(share, f.share);
        }
        depth = known && share <= catalogue.number("action/touch_up/largest_share") ? 1 : 2;
    }
    if (has(state.due, "cap_bead")) depth = std::max(depth, 2);
    if (grade.cap == 4 || seen(state, "edge_lift") || seen(state, "soft_or_reverted") ||
        seen(state, "hardened"))
        if (grade.cap >= 3) depth = std::max(depth, 3);
    if (grade.open_path == OpenPath::yes) depth = std::max(depth, 3);
    if (grade.cap >= 5) depth = std::max(depth, has_bedding && grade.bedding < 0 ? 4 : 3);
    if (has_bedding && (grade.bedding >= 3 || has(state.due, "bedding") || seen(state, "part_off_surface") ||
                        asks_for(state.findings, "rebed", catalogue)))
        depth = 4;
    if (type.profile.empty() && depth > 0 && depth < 4) depth = 0;
    return depth;
}

/// Family for the new bead: the user's, or the best that goes on the joint.
std::string bead_family(const JointState& state, const Catalogue& catalogue) {
    if (!state.wanted_family.empty()) return state.wanted_family;
    const std::string best = detail::best_family(*state.joint, *state.surface, catalogue, state.roof_slope);
    if (best.empty())
        throw_value_error("joint " + state.joint->id,
                          "a sealant that goes on " + listed(state.joint->substrates), "none",
                          "check the substrates of the joint, or cover_with_tape");
    return best;
}

/// Why no bead may go over the old one, "" if it may.
std::string not_over(const Choice& choice, const JointState& state, const std::string& old, int depth, const Catalogue& catalogue) {
    if (choice.residue) return choice.family + " over silicone residue or an unknown product";
    if (old.empty()) return choice.family + " over no bead";
    if (compatibility_over(catalogue, choice.family, old) != "ok") return choice.family + " over " + old;
    if (depth < 2) return "";
    if (state.beads > catalogue.number("action/reseal_over/most_beads"))
        return std::to_string(state.beads) + " beads lie over each other, no thickness is left";
    for (const auto& finding : state.findings)
        if ((finding.sign == "chalking" || finding.sign == "dirt_pick_up") &&
            detail::size_class(finding, catalogue) >= catalogue.number("action/reseal_over/dirt_from"))
            return "a new bead over " + detail::plain_words(finding.sign) + " that does not wash off";
    return "";
}

/// A straight flat seam without a part, on which a tape holds: bridged instead of cut out.
bool tape_bridges(const JointState& state, const Catalogue& catalogue) {
    const Joint& joint = *state.joint;
    const auto types = detail::listed_words(catalogue, "action/cover_with_tape/joint_types");
    const std::string old = detail::old_family(joint);
    if (!has(types, joint.type) || !joint.part.empty() || joint.path.size() > 2) return false;
    if (detail::is_silicone(old) || old == "unknown" || old == "asphalt_or_roof_coating" || seen(state, "silicone_residue")) return false;
    return state.wanted_family.empty() && detail::impossible_on("seam_tape", joint, catalogue).empty();
}

void fill_bead(Choice& choice, const JointState& state, int depth, const Catalogue& catalogue) {
    const Joint& joint = *state.joint;
    choice.layer = depth == 4 ? "bedding" : "cap_bead";
    const std::string old = detail::old_family(joint);
    choice.residue = detail::is_silicone(old) || old == "unknown" || seen(state, "silicone_residue");
    if (layer_of(joint, "cap_bead") || depth < 4) choice.family = bead_family(state, catalogue);
    // Over an old bead only where the families are known to take to each other; else the old one comes off.
    if (const std::string why = depth < 3 ? not_over(choice, state, old, depth, catalogue) : ""; !why.empty()) {
        choice.refused = std::string(depth == 1 ? "touch_up" : "reseal_over") + ": " + why + "; cut out instead";
        depth = 3;
    }
    static const char* actions[] = {"monitor", "touch_up", "reseal_over", "cut_out_and_reseal", "rebed"};
    choice.action = actions[depth];
    if (depth == 4) {
        const Layer* bedding = layer_of(joint, "bedding");
        const std::string usual = joint_type(catalogue, joint.type).bedding;
        choice.bedding = !usual.empty() && detail::impossible_on(usual, joint, catalogue).empty() ? usual
                         : bedding                                                        ? bedding->family
                                                                                          : "butyl_tape";
        choice.renewed = {"bedding"};
        if (layer_of(joint, "insert")) choice.renewed.push_back("insert");
    }
    if (!choice.family.empty() && depth >= 2) choice.renewed.push_back("cap_bead");
    choice.reason = because(state, choice.layer);
    if (choice.reason.empty()) choice.reason = because(state, "cap_bead");
}

}  // namespace

bool asks_for(const std::vector<Finding>& findings, const std::string& action, const Catalogue& catalogue) {
    return std::any_of(findings.begin(), findings.end(), [&](const Finding& f) {
        const std::string sign = "grade/sign/" + f.sign + "/";
        return catalogue.has(sign + "action") && catalogue.word(sign + "action") == action && f.size != "none" &&
               detail::size_class(f, catalogue) >= catalogue.number(sign + "act_from");
    });
}

namespace {

std::string first_layer(const Joint& joint) { return joint.layers.empty() ? "" : joint.layers.front().kind; }

Choice choose_survey(const JointState& state) {
    Choice choice;
    choice.action = "damage_survey";
    choice.layer = first_layer(*state.joint);
    choice.reason = because(state, choice.layer) + "; damage is looked into and dried before anything is closed";
    choice.refused = "sealing before the damage survey";
    return choice;
}

/// A layer that is a part has failed, or a part is broken: it is replaced, or covered by tape, with the bead over it.
Choice choose_part(const JointState& state, const std::string& failed, bool bead, int depth, const Catalogue& catalogue) {
    Choice choice;
    // A whole new part goes on new bedding, not on what the old one left.
    const bool bedded = bead && failed.empty() && layer_of(*state.joint, "bedding");
    if (bead) fill_bead(choice, state, bedded ? 4 : std::max(depth, 3), catalogue);
    choice.action = failed == "cover_tape" ? "cover_with_tape" : "replace_part";
    choice.layer = !failed.empty() ? failed : bedded ? "bedding" : "cap_bead";
    choice.reason = because(state, choice.layer);
    if (!failed.empty()) choice.renewed.insert(choice.renewed.begin(), failed);
    return choice;
}

Choice choose_fastening(const JointState& state, bool bead, const Catalogue& catalogue) {
    Choice choice;
    choice.layer = first_layer(*state.joint);
    choice.reason = because(state, choice.layer);
    if (bead) fill_bead(choice, state, 3, catalogue);
    choice.action = "refasten_and_seal";
    return choice;
}

Choice choose_tape(const JointState& state, int depth) {
    Choice choice;
    choice.action = "cover_with_tape";
    choice.layer = depth == 4 ? "bedding" : "cap_bead";
    choice.renewed = {layer_of(*state.joint, "cover_tape") ? "cover_tape" : "cap_bead"};
    choice.reason = because(state, choice.layer);
    return choice;
}

/// No bead is due: a new part where it is bad all the same, care of a gasket, or nothing.
Choice choose_care(const JointState& state, bool bead, const Catalogue& catalogue) {
    Choice choice;
    choice.layer = first_layer(*state.joint);
    if (state.grade.worst() >= 3) {
        if (bead) return choose_part(state, "", true, 0, catalogue);  // a part that comes off takes its bead along
        choice.action = "replace_part";
        if (!choice.layer.empty()) choice.renewed = {choice.layer};
        choice.reason = because(state, choice.layer);
        return choice;
    }
    for (const char* kind : {"gasket", "bulb_seal", "wiper_seal"})
        if (layer_of(*state.joint, kind) && state.grade.worst() >= 1 && (seen(state, "gasket_set") || seen(state, "gasket_puckered"))) {
            choice.action = "clean_and_condition";
            choice.layer = kind;
            choice.reason = because(state, kind);
            return choice;
        }
    choice.action = "monitor";
    choice.reason = state.grade.inspected ? because(state, choice.layer) : "nothing seen and nothing due";
    return choice;
}

}  // namespace

Choice choose_action(const JointState& state, const Catalogue& catalogue) {
    if (const auto left = without_absent(state, catalogue)) return choose_action(*left, catalogue);
    const JointType& type = joint_type(catalogue, state.joint->type);
    if (!state.wanted_family.empty()) check_wanted(state, type, catalogue);
    if (state.grade.damage >= 1) return choose_survey(state);
    if (type.never_seal) return choose_unsealed(state, type, catalogue);
    const bool way_in = state.grade.open_path == OpenPath::yes || std::max(state.grade.cap, state.grade.hardware) >= 5;
    if (!state.sealing_allowed && way_in) return choose_cover(state, catalogue);

    const int depth = needed_depth(state, type, catalogue);
    const std::string failed = failed_part_layer(state);
    const bool broken = asks_for(state.findings, "replace_part", catalogue), has_bead = !type.profile.empty();
    if (depth < 4 && (!failed.empty() || broken)) return choose_part(state, failed, has_bead && (depth >= 2 || broken), depth, catalogue);
    if (depth < 4 && asks_for(state.findings, "refasten_and_seal", catalogue)) return choose_fastening(state, has_bead, catalogue);
    if (depth >= 3 && tape_bridges(state, catalogue)) return choose_tape(state, depth);
    if (depth == 0) return choose_care(state, has_bead, catalogue);
    Choice choice;
    fill_bead(choice, state, depth, catalogue);
    return choice;
}

std::vector<Choice> possible_actions(const JointState& state, const Catalogue& catalogue) {
    if (const auto left = without_absent(state, catalogue)) return possible_actions(*left, catalogue);
    std::vector<Choice> choices{choose_action(state, catalogue)};
    const std::string first = choices.front().action;
    const JointType& type = joint_type(catalogue, state.joint->type);
    if (first == "monitor" || first == "temporary_cover" || first == "damage_survey" || type.never_seal) return choices;
    static const std::vector<std::string> depths{"", "touch_up", "reseal_over", "cut_out_and_reseal", "rebed"};
    const int from = static_cast<int>(std::find(depths.begin(), depths.end(), first) - depths.begin());
    const bool bedded = layer_of(*state.joint, "bedding") != nullptr;
    for (int depth = std::max(from + 1, 2); from < 5 && depth <= (bedded ? 4 : 3); ++depth) {
        Choice more;
        fill_bead(more, state, depth, catalogue);
        if (more.action != depths[static_cast<std::size_t>(depth)]) continue;  // no bead may go over the old one
        choices.push_back(std::move(more));
    }
    if (state.grade.open_path == OpenPath::yes || state.grade.worst() >= 4) {
        Choice cover;
        cover.action = "temporary_cover";
        cover.layer = choices.front().layer;
        cover.reason = "until the lasting repair";
        cover.follow_up = first;
        choices.push_back(std::move(cover));
    }
    return choices;
}

}  // namespace libseal
