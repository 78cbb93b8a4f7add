#pragma once
// From a record of light, temperature and humidity to a dose, and from the dose to damage.

#include "libseal/core/columns.hpp"

namespace libseal {

/// Rate of dose = (UV/UV_ref)^p A(E, T) (RH/RH_ref)^n exp(h (RH - RH_ref)/10).
///
/// Energy and light exponent belong to controlled experiments; outdoors light, warmth and humidity move together, and a
/// fit of all of them fails in another season. Only the damage curve is to be fitted in the field.
///
/// @source  Form: Meeker & Escobar and co-workers (from memory); values: refit for this project of the NIST epoxy data of
///          Hong, Duan, Meeker, Stanley & Gu 2015, Technometrics. Mark: computed.
struct DoseModel {
    double energy = 6.062;              ///< E [kJ/mol], 0 to 300
    double light_exponent = 1;          ///< p [-], > 0
    double humidity_exponent = 0;       ///< n [-], >= 0
    double humidity_slope = 0;          ///< h, per 10 % humidity [-]
    double reference_ultraviolet = 30;  ///< [unit of the light column], > 0
    double reference_temperature = 25;  ///< [degC]
    double reference_humidity = 40;     ///< [%], > 0
};

/// Dose at the end of each step: the running sum of rate times step.
///
/// @param ultraviolet  Light per unit of time, mean over the step. [any unit: that of `reference_ultraviolet`], >= 0
/// @param temperature  [degC]  @param humidity  [%], 0 to 100
/// @param step         Length of a step: 1 for daily data in days. [unit of time in which the dose is wanted], > 0
/// @return  Cumulative, as long as the columns.
/// @throws ValueError  lengths differ, or the row of the first impossible value.
/// @threads  pure.
Column effective_dose(ConstColumn ultraviolet, ConstColumn temperature, ConstColumn humidity, double step,
                      const DoseModel& model = {});

/// Damage as a function of dose: limit (1 - exp(-(dose/scale)^shape)).
struct DamageCurve {
    double limit = 1;  ///< A [unit of the damage]: damage in the end, > 0
    double scale = 1;  ///< eta [unit of the dose]: dose at 63 % of it, > 0
    double shape = 1;  ///< beta [-], > 0
};
/// @param dose  [unit of the dose], >= 0  @return  0 to limit, never falling
/// @source  Form as DoseModel.
double damage(const DamageCurve& curve, double dose);

/// What a fit of the damage curve found.
struct DamageFit {
    DamageCurve curve;
    double error = 0;        ///< root of the mean squared difference [unit of the damage]
    int iterations = 0;      ///< steps that were tried
    bool converged = false;  ///< the last step changed no parameter by more than 1e-8 of itself
};
/// Least-squares damage curve through readings, by damped Gauss-Newton steps in the logarithms of its three parameters. [units of dose and damage]
///
/// @param dose      At each reading. [unit of the dose], >= 0  @param measured  Damage at each reading, as long. [unit of the damage]
/// @param start     Where to begin.
/// @throws ValueError  fewer than three readings, lengths differ, a value is not finite, or no reading has any dose.
/// @source  Levenberg 1944, Marquardt 1963 (from memory).
/// @threads  pure.
DamageFit fit_damage(ConstColumn dose, ConstColumn measured, const DamageCurve& start = {});
/// Root of the mean squared difference between curve and readings. [unit of the damage]
/// @param dose  [unit of the dose]  @param measured  [unit of the damage]
/// @source  Definition.
double damage_error(const DamageCurve& curve, ConstColumn dose, ConstColumn measured);

}  // namespace libseal
