#pragma once
// Sums that stand for integrals: expectations over a normal effect without random numbers.

#include "libseal/core/columns.hpp"
#include "libseal/life/weibull.hpp"

namespace libseal {

/// An integral as the sum of weight times function at the nodes.
struct Quadrature {
    Column node;    ///< ascending [-]
    Column weight;  ///< [-], > 0, as many
};

/// Gauss-Hermite rule for the integral of exp(-x^2) f(x) over all x; exact for polynomials up to degree 2n - 1.
/// @param n  1 to 64
/// @throws ValueError  naming the argument, its value and the allowed range.
/// @source  Golub & Welsch 1969 for the start, Newton steps on the orthonormal recurrence after it (from memory).
/// @accuracy  1e-13 of each node and weight, relative.
Quadrature gauss_hermite(int n);
/// Gauss-Legendre rule for the integral of f over -1 to 1. Arguments and accuracy as `gauss_hermite`.
Quadrature gauss_legendre(int n);

/// Gauss-Hermite rule for the expectation over a standard normal effect; the weights sum to 1. n as `gauss_hermite`.
Quadrature normal_gauss(int n);
/// Evenly spaced rule for the same. Its error falls faster than any power of the step for smooth functions; unlike
/// `normal_gauss` it also holds where f changes fast, as it does for effects with a standard deviation of 1 and more.
/// @param n           Nodes. 2 to 100000
/// @param half_width  Range of the effect, its standard deviation being 1. [-], 1 to 30
Quadrature normal_trapezoid(int n = 131, double half_width = 6.5);

/// Expectation of exp(-c e^{sZ}), Z standard normal: survival under a lognormal effect, the cumulative hazard being c.
/// @param c  [-], >= 0  @param s  Standard deviation of the logarithm. [-], 0 to 10
/// @param rule  A rule for a standard normal effect.
double survival_under_effect(double c, double s, const Quadrature& rule);
/// The same by a trapezoid that is fine enough for this s. [-] @accuracy  1e-12
double survival_under_effect(double c, double s);

/// Survival of a mixture of Weibull lives whose hazards differ by a lognormal factor with mean 1. [-]
/// @param sd  Standard deviation of the logarithm of the factor. [-], 0 to 10  @param t  [yr]; 1 for t <= 0
double frailty_survival(const Weibull& life, double sd, double t);

}  // namespace libseal
