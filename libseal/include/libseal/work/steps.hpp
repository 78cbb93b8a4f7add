#pragma once
// Actions become steps: what is done by hand, for how long, by how many.

#include <string>
#include <vector>

#include "libseal/work/choose.hpp"
#include "libseal/work/take_off.hpp"

namespace libseal {

/// Low, most likely and high value of the same quantity.
struct Minutes {
    double low = 0;   ///< [min]
    double mode = 0;  ///< [min]
    double high = 0;  ///< [min]
};
/// Low, most likely and high cost, in minor units of the currency.
struct Cost {
    Money low = 0;   ///< [minor units]
    Money mode = 0;  ///< most likely [minor units]
    Money high = 0;  ///< [minor units]
};

/// One step of the work: a node of the order.
struct Step {
    std::string id;        ///< "JOINT/cap", or "visit/isolate" for the whole job; unique within a plan
    std::string kind;      ///< step of the word list, or "stage": a mark that many steps wait for
    int task = -1;         ///< index into the plan's tasks; -1 for the whole job
    std::string joint;     ///< "" for the whole job
    std::string part;      ///< id of the part, for work on a part alone; else ""
    std::string surface;   ///< "" for the whole job
    std::string slide;     ///< slide-out it is about, "" for none
    std::string slide_state;  ///< "out", "in" or "" (either)
    Minutes minutes;       ///< clock time of all people together at it; 0 for marks in time such as the end of a cure
    int people = 1;        ///< at the same time; 0 for marks in time
    double wait = 0;       ///< elapsed time after the step before it in its joint: flash, cure [min]
    bool unbroken = false; ///< not over a break of the working day, if it fits into one
    std::string gate;      ///< weather that it needs outdoors: "wash", "bond", "coat", "climb", "test"; "" for none
    std::string reach;     ///< "ground", "ladder" or "roof": a ladder or platform set is held while people work there; "" for none
    std::vector<std::string> skills;  ///< each is held by somebody of the team, in the shop's words; empty: anybody
    std::vector<std::string> tools;   ///< by name, for the work order
    std::string family;    ///< material laid, "" for none
    std::vector<std::string> cautions;  ///< ids in the catalogue
    std::string note;      ///< in words, what to mind
};

/// What the minutes and waits of steps depend on besides the joint.
struct StepSettings {
    double temperature = 20;        ///< at which beads cure [degC]
    double longest_cure_wait = 72;  ///< that a coach may be held for a cure [h]
    double touched = 1;             ///< share of the joint that is worked on [-]
    double loose_screws = 0.1;      ///< share of screws to renew when refastening [-]
    int beads = 1;                  ///< that lie over each other; many take longer to strip
    bool part_is_off = false;       ///< work on another joint has taken the part off
    double roof_slope = 0;          ///< of roof and slide roofs [deg]
};

/// The steps of one task, in the order of the inside of a joint.
///
/// A bead that cures through within `longest_cure_wait` is waited for and tested with water. For others, such as those that lose
/// solvent for weeks, the wait ends when rain and the road are allowed, and the test is left to the next inspection.
/// @param task  Index that the steps carry.
std::vector<Step> steps_for(const Choice& choice, const Joint& joint, const Catalogue& catalogue, int task,
                            const StepSettings& settings = {});

/// The steps of work on a part alone, such as a latch, a rail or a way out that was sealed shut: no bead is touched.
/// @param part   May be null if the joint is there.
/// @param joint  Joint that seals the part, for its cautions; may be null.
std::vector<Step> part_steps(const std::string& action, const Part* part, const Joint* joint, const Catalogue& catalogue, int task);

/// Part of a joint that a touch-up covers: the sum of the shares that its findings give. [-], 0.02 to 1
double touched_share(const std::vector<Finding>& findings);

/// Steps of the word list.
const std::vector<std::string>& step_names();

}  // namespace libseal
