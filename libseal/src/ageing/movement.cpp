#include "libseal/ageing/movement.hpp"

#include <algorithm>
#include <cmath>

#include "ageing/swings.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

bool is_sheared(const std::string& form) {
    if (form == "lap") return true;
    if (form != "strip" && form != "fillet" && form != "butt")
        throw_value_error("form", "one of strip, fillet, butt, lap", "\"" + form + "\"");
    return false;
}

void require_adherend(const Adherend& adherend, const std::string& name) {
    require_finite(adherend.expansion, name + ".expansion");
    require_not_negative(adherend.restraint, name + ".restraint");
}

void require_amplitudes(double amplitude, double low, double high) {
    require_not_negative(amplitude, "amplitude");
    require_positive(low, "low");
    if (!(high >= low) || !std::isfinite(high)) throw_value_error("high", "a number from low = " + number_text(low), number_text(high));
}

}  // namespace

Column relative_movement(const JointMovement& movement, ConstColumn temperature_a, ConstColumn temperature_b,
                         double set_temperature, Corner corner) {
    is_sheared(movement.form);
    require_positive(movement.width, "movement.width");
    require_adherend(movement.a, "movement.a");
    require_adherend(movement.b, "movement.b");
    require_not_negative(movement.across, "movement.across");
    require_finite(set_temperature, "set_temperature");
    if (temperature_a.size() != temperature_b.size())
        throw_value_error("temperature_b", std::to_string(temperature_a.size()) + " values, as many as temperature_a",
                          std::to_string(temperature_b.size()));
    const Column grown_a = movement.a.expansion / movement.width * (temperature_a - set_temperature);
    const Column grown_b = movement.b.expansion / movement.width * (temperature_b - set_temperature);
    Column first = movement.b.restraint * grown_b - movement.a.restraint * grown_a;
    if (corner == Corner::side || movement.across == 0) return first;
    const Column second = movement.across * (grown_b - grown_a);
    const Column resultant = (first.square() + second.square()).sqrt();
    // Both directions widen together, so the resultant has their sign.
    for (Eigen::Index i = 0; i < first.size(); ++i)
        first[i] = std::copysign(resultant[i], first[i] == 0 ? second[i] : first[i]);
    return first;
}

double strain_of_movement(const std::string& form, double relative_movement) {
    if (!is_sheared(form)) return relative_movement;
    const double x = relative_movement;
    return std::copysign(x * x / (std::hypot(1.0, x) + 1), x);  // shear_strain(1, x), NaN goes through
}

Column strain_series(const JointMovement& movement, ConstColumn temperature_a, ConstColumn temperature_b,
                     double set_temperature, Corner corner) {
    Column series = relative_movement(movement, temperature_a, temperature_b, set_temperature, corner);
    if (is_sheared(movement.form))
        for (Eigen::Index i = 0; i < series.size(); ++i) series[i] = strain_of_movement(movement.form, series[i]);
    return series;
}

StrainSummary strain_summary(const std::string& form, ConstColumn relative_movement, double exponent) {
    return detail::Swings(relative_movement).strain(form, 1.0, exponent);
}

StrainSummary strain_summary(const JointMovement& movement, ConstColumn temperature_a, ConstColumn temperature_b,
                             double set_temperature, Corner corner, double exponent) {
    return strain_summary(movement.form, relative_movement(movement, temperature_a, temperature_b, set_temperature, corner),
                          exponent);
}

MovementLaw movement_law(const Catalogue& catalogue, const std::string& family) {
    const std::string base = "sealant/" + family + "/movement_";
    return {catalogue.number(base + "b"), catalogue.number(base + "c"), catalogue.number(base + "d"),
            catalogue.number("model/strain_low"), catalogue.number("model/strain_high")};
}

double movement_factor(double b, double c, double d, double amplitude, double usual_amplitude, double low, double high) {
    require_positive(b, "b");
    require_not_negative(c, "c");
    require_positive(d, "d");
    require_amplitudes(amplitude, low, high);
    require_not_negative(usual_amplitude, "usual_amplitude");
    const auto multiplier = [&](double share) { return 1 + c * std::pow(100 * std::clamp(share, low, high), d); };
    return std::pow(multiplier(amplitude) / multiplier(usual_amplitude), 1 / b);
}

double movement_factor(const MovementLaw& law, double amplitude, double usual_amplitude) {
    return movement_factor(law.b, law.c, law.d, amplitude, usual_amplitude, law.low, law.high);
}

std::string movement_flag(double amplitude, double low, double high) {
    require_amplitudes(amplitude, low, high);
    if (amplitude < low) return "movement below " + number_text(100 * low) + " %: less than tests cover, taken as that";
    if (amplitude > high) return "movement above " + number_text(100 * high) + " %: more than tests cover, taken as that";
    return "";
}

double utilisation(double largest, double capability) {
    return require_not_negative(largest, "largest") / require_positive(capability, "capability");
}

}  // namespace libseal
