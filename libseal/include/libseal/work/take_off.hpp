#pragma once
// How much material: wet volume of beads, packages, tape, what they cost.

#include <string>
#include <vector>

#include "libseal/catalogue/joint_type.hpp"
#include "libseal/coach/coach.hpp"
#include "libseal/work/shop.hpp"

namespace libseal {

/// Material of one family over a whole plan.
struct Material {
    std::string family;
    double volume_ml = 0;     ///< wet volume without waste [mL]; 0 for tapes and profiles
    double length_m = 0;      ///< of bead, tape or profile, without waste [m]
    double waste_percent = 0; ///< [%]
    double package_size = 0;  ///< [mL], or [m] for tapes and profiles
    int packages = 0;         ///< whole packages, waste included
    bool priced = false;      ///< the shop gives a price
    Money cost = 0;           ///< of whole packages; 0 without a price
};

/// Wet volume of a bead [mL]: its cross-section [mm2] is its volume per metre [mL/m].
///
/// @param bead    Strip (width x thickness) or fillet (leg squared over two).
/// @param length  [m], >= 0.
/// @source  Identity of mm2 and mL/m; see the printed yields in tests/work.
double bead_volume_ml(const Bead& bead, double length);

/// Whole packages for a wet volume or length with waste. 0 for none.
/// @param amount  [mL] or [m], >= 0.  @param package  same unit, > 0.  @param waste_percent  [%], >= 0.
int packages_for(double amount, double package, double waste_percent);

/// Bead of a joint, or the usual one of its type where the joint does not say.
Bead bead_of(const Joint& joint, const JointType& type);

/// Depth that must cure through: thickness of a strip, throat (leg / sqrt 2) of a fillet. [mm]
double cure_depth_mm(const Bead& bead);

/// Time to cure through, one open face: (depth / k)^2 days, k scaled by temperature with a factor 1.5 to 2 per 10 K.
///
/// @param rate         k at 23 degC [mm/d^0.5], > 0.  @param depth_mm  [mm], >= 0.
/// @param temperature  of the bay [degC].
/// @return  [min]
/// @source  Square-root law of moisture cure, common practice; temperature factor sqrt(1.75) on k per 10 K, judgement.
double cure_minutes(double rate, double depth_mm, double temperature);

}  // namespace libseal
