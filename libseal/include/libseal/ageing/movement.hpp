#pragma once
// How much warm and cold move a joint, and how much faster it ages for it.

#include <compare>
#include <optional>
#include <string>

#include "libseal/catalogue/catalogue.hpp"
#include "libseal/coach/coach.hpp"
#include "libseal/core/columns.hpp"

namespace libseal {

/// One of the two things that a joint ties together.
struct Adherend {
    double expansion = 0;       ///< linear thermal [1/K]
    double restraint = 0;       ///< length over which it moves freely against the other [m]
    double absorptance = 0.35;  ///< solar, of its outside [-]
    double emittance = 0.9;     ///< long-wave, of its outside [-]
    auto operator<=>(const Adherend&) const = default;
};

/// What decides the movement of one layer of a joint, apart from the weather.
struct JointMovement {
    std::string form;   ///< "strip", "fillet", "butt": opened and closed; "lap": sheared
    double width = 0;   ///< strip width, leg of a fillet, gap of a butt joint, thickness of a lap [m]
    Adherend a;         ///< the part: flange, rail, frame, dome
    Adherend b;         ///< what it sits on
    double across = 0;  ///< restraint of both in the second direction where the joint turns a corner; 0 without corners [m]
    auto operator<=>(const JointMovement&) const = default;
};

/// Where along a joint. A joint without corners moves the same everywhere.
enum class Corner {
    side,   ///< one direction moves
    corner  ///< both directions move: the layer follows the resultant of the two
};

struct MovementOptions {
    std::string layer;  ///< kind of layer; "" the outermost that seals: cap_bead, else bedding, else the first
    std::optional<double> screw_spacing;  ///< instead of the joint's own, for missing screws; 0 none hold [m]
};

/// Movement of a layer of a joint. A part that screws hold moves between them, never over more than its own size; a
/// floating part, or one whose screws are gone, moves over its whole length. The longer side of the part governs.
/// A membrane that is glued down moves as its deck.
/// @throws ValueError  unknown type, layer, substrate or finish; a screw spacing below 0.
/// @threads pure.
/// @source  joint_type/.../restraint, corners, strain_form and substrate/.../expansion of the catalogue.
JointMovement movement_of_joint(const Coach& coach, const Joint& joint, const Catalogue& catalogue = Catalogue::built_in(),
                                const MovementOptions& options = {});

/// Movement of the usual joint of a type: usual part, size, screws, finishes and families.
/// @param joint_type  Name of the type.  @param layer  As in MovementOptions.
/// @throws ValueError  unknown type or layer.
/// @threads pure.
JointMovement usual_movement(const std::string& joint_type, const Catalogue& catalogue = Catalogue::built_in(), const std::string& layer = "");

/// Movement of the two against each other as a share of the width, from the temperature at which the layer has set.
/// Signed: for "lap" the direction of sliding, else > 0 where the joint opens, which it does in the cold.
/// @param temperature_a, temperature_b  Of the two adherends, same length [degC].  @param set_temperature  [degC].
/// @return  [-], NaN where a temperature is NaN.
/// @throws ValueError  naming the argument.
/// @threads pure.
/// @source  Thermal expansion and restraint: joint_type/... and substrate/... of the catalogue.
Column relative_movement(const JointMovement& movement, ConstColumn temperature_a, ConstColumn temperature_b,
                         double set_temperature, Corner corner);

/// Strain of a relative movement: the same for "strip", "fillet" and "butt"; sqrt(1 + m^2) - 1 with the sign of m for
/// "lap", so that a swing through the set position stays one swing. [-]  @param relative_movement  [-]
/// @throws ValueError  unknown form.
/// @source  Geometry, as `butt_strain` and `shear_strain`.
double strain_of_movement(const std::string& form, double relative_movement);

/// Strain through the hours, same arguments as `relative_movement`. [-]
/// @param temperature_a, temperature_b, set_temperature  [degC]
/// @source  As `strain_of_movement`.
Column strain_series(const JointMovement& movement, ConstColumn temperature_a, ConstColumn temperature_b,
                     double set_temperature, Corner corner);

/// What a series of strain amounts to.
struct StrainSummary {
    double amplitude = 0;  ///< equivalent amplitude of the open swings, weighted by their duration [-]
    double largest = 0;    ///< largest strain from the set position, either way [-]
    double cycles = 0;     ///< all counted cycles, two open ones make one [-]
};

/// Equivalent amplitude (sum w e^d / sum w)^(1/d) of the half-cycles of a relative movement, w their duration and e the
/// strain of half their range. Half-cycles are the open swings that rainflow leaves: one after the other they cover the
/// series once, each the largest that holds its hours. Ripples closed inside them add no weight, so that they cannot
/// dilute the swing of the year. Cycles are counted on the movement, not on the strain, because shear strain forgets the
/// direction. Hours that are NaN are left out.
/// @param relative_movement  [-]  @param temperature_a, temperature_b, set_temperature  [degC]
/// @param exponent  d of the family's crack law [-], > 0.
/// @throws ValueError  naming the argument.
/// @threads pure.
/// @source  Mean by the power of the crack law (`movement_factor`); weights by duration: judgement of this project.
StrainSummary strain_summary(const std::string& form, ConstColumn relative_movement, double exponent);
StrainSummary strain_summary(const JointMovement& movement, ConstColumn temperature_a, ConstColumn temperature_b,
                             double set_temperature, Corner corner, double exponent);

/// Crack law of a family and the range of amplitudes that its tests cover.
struct MovementLaw {
    double b = 1;        ///< exponent of time [-]
    double c = 0;        ///< [1/percent^d]; 0: movement does not hurt
    double d = 1;        ///< exponent of amplitude [-]
    double low = 0.02;   ///< least amplitude with evidence [-]
    double high = 0.30;  ///< largest amplitude with evidence [-]
};
/// @throws ValueError  unknown family.
MovementLaw movement_law(const Catalogue& catalogue, const std::string& family);

/// How much faster a joint ages than the usual joint of its type: [(1 + c e^d) / (1 + c e0^d)]^(1/b), e in percent. Both
/// amplitudes are held within [low, high]. [-], 1 for c = 0.
/// @param b, d  [-], > 0.  @param c  [1/percent^d], >= 0.
/// @param amplitude, usual_amplitude  [-], >= 0.  @param low, high  [-], 0 < low <= high.
/// @throws ValueError  naming the argument.
/// @threads pure.
/// @source  Enomoto, Ito & Tanaka, ASTM STP 1514 (2010): rating a t^b (1 + c e^d); equal ratings give the ratio of times.
double movement_factor(double b, double c, double d, double amplitude, double usual_amplitude, double low, double high);
/// The same with the law of a family. [-]
/// @source  As the other one, with values of the catalogue.
double movement_factor(const MovementLaw& law, double amplitude, double usual_amplitude);

/// "" within the evidence, else words that say on which side of it the amplitude lies.
/// @param amplitude  [-], >= 0.  @param low, high  [-].
std::string movement_flag(double amplitude, double low, double high);

/// Share of what the sealant can bear: largest / capability. From 1 on the joint moves more than it is made for. [-]
/// @param largest  [-], >= 0.  @param capability  Remaining, [-], > 0.
/// @throws ValueError  naming the argument.
/// @source  Definition.
double utilisation(double largest, double capability);

}  // namespace libseal
