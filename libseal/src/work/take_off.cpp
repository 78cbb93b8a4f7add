#include "libseal/work/take_off.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "libseal/core/require.hpp"

namespace libseal {

double bead_volume_ml(const Bead& bead, double length) {
    return bead_section_mm2(bead) * require_not_negative(length, "length");
}

int packages_for(double amount, double package, double waste_percent) {
    require_not_negative(amount, "amount");
    require_positive(package, "package");
    require_not_negative(waste_percent, "waste_percent");
    // A hair below, so that 10 packages worth of material is not counted as 11 for a rounding error.
    return static_cast<int>(std::ceil(amount * (1 + waste_percent / 100) / package - 1e-9));
}

Bead bead_of(const Joint& joint, const JointType& type) {
    if (!joint.bead.profile.empty()) return joint.bead;
    return {type.profile, type.bead_width, type.bead_thickness};
}

double cure_depth_mm(const Bead& bead) {
    if (bead.profile.empty()) return 0;
    return bead.thickness * 1000 / (bead.profile == "fillet" ? std::numbers::sqrt2 : 1.0);
}

double cure_minutes(double rate, double depth_mm, double temperature) {
    require_positive(rate, "rate");
    require_not_negative(depth_mm, "depth_mm");
    require_between(temperature, -12, 60, "temperature");  // below, cure all but stops
    const double at_23 = depth_mm / rate;
    return at_23 * at_23 * std::pow(1.75, (23 - temperature) / 10) * 1440;
}

}  // namespace libseal
