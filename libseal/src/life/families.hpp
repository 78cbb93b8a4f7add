#pragma once
// The families of lives as likelihood pieces, written once for numbers and for numbers with derivatives.

#include "life/dual.hpp"

namespace libseal::detail {

/// A time with its logarithm, which is asked for again and again.
struct Moment {
    double t = 0;
    double log_t = 0;
};

// Standard distributions of z = (ln t - mu)/sigma. `between` is ln(F(z + width) - F(z)), width > 0, without loss of digits; so is
// `hazard` the ln of density over survival, where the difference of their logarithms has no digits left.

/// Smallest extreme value: ln t of a Weibull life.
struct ExtremeValue {
    template <class T>
    static T log_survival(const T& z) { return -exp_of(z); }
    template <class T>
    static T log_failed(const T& z) { return log_failed_extreme(z); }
    template <class T>
    static T log_density(const T& z) { return z - exp_of(z); }
    template <class T>
    static T log_hazard(const T& z) { return z; }
    template <class T>
    static T log_between(const T& z, const T& width) {
        return log_failed_extreme(z + log_expm1(width)) - exp_of(z);
    }
    static double quantile(double p) { return std::log(-std::log1p(-p)); }
};

struct Logistic {
    template <class T>
    static T log_survival(const T& z) { return -softplus(z); }
    template <class T>
    static T log_failed(const T& z) { return -softplus(T(-z)); }
    template <class T>
    static T log_density(const T& z) { return z - 2.0 * softplus(z); }
    template <class T>
    static T log_hazard(const T& z) { return -softplus(T(-z)); }
    template <class T>
    static T log_between(const T& z, const T& width) {
        return z + log_expm1(width) - softplus(z) - softplus(T(z + width));
    }
    static double quantile(double p) { return std::log(p) - std::log1p(-p); }
};

struct Normal {
    template <class T>
    static T log_survival(const T& z) { return log_normal_above(z); }
    template <class T>
    static T log_failed(const T& z) { return log_normal_above(T(-z)); }
    template <class T>
    static T log_density(const T& z) { return -0.5 * (z * z) - 0.9189385332046728; }
    template <class T>
    static T log_hazard(const T& z) { return log_density(z) - log_normal_above(z); }
    template <class T>
    static T log_between(const T& z, const T& width) {
        const T middle = z + 0.5 * width;
        if (value_of(width) < 1e-3 && std::fabs(value_of(middle)) * value_of(width) < 0.05)
            return log_density(middle) + log_of(width) + log1p_of(T((1.0 / 24) * (width * width) * (middle * middle - 1.0)));
        if (value_of(middle) < 0) return above_between(T(-z - width), T(-z));
        return above_between(z, T(z + width));
    }
    static double quantile(double p);

private:
    template <class T>
    static T above_between(const T& a, const T& b) {
        const T top = log_normal_above(a);
        return top + log1mexp(T(top - log_normal_above(b)));
    }
};

/// Lives whose logarithm is mu + sigma times a standard variable. ln sigma = 0 is the exponential life of `ExtremeValue`.
template <class Standard, class T>
struct LogLocationScale {
    T mu;
    T log_sigma;
    T steep;  ///< 1/sigma

    T z(const Moment& m) const { return (m.log_t - mu) * steep; }
    T log_survival(const Moment& m) const { return Standard::log_survival(z(m)); }
    T log_failed(const Moment& m) const { return Standard::log_failed(z(m)); }
    T log_density(const Moment& m) const { return Standard::log_density(z(m)) - log_sigma - m.log_t; }
    T log_hazard(const Moment& m) const { return Standard::log_hazard(z(m)) - log_sigma - m.log_t; }
    T log_between(const Moment& a, const Moment& b) const {
        return Standard::log_between(z(a), T((b.log_t - a.log_t) * steep));
    }
};

/// A share has an early defect with an exponential life; everything wears out by a Weibull life, and what comes first
/// counts: S(t) = (1 - share (1 - e^{-t/m})) exp(-(t/scale)^shape).
template <class T>
struct EarlyAndWearOut {
    LogLocationScale<ExtremeValue, T> wear;
    T log_odds;   ///< of the share
    T log_early;  ///< ln m

    T share() const { return exp_of(T(-softplus(T(-log_odds)))); }
    T rate() const { return exp_of(T(-log_early)); }
    /// Failed early by t, of all.
    T early(const Moment& m) const { return -(share() * expm1_of(T(-(rate() * m.t)))); }
    T log_survival(const Moment& m) const { return log1p_of(T(-early(m))) + wear.log_survival(m); }
    T log_failed(const Moment& m) const { return log1mexp(T(-log_survival(m))); }
    T log_density(const Moment& m) const { return log_survival(m) + log_hazard(m); }
    T log_hazard(const Moment& m) const {
        // Sum of the two hazards, each as a logarithm.
        const T a = wear.z(m) - wear.log_sigma - m.log_t;
        const T b = -softplus(T(-log_odds)) - log_early - rate() * m.t - log1p_of(T(-early(m)));
        return a + softplus(T(b - a));
    }
    T log_between(const Moment& a, const Moment& b) const {
        const T wear_part = exp_of(T(wear.z(a) + log_expm1(T((b.log_t - a.log_t) * wear.steep))));
        const T before = early(a);
        const T more = -(share() * exp_of(T(-(rate() * a.t))) * expm1_of(T(-(rate() * (b.t - a.t)))));
        const T early_part = -log1p_of(T(-(more * exp_of(T(-log1p_of(T(-before)))))));
        return log1p_of(T(-before)) + wear.log_survival(a) + log1mexp(T(wear_part + early_part));
    }
};

}  // namespace libseal::detail
