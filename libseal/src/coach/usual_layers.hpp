#pragma once
// What a joint of a type is usually made of, for layouts and for files that leave it out.

#include "libseal/catalogue/joint_type.hpp"
#include "libseal/coach/joint.hpp"

namespace libseal::detail {

/// Layers of a type, bedding first, fitted in the interval.
std::vector<Layer> usual_layers(const JointType& type, Date from, Date to);
/// Bead of a type; no profile where it is never sealed.
Bead usual_bead(const JointType& type);

}  // namespace libseal::detail
