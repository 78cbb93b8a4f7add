#pragma once
// Which sealant families may go on a joint.

#include <string>

#include "libseal/work/choose.hpp"

namespace libseal::detail {

bool is_silicone(const std::string& family);
/// Level surfaces hold a sealant that levels itself; walls, caps and edges do not.
bool is_level(const Surface& surface, double roof_slope, const Catalogue& catalogue);
/// First substrate of the joint on which the family must not go, "" for none.
std::string impossible_on(const std::string& family, const Joint& joint, const Catalogue& catalogue);
/// Family of the old bead, "" without one.
std::string old_family(const Joint& joint);
/// The first of `allowed_families`, "" for none.
std::string best_family(const Joint& joint, const Surface& surface, const Catalogue& catalogue, double roof_slope);

}  // namespace libseal::detail
