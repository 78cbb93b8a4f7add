#pragma once
// Lognormal life: what a median and a spread in the logarithm say, for defects whose hazard falls again.

#include <cmath>

#include "libseal/core/random.hpp"
#include "libseal/core/require.hpp"

namespace libseal {

/// Time to failure whose logarithm is normal: survival S(t) = Phi(-ln(t/median)/sigma).
///
/// @source  Meeker & Escobar 1998, Statistical Methods for Reliability Data, section 4.6 (from memory).
class Lognormal {
public:
    /// @param median  Reached by half of the layers. [yr], > 0.
    /// @param sigma   Standard deviation of ln t. [-], > 0.
    /// @throws ValueError  naming the argument, its value and the allowed range.
    Lognormal(double median, double sigma)
        : median_(require_positive(median, "median")), sigma_(require_positive(sigma, "sigma")) {}

    /// [unit of time]
    double median() const { return median_; }
    /// Standard deviation of ln life [-].
    double sigma() const { return sigma_; }

    /// Probability of no failure up to t. [-], 1 for t <= 0.  @param t  [yr]
    double survival(double t) const { return t <= 0 ? 1.0 : normal_probability(-z(t)); }

    /// Density of the time to failure. [1/yr], 0 for t <= 0.  @param t  [yr]
    double density(double t) const {
        if (t <= 0) return 0;
        constexpr double root_two_pi = 2.50662827463100050242;
        return std::exp(-0.5 * z(t) * z(t)) / (root_two_pi * sigma_ * t);
    }

    /// Rate of failure among those still sound. [1/yr], 0 for t <= 0. It rises, then falls.
    /// @param t  [yr]
    double hazard(double t) const {
        if (t <= 0) return 0;
        const double x = z(t);
        if (x < 30) return density(t) / survival(t);
        // Far out both vanish; their ratio is the series of Mills.
        const double inverse = 1 / (x * x);
        return x / ((1 - inverse * (1 - 3 * inverse * (1 - 5 * inverse))) * sigma_ * t);
    }

    /// Time by which a share p has failed. [yr].  @param p  [-], in (0, 1)
    double quantile(double p) const {
        require_inside(p, 0.0, 1.0, "p");
        return median_ * std::exp(sigma_ * normal_quantile(p));
    }

    /// Mean time to failure. [yr]
    double mean() const { return median_ * std::exp(0.5 * sigma_ * sigma_); }

private:
    double z(double t) const { return std::log(t / median_) / sigma_; }

    double median_, sigma_;
};

}  // namespace libseal
