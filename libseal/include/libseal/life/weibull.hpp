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

    double scale() const { return scale_; }
    double shape() const { return shape_; }

    /// Probability of no failure up to t. [-], t in [yr], 1 for t <= 0.
    double survival(double t) const { return t <= 0 ? 1.0 : std::exp(-std::pow(t / scale_, shape_)); }

    /// Density of the time to failure. [1/yr], t in [yr], 0 for t < 0.
    double density(double t) const { return t < 0 ? 0.0 : hazard(t) * survival(t); }

    /// Rate of failure among those still sound. [1/yr], t in [yr], 0 for t < 0.
    double hazard(double t) const {
        return t < 0 ? 0.0 : shape_ / scale_ * std::pow(t / scale_, shape_ - 1);
    }

    /// Time by which a share p has failed. [yr], p in (0, 1).
    /// log1p keeps small p exact: the first due dates of a fleet live there.
    double quantile(double p) const {
        require_inside(p, 0.0, 1.0, "p");
        return scale_ * std::pow(-std::log1p(-p), 1.0 / shape_);
    }

    /// Mean time to failure. [yr]
    double mean() const { return scale_ * std::tgamma(1 + 1 / shape_); }

private:
    double scale_, shape_;
};

}  // namespace libseal
