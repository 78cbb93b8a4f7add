#pragma once
// What is left of bond, movement capability and stiffness.

#include <string>

#include "libseal/catalogue/catalogue.hpp"
#include "libseal/core/columns.hpp"

namespace libseal {

/// Loss of bond strength: ln(B/B0) = -rate sqrt(t_eq), t_eq = integral of [A(E, T) (RH/RH_ref)^n]^2 dt.
///
/// @source  Form and values: adhesive bonds B and C (Escobar, Meeker, Kugler & Kramer 2003; Meeker & Escobar data, refitted
///          for this project). Measured at 50 to 70 degC, 20 and 80 % humidity, up to 64 d and 16 weeks, on adhesives, not
///          on sealants. Mark: computed from published data.
struct BondLaw {
    double rate = 0;                   ///< [1/sqrt(time)], > 0; the unit of time is that of the ages
    double energy = 0;                 ///< of the rate; the loss itself runs with twice that. [kJ/mol]
    double humidity_exponent = 0;      ///< n, of the rate. [-]
    double reference_temperature = 25; ///< [degC]
    double reference_humidity = 50;    ///< [%]
};
/// "bond_law/NAME/..." of a catalogue: "default", "adhesive_b", "adhesive_c". Time in years.
BondLaw bond_law(const Catalogue& catalogue, const std::string& name = "default");

/// Speed of the loss against the reference: [A(E, T) (RH/RH_ref)^n]^2. [-]
/// @param temperature  [degC], -90 to 350  @param humidity  [%], 0 to 100
double bond_speed(const BondLaw& law, double temperature, double humidity);
/// Running integral of `bond_speed`, one value per step [unit of `step`].
/// @param temperature  [degC]  @param humidity  [%]  @param step  [any unit of time]
Column bond_equivalent_time(const BondLaw& law, ConstColumn temperature, ConstColumn humidity, double step);
/// Share of the bond that is left after an equivalent time. [-], 0 to 1, never rising
/// @param equivalent_time  [unit of time of the law]
double bond_share(const BondLaw& law, double equivalent_time);
/// Equivalent time until a share is left: undoes `bond_share`. @param share  [-], above 0 to 1
double bond_time(const BondLaw& law, double share);

/// Movement amplitude that does as much as a constant strain: strain / 3.6.
/// @param strain  [%], 0 to 100; measured at 25 %
/// @source  White, Hunston & Tan 2009, J. ASTM Int. 6(2): 7 % moving and 25 % still gave the same change of modulus in two
///          sealants. Mark: measured.
double amplitude_of_static_strain(double strain);

/// Share of the movement capability that is left: m = exp(-age/decay_time). [-], 0 to 1, never rising
/// @param age         Effective. [yr], >= 0
/// @param decay_time  [yr], > 0: `capability_decay_time`.
/// @source  No usable data were found. Mark: judgement.
double capability_share(double age, double decay_time);
/// Movement that the bead still takes: capability times the share left.
/// @param capability  When new. [-], one-sided share of the joint width, > 0
/// @param age         Effective. [yr], >= 0  @param decay_time  [yr], > 0
/// @source  As `capability_share`. Mark: judgement.
double remaining_capability(double capability, double age, double decay_time);
/// Decay time of a bead with this median life: "law/capability_life_factor" of the catalogue times it. [yr]
/// @param median_life  [yr]
/// @source  "law/capability_life_factor" of the catalogue.
double capability_decay_time(const Catalogue& catalogue, double median_life);

/// Stiffness against new: F = 1 + rise (1 - e^{-rise_rate t}) - loss (1 - e^{-loss_rate t (1 + e/10)}).
/// Crosslinking stiffens and soon ends; chain breaking softens, faster with heat and movement.
///
/// @source  Shape: White et al. 2012, J. ASTM Int. 9(5) and 2009, 6(2). Constants are set to two cells of the first, and
///          its length of exposure is assumed: they show the pattern, they predict nothing. Mark: judgement.
struct ModulusLaw {
    double rise = 0;       ///< [-], 0 to 1
    double rise_rate = 0;  ///< [1/yr]
    double loss = 0;       ///< [-], 0 to 1
    double loss_rate = 0;  ///< [1/yr]
    double energy = 0;     ///< of the age. [kJ/mol]
};
/// "modulus_law/..." of a catalogue.
ModulusLaw modulus_law(const Catalogue& catalogue);
/// @param age        At 25 degC: years times `acceleration(law.energy, 25, T)`. [yr], >= 0
/// @param amplitude  Of movement. [%], 0 to 100
/// @return  [-], > 0
double modulus_ratio(const ModulusLaw& law, double age, double amplitude);

}  // namespace libseal
