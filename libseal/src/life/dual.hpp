#pragma once
// Numbers that carry their first and second derivatives: automatic differentiation, forward.

#include <Eigen/Core>
#include <cmath>

namespace libseal::detail {

/// A value with its slope and bend (second derivatives) along N variables.
template <int N>
struct Dual {
    using Slope = Eigen::Matrix<double, N, 1>;
    using Bend = Eigen::Matrix<double, N, N>;

    double value = 0;
    Slope slope = Slope::Zero();
    Bend bend = Bend::Zero();

    Dual() = default;
    Dual(double v) : value(v) {}  // numbers mix with duals in formulas
    Dual(double v, const Slope& s, const Bend& b) : value(v), slope(s), bend(b) {}

    /// Variable number i of the N.
    static Dual variable(double v, int i) {
        Dual x(v);
        x.slope[i] = 1;
        return x;
    }

    Dual operator-() const { return {-value, -slope, -bend}; }
    Dual& operator+=(const Dual& o) { return *this = *this + o; }

    friend Dual operator+(const Dual& a, const Dual& b) { return {a.value + b.value, a.slope + b.slope, a.bend + b.bend}; }
    friend Dual operator-(const Dual& a, const Dual& b) { return {a.value - b.value, a.slope - b.slope, a.bend - b.bend}; }
    [[gnu::always_inline]] friend Dual operator*(const Dual& a, const Dual& b) {
        const Bend cross = a.slope * b.slope.transpose();
        return {a.value * b.value, a.value * b.slope + b.value * a.slope,
                a.value * b.bend + b.value * a.bend + cross + cross.transpose()};
    }
    friend Dual operator+(const Dual& a, double b) { return {a.value + b, a.slope, a.bend}; }
    friend Dual operator+(double a, const Dual& b) { return b + a; }
    friend Dual operator-(const Dual& a, double b) { return {a.value - b, a.slope, a.bend}; }
    friend Dual operator-(double a, const Dual& b) { return {a - b.value, -b.slope, -b.bend}; }
    friend Dual operator*(const Dual& a, double b) { return {a.value * b, a.slope * b, a.bend * b}; }
    friend Dual operator*(double a, const Dual& b) { return b * a; }
};

/// f(x) by the chain rule, from the value and the two derivatives of f there.
template <int N>
[[gnu::always_inline]] inline Dual<N> chained(const Dual<N>& x, double f, double first, double second) {
    return {f, first * x.slope, first * x.bend + (second * x.slope) * x.slope.transpose()};
}

inline double value_of(double x) { return x; }
template <int N>
double value_of(const Dual<N>& x) {
    return x.value;
}

/// A function of one number, for numbers and duals alike. `Rule` gives value, first and second derivative.
struct Derivatives {
    double f = 0, first = 0, second = 0;
};
template <class Rule>
double applied(const Rule& rule, double x) {
    return rule(x).f;
}
template <class Rule, int N>
Dual<N> applied(const Rule& rule, const Dual<N>& x) {
    const Derivatives d = rule(x.value);
    return chained(x, d.f, d.first, d.second);
}

namespace rule {

inline Derivatives exponential(double x) {
    const double e = std::exp(x);
    return {e, e, e};
}
inline Derivatives logarithm(double x) { return {std::log(x), 1 / x, -1 / (x * x)}; }
inline Derivatives logarithm_of_one_plus(double x) {
    const double y = 1 / (1 + x);
    return {std::log1p(x), y, -y * y};
}
inline Derivatives exponential_less_one(double x) {
    const double e = std::exp(x);
    return {std::expm1(x), e, e};
}
/// ln(e^x - 1), x > 0
inline Derivatives log_expm1(double x) {
    const double y = x < 1 ? std::expm1(x) : std::exp(x) - 1;
    if (x > 30) return {x + std::log1p(-std::exp(-x)), 1 + std::exp(-x), -std::exp(-x)};
    const double q = 1 + 1 / y;
    return {std::log(y), q, q * (1 - q)};
}
/// ln(1 - e^-x), x > 0
inline Derivatives log1mexp(double x) {
    const double e = std::expm1(x), r = x > 700 ? 0 : 1 / e;
    return {x < 0.6931471805599453 ? std::log(-std::expm1(-x)) : std::log1p(-std::exp(-x)), r, -r * (1 + r)};
}
/// ln(1 + e^x)
inline Derivatives softplus(double x) {
    const double e = std::exp(-std::fabs(x)), share = x > 0 ? 1 / (1 + e) : e / (1 + e);
    return {std::max(x, 0.0) + std::log1p(e), share, e / ((1 + e) * (1 + e))};
}
/// ln(1 - exp(-e^y)): the failed share of the smallest-extreme-value distribution.
inline Derivatives log_failed_extreme(double y) {
    if (y < -30) {  // the series: y - w/2
        const double w = std::exp(y);
        return {y - 0.5 * w, 1 - 0.5 * w, -0.5 * w};
    }
    const double w = std::exp(std::min(y, 700.0));
    if (w > 700) return {0, 0, 0};
    const double r = w / std::expm1(w);
    return {w < 0.6931471805599453 ? std::log(-std::expm1(-w)) : std::log1p(-std::exp(-w)), r, r * (1 - w - r)};
}
/// ln of the share of the standard normal distribution above z.
inline Derivatives log_normal_above(double z) {
    double f = 0;
    if (z < 30) {
        f = z < -1 ? std::log1p(-0.5 * std::erfc(-z * 0.7071067811865476)) : std::log(0.5 * std::erfc(z * 0.7071067811865476));
    } else {
        const double i = 1 / (z * z);  // the series of Mills
        f = -0.5 * z * z - 0.9189385332046728 - std::log(z) + std::log1p(-i * (1 - i * (3 - i * (15 - i * (105 - 945 * i)))));
    }
    const double hazard = std::exp(-0.5 * z * z - 0.9189385332046728 - f);
    return {f, -hazard, -hazard * (hazard - z)};
}

}  // namespace rule

#define LIBSEAL_DUAL_FUNCTION(name, Rule) \
    template <class T>                    \
    T name(const T& x) {                  \
        return applied(rule::Rule, x);    \
    }
LIBSEAL_DUAL_FUNCTION(exp_of, exponential)
LIBSEAL_DUAL_FUNCTION(log_of, logarithm)
LIBSEAL_DUAL_FUNCTION(log1p_of, logarithm_of_one_plus)
LIBSEAL_DUAL_FUNCTION(expm1_of, exponential_less_one)
LIBSEAL_DUAL_FUNCTION(log_expm1, log_expm1)
LIBSEAL_DUAL_FUNCTION(log1mexp, log1mexp)
LIBSEAL_DUAL_FUNCTION(softplus, softplus)
LIBSEAL_DUAL_FUNCTION(log_failed_extreme, log_failed_extreme)
LIBSEAL_DUAL_FUNCTION(log_normal_above, log_normal_above)
#undef LIBSEAL_DUAL_FUNCTION

}  // namespace libseal::detail
