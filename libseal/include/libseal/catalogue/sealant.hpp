#pragma once
// A family of sealing material: how it ages, cures and moves.

#include <string>
#include <string_view>
#include <vector>

#include "libseal/catalogue/catalogue.hpp"

namespace libseal {

/// One family, read from "sealant/NAME/..." of a catalogue. Names are those of the word list.
struct Sealant {
    std::string name;
    // Effective-age clock (three terms; weights sum to 1).
    double weight_light = 0;     ///< [-]
    double weight_heat = 0;      ///< [-]
    double weight_moisture = 0;  ///< [-]
    double energy_light = 0;     ///< [kJ/mol]
    double energy_heat = 0;      ///< [kJ/mol]
    double energy_moisture = 0;  ///< [kJ/mol]
    double light_exponent = 1;   ///< [-]
    double humidity_exponent = 0;  ///< [-]
    std::string home;            ///< "roof" or "walls": the surface on which its life is stated
    /// Until grade 3, marginal over joints, in years of the family's own clock at the reference [yr].
    /// Bedding families count on the exposed plane: under a sound cap the light term is off and life is longer.
    double median_life = 0;
    double appearance_life = 0;  ///< median until grade 2 by looks at the reference [yr]; NaN if it has none
    // Application.
    double cure_rate = 0;        ///< depth k of k*sqrt(days) at 23 degC, one open face [mm/d^0.5]; 0: does not cure
    double skin_hours = 0;       ///< until a skin has formed [h]
    double first_water_hours = 0;  ///< until rain may touch it [h]
    double lowest_temperature = 5;   ///< of air and surface at work [degC]
    double highest_temperature = 40; ///< [degC]
    double cured_share = 1;      ///< cured volume / wet volume [-]
    double package_ml = 300;     ///< smallest package sold [mL]; 0 for tapes
    double movement_capability = 0;  ///< one-sided, share of joint width [-]
    bool levels_itself = false;
};

/// One family, as long as a copy of the catalogue lives. @throws ValueError  unknown family (nearest name).
const Sealant& sealant(const Catalogue& catalogue, std::string_view name);
/// Families that can be applied, in order of the catalogue. "unknown" and "asphalt_or_roof_coating" are known to
/// `sealant` as old material, but are not listed here.
std::vector<std::string> sealant_names(const Catalogue& catalogue);

/// Spread that all families share: see model/... in the catalogue.
struct LifeSpread {
    double shape = 2.75;        ///< conditional Weibull shape [-]
    double log_sd = 0.30;       ///< sd of ln(phi), all shared effects together [-]
    double early_defects_per_m = 0.01;  ///< q: early defects per metre of layer [1/m]
    double early_time = 1.5;    ///< time constant of early defects [yr]
};
/// The spread as the catalogue has it.
LifeSpread life_spread(const Catalogue& catalogue);

}  // namespace libseal
