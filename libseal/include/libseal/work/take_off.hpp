#pragma once
// How much material: wet volume of beads, packages, tape, what they cost.

#include <string>
#include <vector>

#include "libseal/catalogue/joint_type.hpp"
#include "libseal/catalogue/sealant.hpp"
#include "libseal/coach/coach.hpp"
#include "libseal/work/shop.hpp"

namespace libseal {

/// Material of one family over a whole plan.
struct Material {
    std::string family;
    double volume_ml = 0;     ///< wet volume without waste [mL]; 0 for tapes and profiles
    double length_m = 0;      ///< of bead, tape or profile, without waste [m]
    double waste_percent = 0; ///< [%]
    double ordered = 0;       ///< with waste, overlaps and ends, before it is rounded to packages [mL], or [m]
    double package_size = 0;  ///< [mL], or [m] for tapes and profiles
    int packages = 0;         ///< whole packages, waste included
    bool priced = false;      ///< the shop gives a price
    Money cost = 0;           ///< of whole packages; 0 without a price
};

/// Small things that a plan uses up.
struct Supply {
    std::string name;         ///< "stainless_screws", "wipes", "masking_tape", "gloves", "blades"
    double amount = 0;        ///< spares included [as `unit` says]
    std::string unit;         ///< "each", "pair" or "m"
};

/// Wet volume of a bead [mL]: its cross-section [mm2] is its volume per metre [mL/m].
///
/// @param bead    Strip (width x thickness) or fillet (leg squared over two).
/// @param length  [m], >= 0.
/// @source  Identity of mm2 and mL/m; see the printed yields in tests/work.
double bead_volume_ml(const Bead& bead, double length);

/// Whole packages for a wet volume or length with waste. 0 for none.
/// @param amount  [mL] or [m], >= 0.  @param package  [mL] or [m], > 0.  @param waste_percent  [%], >= 0.
int packages_for(double amount, double package, double waste_percent);

/// Cross-section of a profile [mm2], which is its volume [mL/m].
///
/// @param profile  "rectangle" (a wide, b deep), "fillet" (legs a and b), "strip" (a wide, b thick), "half_round" and "full_round"
///                 (a across), "hour_glass" (a rectangle with both faces tooled hollow).
/// @param a, b     [mm], >= 0; b is not looked at for the rounds.
/// @throws ValueError  unknown profile (nearest name).
/// @source  Geometry; the hour-glass share "take_off/hour_glass_share" is judgement.
double profile_section_mm2(const std::string& profile, double a, double b, const Catalogue& catalogue);

/// Metres of bead that a package gives. [m]
/// @param package_ml  [mL], > 0.  @param section_mm2  [mm2], > 0.  @param waste_percent  [%], >= 0, on top of what is laid.
double yield_m(double package_ml, double section_mm2, double waste_percent = 0);

/// Refuses a stated yield that volume does not bear out, such as a printed chart.
/// @param stated_m  [m] per package.  @param package_ml  [mL], > 0.  @param section_mm2  [mm2], > 0.
/// @throws ValueError  off by more than "take_off/yield_tolerance", naming what the volume gives.
void check_yield(double stated_m, double package_ml, double section_mm2, const Catalogue& catalogue);

/// What is left of a wet volume or thickness after cure; beads that lose solvent shrink. [unit of `wet`]
/// @param wet  [any unit], >= 0.
double cured_amount(double wet, const Sealant& family);
/// What must be laid to leave so much after cure. [unit of `cured`] @param cured  [any unit], >= 0.
double wet_amount(double cured, const Sealant& family);

/// Butyl tape to order for one joint [m], before it is rounded to rolls: overlap where it closes, then waste.
/// @param length  [m], >= 0
double tape_length(double length, const Catalogue& catalogue);
/// Insert to order for one joint [m]: laid relaxed, and cut at both ends.  @param length  [m], >= 0
double insert_length(double length, const Catalogue& catalogue);
/// Cover tape to order for one joint [m]: past both ends, overlap at each join of rolls.  @param length, roll  [m]
double cover_tape_length(double length, double roll, const Catalogue& catalogue);
/// Screws of a joint: length over spacing and one, with spares on top. @param length  [m]  @param spacing  [m], > 0.
int screws_to_order(double length, double spacing, const Catalogue& catalogue);

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
