#include "libseal/ageing/dose.hpp"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <limits>

#include "ageing/column_checks.hpp"
#include "libseal/ageing/rates.hpp"
#include "libseal/core/require.hpp"

namespace libseal {
namespace {

constexpr double no_limit = std::numeric_limits<double>::infinity();

void check_model(const DoseModel& model) {
    require_positive(model.light_exponent, "light_exponent");
    require_not_negative(model.humidity_exponent, "humidity_exponent");
    require_finite(model.humidity_slope, "humidity_slope");
    require_positive(model.reference_ultraviolet, "reference_ultraviolet");
    require_positive(model.reference_humidity, "reference_humidity");
}

void check_curve(const DamageCurve& curve) {
    require_positive(curve.limit, "limit");
    require_positive(curve.scale, "scale");
    require_positive(curve.shape, "shape");
}

double value_of(const DamageCurve& curve, double dose) {
    return -curve.limit * std::expm1(-std::pow(dose / curve.scale, curve.shape));
}

DamageCurve curve_of(const Eigen::Vector3d& logs) {
    return {std::exp(logs[0]), std::exp(logs[1]), std::exp(logs[2])};
}

/// Normal equations of the residuals at one set of parameters.
struct Normal {
    Eigen::Matrix3d matrix = Eigen::Matrix3d::Zero();
    Eigen::Vector3d gradient = Eigen::Vector3d::Zero();
    double squares = 0;
};

Normal normal_equations(const DamageCurve& curve, ConstColumn dose, ConstColumn measured) {
    Normal n;
    for (Eigen::Index i = 0; i < dose.size(); ++i) {
        const double ratio = dose[i] / curve.scale;
        const double power = ratio > 0 ? std::pow(ratio, curve.shape) : 0;
        const double value = -curve.limit * std::expm1(-power), rest = measured[i] - value;
        const double slope = curve.limit * std::exp(-power) * power * curve.shape;  // by ln dose
        // By the logarithms of limit, scale and shape.
        const Eigen::Vector3d by{value, -slope, ratio > 0 ? slope * std::log(ratio) : 0};
        n.matrix.noalias() += by * by.transpose();
        n.gradient += by * rest;
        n.squares += rest * rest;
    }
    return n;
}

double sum_of_squares(const DamageCurve& curve, ConstColumn dose, ConstColumn measured) {
    double sum = 0;
    for (Eigen::Index i = 0; i < dose.size(); ++i) {
        const double rest = measured[i] - value_of(curve, dose[i]);
        sum += rest * rest;
    }
    return sum;
}

void check_readings(ConstColumn dose, ConstColumn measured) {
    detail::require_length(measured, dose.size(), "measured", "dose");
    detail::require_column(dose, 0, no_limit, "dose");
    for (Eigen::Index i = 0; i < measured.size(); ++i)
        require_finite(measured[i], "measured[" + std::to_string(i) + "]");
}

}  // namespace

Column effective_dose(ConstColumn ultraviolet, ConstColumn temperature, ConstColumn humidity, double step,
                      const DoseModel& model) {
    check_model(model);
    require_positive(step, "step");
    detail::require_length(temperature, ultraviolet.size(), "temperature", "ultraviolet");
    detail::require_length(humidity, ultraviolet.size(), "humidity", "ultraviolet");
    detail::require_column(ultraviolet, 0, no_limit, "ultraviolet");
    detail::require_column(temperature, detail::lowest_temperature, detail::highest_temperature, "temperature");
    detail::require_column(humidity, 0, 100, "humidity");
    Column rate = (ultraviolet / model.reference_ultraviolet).pow(model.light_exponent);
    for (Eigen::Index i = 0; i < rate.size(); ++i)
        rate[i] *= acceleration(model.energy, model.reference_temperature, temperature[i]);
    if (model.humidity_exponent != 0) rate *= (humidity / model.reference_humidity).pow(model.humidity_exponent);
    if (model.humidity_slope != 0)
        rate *= (model.humidity_slope * (humidity - model.reference_humidity) / 10).exp();
    return detail::running_sum(rate, step);
}

double damage(const DamageCurve& curve, double dose) {
    check_curve(curve);
    return value_of(curve, require_not_negative(dose, "dose"));
}

double damage_error(const DamageCurve& curve, ConstColumn dose, ConstColumn measured) {
    check_curve(curve);
    check_readings(dose, measured);
    if (dose.size() == 0) throw_value_error("dose", "at least one reading", "none");
    return std::sqrt(sum_of_squares(curve, dose, measured) / static_cast<double>(dose.size()));
}

DamageFit fit_damage(ConstColumn dose, ConstColumn measured, const DamageCurve& start) {
    check_curve(start);
    check_readings(dose, measured);
    if (dose.size() < 3) throw_value_error("dose", "at least three readings", std::to_string(dose.size()));
    if (!(dose.maxCoeff() > 0)) throw_value_error("dose", "a reading with dose > 0", "only 0");
    constexpr int most_iterations = 500;
    constexpr double small_step = 1e-8, weakest = 1e-15, strongest = 1e12;
    Eigen::Vector3d logs{std::log(start.limit), std::log(start.scale), std::log(start.shape)};
    double damping = 1e-3;
    DamageFit fit;
    while (!fit.converged && fit.iterations < most_iterations && damping < strongest) {
        const Normal n = normal_equations(curve_of(logs), dose, measured);
        Eigen::Matrix3d damped = n.matrix;
        damped.diagonal() += damping * n.matrix.diagonal() + Eigen::Vector3d::Constant(1e-300);
        const Eigen::Vector3d step = damped.ldlt().solve(n.gradient).cwiseMin(1.0).cwiseMax(-1.0);
        ++fit.iterations;
        const double squares = sum_of_squares(curve_of(logs + step), dose, measured);
        // At the bottom rounding may keep a step from improving anything; a step that damping made small is no end.
        fit.converged = damping < 1 && step.cwiseAbs().maxCoeff() < small_step;
        if (squares <= n.squares) {
            logs += step;
            damping = std::max(damping / 10, weakest);
        } else {
            damping *= 10;
        }
    }
    fit.curve = curve_of(logs);
    fit.error = std::sqrt(sum_of_squares(fit.curve, dose, measured) / static_cast<double>(dose.size()));
    return fit;
}

}  // namespace libseal
