#pragma once
// Which action does a joint need, with which material, and why?

#include <string>
#include <vector>

#include "libseal/coach/coach.hpp"
#include "libseal/survey/finding.hpp"
#include "libseal/survey/urgency.hpp"

namespace libseal {

/// What is known of one joint when the action is chosen.
struct JointState {
    const Joint* joint = nullptr;
    const Surface* surface = nullptr;
    Grade grade;                        ///< of the newest look; `inspected` false without one
    std::vector<Finding> findings;      ///< of the newest look
    std::vector<std::string> due;       ///< kinds of layers that the forecast says are due, in order of the joint
    Date due_date{};                    ///< earliest due date among them
    bool sealing_allowed = true;        ///< season and closed days allow a bead
    std::string no_sealing;             ///< else why not
    std::string wanted_family;          ///< the user's choice, "" for ours
    int beads = 1;                      ///< that lie over each other: one, and one for each laid over it since it was cut out
    double roof_slope = 0;              ///< of the roof and slide roofs [deg], 0 to 90
};

/// An action with its reason.
struct Choice {
    std::string action;                 ///< one of the eleven of the word list
    std::string layer;                  ///< the layer that called for it
    std::vector<std::string> renewed;   ///< layers that get a new generation
    std::string family;                 ///< of the new bead, "" for none
    std::string bedding;                ///< family of the new bedding, "" for none
    bool residue = false;               ///< silicone or an unknown old product must come off first
    std::string reason;                 ///< in words
    std::string refused;                ///< what was asked for and may not be, and why; "" if nothing
    std::string follow_up{};            ///< lasting action that a temporary cover waits for; "" for other actions
};

/// Chooses the action for one joint.
///
/// @throws ValueError  if the user's family cannot go on a substrate of the joint, or the joint may never be sealed.
/// @source  Rules: common practice and judgement of this project; see docs/work.md.
/// @threads pure.
Choice choose_action(const JointState& state, const Catalogue& catalogue);

/// What may be done instead: the choice of `choose_action` first, then those that reach deeper and last longer, then a temporary
/// cover where water has a way in. Nothing that does less than what was seen asks for.
/// @throws ValueError  as `choose_action`.
std::vector<Choice> possible_actions(const JointState& state, const Catalogue& catalogue);

/// Does any sign ask for this action by itself, at the size it was found in? By "grade/sign/NAME/action" of the catalogue.
bool asks_for(const std::vector<Finding>& findings, const std::string& action, const Catalogue& catalogue);

/// Families that may seal this joint, best first: the present one, the usual one of the type, then by the catalogue.
/// Families that level themselves are left out where they run. Empty for places that are never sealed.
/// @param roof_slope  Of roof and slide roofs [deg]; other surfaces stand upright.
std::vector<std::string> allowed_families(const Joint& joint, const Surface& surface, const Catalogue& catalogue, double roof_slope = 0);

/// May a sealant that levels itself go on a slope? "free", "dammed" (or in two thin passes), "never".
/// @param slope  [deg], 0 to 90.
/// @source  Common practice, no source: "gate/self_levelling_slope..." of the catalogue.
std::string self_levelling(double slope, const Catalogue& catalogue);

}  // namespace libseal
