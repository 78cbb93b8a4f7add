#pragma once
// From findings to looks: what each day's findings say of each layer, of the appearance, and of water behind the joint.

#include <map>
#include <string>
#include <utility>
#include <vector>

#include "libseal/catalogue/catalogue.hpp"
#include "libseal/coach/coach.hpp"
#include "libseal/forecast/belief.hpp"
#include "libseal/survey/finding.hpp"

namespace libseal::detail {

/// A moisture pair: reading at the joint minus reading at a dry spot.
struct WetLook {
    Date date{};
    double difference = 0;  ///< [% wood scale]
};

/// A sign of water at the joint, seen or looked for and not there, with the chance of that if the joint lets water in and if it does not.
struct WaterLook {
    Date date{};
    double if_open = 1;    ///< [-]
    double if_closed = 1;  ///< [-]
};

/// All that was seen of one joint, each list in order of date.
struct JointLooks {
    std::map<std::string, std::vector<Look>> layers;  ///< by kind of layer
    std::vector<Look> appearance;                     ///< grades of the appearance, at most 2
    std::vector<WetLook> wet;
    std::vector<WaterLook> water;  ///< each sign once until work is done: a stain that stays says nothing new
    bool contradicts = false;  ///< a grade fell without work in between
};

/// The layer that sun and rain reach first; nullptr without layers.
const Layer* outermost_layer(const Joint& joint);

/// Looks by (coach, joint).
using FleetLooks = std::map<std::pair<std::string, std::string>, JointLooks>;

/// @param look_noise  Sd of a look by inspector [grades]; others have the noise of the scale.
/// @param findings    Of coaches that are not in the fleet are left out.
/// @param work        Grades may fall across its days.
/// @param threads     0: one per processor; no result depends on it.
FleetLooks looks_of_fleet(const std::vector<Finding>& findings, const Fleet& fleet, const Catalogue& catalogue, const GradeScale& scale,
                          const std::map<std::string, double>& look_noise, const std::vector<WorkDone>& work, int threads);

}  // namespace libseal::detail
