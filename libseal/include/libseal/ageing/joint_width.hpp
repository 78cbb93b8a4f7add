#pragma once
// How far parts move, how that strains a joint, and how wide a joint must be.
// Lengths may be in any unit as long as it is one; strains are shares of the width.

namespace libseal {

/// Thermal movement of a part that nothing holds: expansion * length * temperature_change. Unit of length.
/// @param expansion  [1/K].  @param length  Across the joint. [unit of length], >= 0.  @param temperature_change  [K].
/// @throws ValueError  naming the argument.
/// @threads pure.
/// @source  ASTM C1472 (scope).
double free_movement(double expansion, double length, double temperature_change);

/// Movement of two parts against each other over a common length: |expansion_a - expansion_b| length |change|.
/// @param expansion_a, expansion_b  [1/K].  @param length  [unit of length], >= 0.  @param temperature_change  [K].
/// @throws ValueError  naming the argument.
/// @source  Difference of two `free_movement`.
double differential_movement(double expansion_a, double expansion_b, double length, double temperature_change);

/// The same with a length and a temperature change for each part.
/// @param expansion_a, expansion_b  [1/K].  @param length_a, length_b  [unit of length], >= 0.  @param change_a, change_b  [K].
/// @source  Difference of two `free_movement`.
double differential_movement(double expansion_a, double length_a, double change_a, double expansion_b, double length_b,
                             double change_b);

/// Width that a joint needs: (movement + other) / capability + tolerance.
///
/// @param movement    Thermal, from the set position. [unit of length], >= 0.
/// @param capability  Movement that the sealant bears either way, share of the width: 0.25 for +-25 %. [-], above 0, to 2.
/// @param other       Other movement (load, moisture). [unit of length], >= 0.
/// @param tolerance   Of building, added once and not multiplied. [unit of length], >= 0.
/// @throws ValueError  naming the argument; a capability of 25 is a percentage.
/// @threads pure.
/// @source  ASTM C1472; Ochshorn, Cornell ARCH 262 (2001-2005).
double joint_width(double movement, double capability, double other = 0, double tolerance = 0);

/// Strain of a bead between two faces that part by `opening` (< 0 close). [-]
/// @param width  As set. [unit of length], > 0.  @param opening  [unit of length]  @throws ValueError  naming the argument.
/// @source  Definition: opening over width.
double butt_strain(double width, double opening);

/// Strain of a bead between two faces that slide by `movement`: the longer diagonal over the width, less 1. [-], >= 0.
/// @param width  As set. [unit of length], > 0.  @param movement  [unit of length]  @throws ValueError  naming the argument.
/// @source  Sealant trade method: diagonal bond line by Pythagoras, compared with the tensile rating.
double shear_strain(double width, double movement);

/// Strain with opening and sliding together. [-]
/// @param width  As set. [unit of length], > 0.  @param opening  [unit of length], > -width.  @param shear  [unit of length]
/// @throws ValueError  naming the argument.
/// @source  Geometry: Pythagoras, as `shear_strain`.
double combined_strain(double width, double opening, double shear);

/// Sliding that a tensile strain allows, as a share of the width. [-]  @param strain  [-], >= 0.
/// @source  Inverse of `shear_strain`.
double shear_allowance(double strain);

/// Strain of a fillet: it bears movement like a rectangular joint as wide as the projection of its face on the skin. [-]
/// @param leg  Projection of the face on the skin. [unit of length], > 0.
/// @param opening  [unit of length], > -leg.  @param shear  [unit of length]
/// @throws ValueError  naming the argument.
/// @source  Myers, ASTM STP on building sealants (1990), fillet joints.
double fillet_strain(double leg, double opening, double shear = 0);

/// Strain at the free face of a bead of constant volume whose two faces hollow out as parabolas. [-]
/// @param depth_ratio  Depth over width. [-], > 0.  @param extension  Share of the width. [-], > -1.
/// @throws ValueError  naming the argument.
/// @source  Tons 1959; 550 % and 160 % for ratios 8 and 2: Handbook of Adhesives and Sealants, p. 119.
double bead_surface_strain(double depth_ratio, double extension);

/// Least width by the other convention: the whole movement between the extremes as a share of the width at its least.
/// Not to be mixed with the capability of `joint_width`, which is one-sided and on the width as set.
/// @param total_movement  Between the extremes. [unit of length], >= 0.  @param total_factor  [-], > 0, 0.30 for 30 %.
/// @throws ValueError  naming the argument.
/// @source  Definition of the total movement factor: whole movement over least width.
double minimum_width(double total_movement, double total_factor);

/// One-sided capability on the width in the middle of the travel that equals a total movement factor: f / (2 + f).
/// @param total_factor  [-], > 0.
/// @source  Follows from both definitions.
double capability_of_total_factor(double total_factor);

/// Its inverse: 2 c / (1 - c).  @param capability  [-], above 0, below 1.
/// @source  Follows from both definitions.
double total_factor_of_capability(double capability);

}  // namespace libseal
