#pragma once
// Two-parameter Weibull life: the wear-out part of every layer's life.

#include <cmath>

#include "libseal/core/require.hpp"

namespace libseal {

/// Time to failure with survival S(t) = exp(-(t/scale)^shape).
///
/// @source  Meeker & Escobar 1998, Statistical Methods for Reliability Data, section 4.8 (from memory).
class Weibull {
public:
    /// @param scale  Characteristic life, reached by 36.8 % of layers. [yr], > 0.
    /// @param shape  Below 1 early failures, above 1 wear-out. [-], > 0.
    /// @throws ValueError  naming the argument, its value and the allowed range.
    Weibull(double scale, double shape)
        : scale_(require_positive(scale, "scale")), shape_(require_positive(shape, "shape")) {}

    /// [unit of time]
    double scale() const { return scale_; }
    /// [-]
    double shape() const { return shape_; }

    /// Probability of no failure up to t. [-], 1 for t <= 0.  @param t  [yr]
    double survival(double t) const { return t <= 0 ? 1.0 : std::exp(-std::pow(t / scale_, shape_)); }

    /// Density of the time to failure. [1/yr], 0 for t < 0.  @param t  [yr]
    double density(double t) const { return t < 0 ? 0.0 : hazard(t) * survival(t); }

    /// Rate of failure among those still sound. [1/yr], 0 for t < 0.  @param t  [yr]
    double hazard(double t) const {
        return t < 0 ? 0.0 : shape_ / scale_ * std::pow(t / scale_, shape_ - 1);
    }

    /// Time by which a share p has failed. log1p keeps small p exact: the first due dates of a fleet live there. [yr]
    /// @param p  [-], in (0, 1)
    double quantile(double p) const {
        require_inside(p, 0.0, 1.0, "p");
        return scale_ * std::pow(-std::log1p(-p), 1.0 / shape_);
    }

    /// Mean time to failure. [yr]
    double mean() const { return scale_ * std::tgamma(1 + 1 / shape_); }

    /// Variance of the time to failure. [yr^2]
    double variance() const {
        const double first = std::tgamma(1 + 1 / shape_);
        return scale_ * scale_ * (std::tgamma(1 + 2 / shape_) - first * first);
    }

    /// Probability of no failure up to t for what is sound at `alive`. [-], 1 for t <= alive
    /// @param t, alive  [yr], alive >= 0
    double survival_given_alive(double t, double alive) const {
        const double since = std::pow(require_not_negative(alive, "alive") / scale_, shape_);
        return t <= alive ? 1.0 : std::exp(since - std::pow(t / scale_, shape_));
    }

    /// Age by which a share p of those sound at `alive` has failed. [yr]
    /// @param p  [-], in (0, 1)  @param alive  [yr], >= 0
    double quantile_given_alive(double p, double alive) const {
        require_inside(p, 0.0, 1.0, "p");
        const double since = std::pow(require_not_negative(alive, "alive") / scale_, shape_);
        return scale_ * std::pow(since - std::log1p(-p), 1 / shape_);
    }

    /// Mean time that is left to what is sound at `alive`. [yr]  @param alive  [yr], >= 0
    double mean_residual(double alive) const;

private:
    double scale_, shape_;
};

/// The Weibull life with failed shares p1 at t1 and p2 at t2.
/// @param t1,t2  [yr], 0 < t1 < t2  @param p1,p2  [-], 0 < p1 < p2 < 1
/// @throws ValueError  naming the argument, its value and the allowed range.
Weibull weibull_through(double t1, double p1, double t2, double p2);

/// Large-sample covariance of the maximum-likelihood estimates from a sample without censoring.
struct WeibullCovariance {
    double log_scale = 0;  ///< variance of ln scale [-]
    double shape = 0;      ///< variance of the shape [-]
    double both = 0;       ///< covariance of ln scale and shape [-]
};
/// @param count  Failures. >= 1  @param shape  [-], > 0
/// @source  Fisher information of the Weibull distribution in closed form (Meeker & Escobar 1998, from memory).
WeibullCovariance complete_sample_covariance(int count, double shape);

}  // namespace libseal
