#pragma once
// How temperature and moisture change the speed of a law: the factors that every other law shares.

#include "libseal/catalogue/catalogue.hpp"
#include "libseal/core/columns.hpp"

namespace libseal {

/// Speed at `t_to` over the speed at `t_from`.
///
/// A = exp[(E/R)(1/T_from - 1/T_to)]
///
/// @param energy  Apparent activation energy. [kJ/mol], 0 to 300. Sunlight damage 6 to 40, heat and water 43 to 130.
/// @param t_from  [degC], -90 to 350.
/// @param t_to    [degC], -90 to 350. Outdoors -50 to 100: far from the measured range one energy no longer holds.
/// @return  [-], 1 at t_from = t_to.
/// @throws ValueError  naming the argument, its value and the allowed range.
/// @source  Arrhenius form. Energies: docs/laws.md. Mark: standard.
/// @threads  pure.
double acceleration(double energy, double t_from, double t_to);

/// Energy with which a law runs `factor` times faster at `t_to` than at `t_from`: undoes `acceleration`.
///
/// @param factor  [-], > 0; above 1 if t_to is the warmer end, else below 1.
/// @param t_from  [degC], -90 to 350.
/// @param t_to    [degC], -90 to 350, not t_from.
/// @return  [kJ/mol]
/// @throws ValueError  naming the argument, its value and the allowed range.
/// @source  Arrhenius form. Mark: standard.
double acceleration_energy(double factor, double t_from, double t_to);

/// Age at `reference` that does what this history of temperatures does: the running sum of A(E, T) * step.
///
/// @param energy       [kJ/mol]
/// @param temperature  One value per step. [degC]
/// @param step         Length of a step; the result has the same unit. [any unit of time], > 0
/// @param reference    [degC]
/// @return  Cumulative, one value per step, at the end of the step.
/// @throws ValueError  with the row of the first value that is no temperature.
/// @source  Cumulative exposure: Meeker, Escobar & Chan 2009 (form, from memory). Mark: published.
Column equivalent_time(double energy, ConstColumn temperature, double step, double reference = 25);

/// Life against hydrolysis in damp heat.
///
/// ln t = -log_rate + E/(R T) - n ln(RH/100)
///
/// @param log_rate     ln of the rate constant in 1/d. [-]. PET 39.3, polycarbonate 24.9.
/// @param energy       [kJ/mol]. PET 129, polycarbonate 92.
/// @param temperature  [degC]
/// @param humidity     Relative. [%], 0 to 100; dry air gives an infinite life.
/// @param humidity_exponent  n. [-], >= 0
/// @return  [d]
/// @source  Pickett & Coyle 2013, Polym. Degrad. Stab. (square law in humidity, 2 grades of PC and 3 of PET, ovens above
///          60 degC). Mark: published; no sealant was measured.
double hydrolysis_life(double log_rate, double energy, double temperature, double humidity, double humidity_exponent = 2);

/// Flow of an unfilled rubber against temperature: log10 a = -c1 (T - T0)/(c2 + T - T0).
struct WlfLaw {
    double c1 = 8.61;        ///< [-]
    double c2 = 200.4;       ///< [K]
    double reference = 25;   ///< T0 [degC]
};
/// The law of polyisobutylene, from "wlf/..." of a catalogue.
WlfLaw wlf_law(const Catalogue& catalogue);

/// Time scale of flow at `temperature` over the one at the reference: below 1 when warm, so 1/a is how much faster.
///
/// @param temperature  [degC], -50 to 150 (20 K above the glass transition of polyisobutylene to its softening).
/// @return  a. [-]
/// @source  Form Williams, Landel & Ferry; constants of polyisobutylene after Ferry. Mark: from memory.
double wlf_shift(const WlfLaw& law, double temperature);

/// Running sum of step / a(T): age at the reference with the same flow. [unit of `step`]
/// @param temperature  One value per step. [degC]  @param step  [any unit of time], > 0
/// @source  Form Williams, Landel & Ferry; constants as WlfLaw.
Column wlf_equivalent_time(const WlfLaw& law, ConstColumn temperature, double step);

}  // namespace libseal
