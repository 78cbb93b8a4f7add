#include "libseal/ageing/bond_laws.hpp"

#include <cmath>
#include <limits>

#include "ageing/column_checks.hpp"
#include "libseal/ageing/rates.hpp"
#include "libseal/core/require.hpp"

namespace libseal {
namespace {

void check_law(const BondLaw& law) {
    require_positive(law.rate, "rate");
    require_between(law.energy, 0, 150, "energy");  // its double must stay an energy
    require_not_negative(law.humidity_exponent, "humidity_exponent");
    require_positive(law.reference_humidity, "reference_humidity");
    require_between(law.reference_humidity, 0, 100, "reference_humidity");
}

}  // namespace

BondLaw bond_law(const Catalogue& catalogue, const std::string& name) {
    const std::string base = "bond_law/" + name + "/";
    return {catalogue.number(base + "rate"), catalogue.number(base + "energy"),
            catalogue.number(base + "humidity_exponent"), catalogue.number(base + "reference_temperature"),
            catalogue.number(base + "reference_humidity")};
}

double bond_speed(const BondLaw& law, double temperature, double humidity) {
    check_law(law);
    require_between(humidity, 0, 100, "humidity");
    const double damp = law.humidity_exponent > 0
                            ? std::pow(humidity / law.reference_humidity, 2 * law.humidity_exponent) : 1;
    return acceleration(2 * law.energy, law.reference_temperature, temperature) * damp;
}

Column bond_equivalent_time(const BondLaw& law, ConstColumn temperature, ConstColumn humidity, double step) {
    check_law(law);
    require_positive(step, "step");
    detail::require_length(humidity, temperature.size(), "humidity", "temperature");
    detail::require_column(temperature, detail::lowest_temperature, detail::highest_temperature, "temperature");
    detail::require_column(humidity, 0, 100, "humidity");
    Column speed(temperature.size());
    for (Eigen::Index i = 0; i < speed.size(); ++i) speed[i] = bond_speed(law, temperature[i], humidity[i]);
    return detail::running_sum(speed, step);
}

double bond_share(const BondLaw& law, double equivalent_time) {
    check_law(law);
    return std::exp(-law.rate * std::sqrt(require_not_negative(equivalent_time, "equivalent_time")));
}

double bond_time(const BondLaw& law, double share) {
    check_law(law);
    require_positive(share, "share");
    const double root = -std::log(require_between(share, 0, 1, "share")) / law.rate;
    return root * root;
}

double amplitude_of_static_strain(double strain) {
    constexpr double static_per_moving = 3.6;  // White, Hunston & Tan 2009: 25 % against 7 %
    return require_between(strain, 0, 100, "strain") / static_per_moving;
}

double capability_share(double age, double decay_time) {
    return std::exp(-require_not_negative(age, "age") / require_positive(decay_time, "decay_time"));
}

double remaining_capability(double capability, double age, double decay_time) {
    return require_positive(capability, "capability") * capability_share(age, decay_time);
}

double capability_decay_time(const Catalogue& catalogue, double median_life) {
    return catalogue.number("law/capability_life_factor") * require_positive(median_life, "median_life");
}

ModulusLaw modulus_law(const Catalogue& catalogue) {
    return {catalogue.number("modulus_law/rise"), catalogue.number("modulus_law/rise_rate"),
            catalogue.number("modulus_law/loss"), catalogue.number("modulus_law/loss_rate"),
            catalogue.number("modulus_law/energy")};
}

double modulus_ratio(const ModulusLaw& law, double age, double amplitude) {
    require_between(law.rise, 0, 1, "rise");
    require_not_negative(law.rise_rate, "rise_rate");
    require_between(law.loss, 0, 1, "loss");
    require_not_negative(law.loss_rate, "loss_rate");
    require_not_negative(age, "age");
    require_between(amplitude, 0, 100, "amplitude");
    return 1 - law.rise * std::expm1(-law.rise_rate * age) +
           law.loss * std::expm1(-law.loss_rate * age * (1 + amplitude / 10));
}

}  // namespace libseal
