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
struct Cost {
    Money low = 0;
    Money mode = 0;
    Money high = 0;
};

/// One step of the work: a node of the order.
struct Step {
    std::string id;        ///< "JOINT/cap", or "visit/isolate" for the whole job; unique within a plan
    std::string kind;      ///< step of the word list
    int task = -1;         ///< index into the plan's tasks; -1 for the whole job
    std::string joint;     ///< "" for the whole job
    std::string surface;   ///< "" for the whole job
    std::string slide;     ///< slide-out it is about, "" for none
    std::string slide_state;  ///< "out", "in" or "" (either)
    Minutes minutes;       ///< of work; 0 for marks in time such as the end of a cure
    int people = 1;        ///< at the same time; 0 for marks in time
    bool unbroken = false; ///< not over a break of the working day, if it fits into one
    bool weather = false;  ///< outdoors it needs the sealing weather of its family
    std::string family;    ///< material laid, "" for none
    std::vector<std::string> cautions;  ///< ids in the catalogue
    std::string note;      ///< in words, what to mind
};

/// The steps of one task, in the order of the inside of a joint.
/// @param task  Index that the steps carry.
std::vector<Step> steps_for(const Choice& choice, const Joint& joint, const Catalogue& catalogue, int task);

/// Smallest part of a joint that a touch-up covers, from the shares of its findings. [-], 0 to 1
double touched_share(const Joint& joint, const std::vector<Finding>& findings);

/// Steps of the word list.
const std::vector<std::string>& step_names();

}  // namespace libseal
