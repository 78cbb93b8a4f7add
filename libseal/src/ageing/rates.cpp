#include "libseal/ageing/rates.hpp"

#include <cmath>

#include "ageing/column_checks.hpp"
#include "libseal/core/require.hpp"

namespace libseal {
namespace {

constexpr double gas_constant = 8.314462618e-3;  // [kJ/(mol K)], CODATA 2018
constexpr double zero_celsius = 273.15;          // [K]

double require_temperature(double celsius, const char* name) {
    return require_between(celsius, detail::lowest_temperature, detail::highest_temperature, name) + zero_celsius;
}

/// 1/T_from - 1/T_to without the loss of digits of a difference of inverses.
double inverse_difference(double from, double to) { return (to - from) / (from * to); }

}  // namespace

double acceleration(double energy, double t_from, double t_to) {
    require_between(energy, 0, 300, "energy");
    const double from = require_temperature(t_from, "t_from"), to = require_temperature(t_to, "t_to");
    return std::exp(energy / gas_constant * inverse_difference(from, to));
}

double acceleration_energy(double factor, double t_from, double t_to) {
    require_positive(factor, "factor");
    const double from = require_temperature(t_from, "t_from"), to = require_temperature(t_to, "t_to");
    if (from == to) throw_value_error("t_to", "a temperature other than t_from", number_text(t_to));
    const double energy = gas_constant * std::log(factor) / inverse_difference(from, to);
    if (energy < 0)
        throw_value_error("factor", to > from ? "a factor >= 1 towards the warmer end" : "a factor <= 1 towards the colder end",
                          number_text(factor));
    return energy;
}

Column equivalent_time(double energy, ConstColumn temperature, double step, double reference) {
    require_between(energy, 0, 300, "energy");
    require_positive(step, "step");
    const double from = require_temperature(reference, "reference");
    detail::require_column(temperature, detail::lowest_temperature, detail::highest_temperature, "temperature");
    const Column kelvin = temperature + zero_celsius;
    const Column rate = (energy / gas_constant * (kelvin - from) / (kelvin * from)).exp();
    return detail::running_sum(rate, step);
}

double hydrolysis_life(double log_rate, double energy, double temperature, double humidity, double humidity_exponent) {
    require_finite(log_rate, "log_rate");
    require_between(energy, 0, 300, "energy");
    const double kelvin = require_temperature(temperature, "temperature");
    require_between(humidity, 0, 100, "humidity");
    require_not_negative(humidity_exponent, "humidity_exponent");
    const double damp = humidity_exponent > 0 ? humidity_exponent * std::log(humidity / 100) : 0;
    return std::exp(-log_rate + energy / (gas_constant * kelvin) - damp);
}

WlfLaw wlf_law(const Catalogue& catalogue) {
    return {catalogue.number("wlf/c1"), catalogue.number("wlf/c2"), catalogue.number("wlf/reference")};
}

namespace {
constexpr double lowest_flow = -50, highest_flow = 150;  // [degC]

void check_wlf(const WlfLaw& law) {
    require_positive(law.c1, "c1");
    require_positive(law.c2, "c2");
    // The law has a pole at T0 - c2; all admitted temperatures stay clear of it.
    require_between(law.reference, lowest_flow, lowest_flow + 0.9 * law.c2, "reference");
}
}  // namespace

double wlf_shift(const WlfLaw& law, double temperature) {
    check_wlf(law);
    require_between(temperature, lowest_flow, highest_flow, "temperature");
    const double above = temperature - law.reference;
    return std::pow(10.0, -law.c1 * above / (law.c2 + above));
}

Column wlf_equivalent_time(const WlfLaw& law, ConstColumn temperature, double step) {
    check_wlf(law);
    require_positive(step, "step");
    detail::require_column(temperature, lowest_flow, highest_flow, "temperature");
    const Column above = temperature - law.reference;
    const double ten = std::log(10.0);
    return detail::running_sum((ten * law.c1 * above / (law.c2 + above)).exp(), step);
}

}  // namespace libseal
