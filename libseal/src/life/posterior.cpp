// Posterior of a Weibull life with lognormal priors, on grids that close in on where it lives.
#include <Eigen/Core>
#include <algorithm>
#include <cmath>
#include <limits>
#include <string>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"
#include "libseal/life/quadrature.hpp"
#include "libseal/life/update.hpp"
#include "life/weibull_likelihood.hpp"

namespace libseal {
namespace {

constexpr double furthest = 12;    // standard deviations of the prior
constexpr double negligible = 60;  // e^-60 of the peak

void check_data(const LifeData& data) {
    if (data.upper.size() != data.lower.size())
        throw_value_error("upper", std::to_string(data.lower.size()) + " values, as many as lower",
                          std::to_string(data.upper.size()));
    for (Eigen::Index i = 0; i < data.lower.size(); ++i) {
        const std::string at = "[" + std::to_string(i) + "]";
        require_not_negative(data.lower[i], "lower" + at);
        if (!(data.upper[i] >= data.lower[i]) || !(data.upper[i] > 0))
            throw_value_error("upper" + at, "a time > 0, not before lower", number_text(data.upper[i]));
    }
}

void check_prior(const LognormalPrior& prior, const char* name) {
    require_positive(prior.median, std::string(name) + ".median");
    if (!(prior.log_sd > 0 && prior.log_sd <= 5))
        throw_value_error(std::string(name) + ".log_sd", "a number above 0 to 5", number_text(prior.log_sd));
}

/// ln of the standard normal density.
double log_normal(double z) { return -0.5 * z * z - 0.91893853320467274178; }

/// A range of standard deviations of the prior.
struct Range {
    double low = 0, high = 0;
    double width() const { return high - low; }
    double at(int i, int last) const { return low + width() * i / last; }
};

/// Shrinks a range to where values on an even grid come within `negligible` of the peak, and one step more. So it does for the values
/// times e^(tilt z): moments of a wide belief gather their mass far above its peak.
Range closed_in(const Range& range, const Eigen::ArrayXd& best, double tilt) {
    const int last = static_cast<int>(best.size()) - 1;
    const Eigen::ArrayXd tilted = best + tilt * Eigen::ArrayXd::LinSpaced(last + 1, range.low, range.high);
    const double floor = best.maxCoeff() - negligible, floor_tilted = tilted.maxCoeff() - negligible;
    const auto counts = [&](int i) { return best[i] >= floor || tilted[i] >= floor_tilted; };
    int first = 0, end = last;
    while (first < last && !counts(first)) ++first;
    while (end > first && !counts(end)) --end;
    return {range.at(std::max(first - 1, 0), last), range.at(std::min(end + 1, last), last)};
}

void require_peak(double peak) {
    if (!std::isfinite(peak))
        throw_value_error("data", "lives that the prior allows", "lives of probability 0",
                          "widen the prior, or look for a slip in the data");
}

}  // namespace

double ScalePosterior::quantile(double p) const {
    require_inside(p, 0, 1, "p");
    if (below.size() < 2) throw_value_error("posterior", "a belief made by scale_posterior", "an empty one");
    const double* found = std::upper_bound(below.data(), below.data() + below.size(), p);
    const Eigen::Index i = std::clamp<Eigen::Index>(found - below.data(), 1, below.size() - 1);
    const double h = edge[i] - edge[i - 1], f0 = below[i - 1], f1 = below[i], g0 = slope[i - 1] * h, g1 = slope[i] * h;
    double low = 0, high = 1;
    for (int k = 0; k < 60; ++k) {  // the cubic through values and slopes rises
        const double u = 0.5 * (low + high), v = 1 - u;
        const double value = f0 * (1 + 2 * u) * v * v + g0 * u * v * v + f1 * u * u * (3 - 2 * u) - g1 * u * u * v;
        (value < p ? low : high) = u;
    }
    return std::exp(edge[i - 1] + 0.5 * (low + high) * h);
}

ScalePosterior scale_posterior(const LifeData& data, double shape, const LognormalPrior& scale) {
    check_data(data);
    check_prior(scale, "scale");
    require_positive(shape, "shape");
    const double centre = std::log(scale.median), sd = scale.log_sd;
    const detail::WeibullLikelihood likelihood(data);
    const detail::WeibullLikelihood::AtShape at_shape(likelihood, shape);
    const auto log_density = [&](double z) { return log_normal(z) + at_shape(centre + sd * z); };
    const double tilt = 2 * sd;  // of the second moment of the scale
    Range range{-furthest, furthest + tilt};
    double peak = 0, before = 0;
    do {
        constexpr int scanned = 400;
        Eigen::ArrayXd values(scanned + 1);
        for (int i = 0; i <= scanned; ++i) values[i] = log_density(range.at(i, scanned));
        peak = values.maxCoeff();
        require_peak(peak);
        before = range.width();
        range = closed_in(range, values, tilt);
    } while (range.width() < 0.5 * before);

    constexpr int panels = 1024;
    const Quadrature rule = gauss_legendre(5);
    const double half = 0.5 * range.width() / panels;
    ScalePosterior result;
    result.edge = Column(panels + 1);
    result.below = Column::Zero(panels + 1);
    result.slope = Column(panels + 1);
    double total = 0, m1 = 0, m2 = 0, log1 = 0, log2 = 0;
    for (int i = 0; i < panels; ++i) {
        const double middle = range.at(i, panels) + half;
        for (Eigen::Index k = 0; k < rule.node.size(); ++k) {
            const double z = middle + half * rule.node[k], mass = half * rule.weight[k] * std::exp(log_density(z) - peak);
            const double ratio = std::exp(sd * z);  // scale over its median before
            total += mass;
            m1 += mass * ratio;
            m2 += mass * ratio * ratio;
            log1 += mass * z;
            log2 += mass * z * z;
        }
        result.below[i + 1] = total;
    }
    for (int i = 0; i <= panels; ++i) {
        const double z = range.at(i, panels);
        result.edge[i] = centre + sd * z;
        result.slope[i] = std::exp(log_density(z) - peak) / (total * sd);
    }
    result.below /= total;
    result.evidence = total * std::exp(peak);
    result.mean = scale.median * m1 / total;
    result.sd = scale.median * std::sqrt(std::max(m2 / total - (m1 / total) * (m1 / total), 0.0));
    result.log_mean = centre + sd * log1 / total;
    result.log_sd = sd * std::sqrt(std::max(log2 / total - (log1 / total) * (log1 / total), 0.0));
    return result;
}

LifePosterior life_posterior(const LifeData& data, const LognormalPrior& scale, const LognormalPrior& shape) {
    check_data(data);
    check_prior(scale, "scale");
    check_prior(shape, "shape");
    const auto scale_at = [&](double x) { return scale.median * std::exp(scale.log_sd * x); };
    const auto shape_at = [&](double y) { return shape.median * std::exp(shape.log_sd * y); };
    const detail::WeibullLikelihood likelihood(data);
    const double log_scale = std::log(scale.median);
    /// At one y for many x.
    const auto log_density = [&](double y) {
        return [&, y, at_shape = detail::WeibullLikelihood::AtShape(likelihood, shape_at(y))](double x) {
            return log_normal(x) + log_normal(y) + at_shape(log_scale + scale.log_sd * x);
        };
    };
    Range across{-9, 9 + scale.log_sd}, along{-9, 9 + shape.log_sd};
    double peak = 0, before = 0;
    do {
        constexpr int scanned = 120;
        Eigen::ArrayXXd values(scanned + 1, scanned + 1);
        for (int j = 0; j <= scanned; ++j) {
            const auto density = log_density(along.at(j, scanned));
            for (int i = 0; i <= scanned; ++i) values(i, j) = density(across.at(i, scanned));
        }
        peak = values.maxCoeff();
        require_peak(peak);
        before = across.width() * along.width();
        across = closed_in(across, values.rowwise().maxCoeff(), scale.log_sd);
        along = closed_in(along, values.colwise().maxCoeff().transpose(), shape.log_sd);
    } while (across.width() * along.width() < 0.25 * before);

    constexpr int steps = 200;  // the trapezoid: the density and all its slopes vanish at the ends
    double total = 0, scale1 = 0, shape1 = 0, x1 = 0, y1 = 0, xx = 0, yy = 0, xy = 0;
    for (int j = 0; j <= steps; ++j) {
        const double y = along.at(j, steps);
        const auto density = log_density(y);
        for (int i = 0; i <= steps; ++i) {
            const double x = across.at(i, steps), mass = std::exp(density(x) - peak);
            total += mass;
            scale1 += mass * scale_at(x);
            shape1 += mass * shape_at(y);
            x1 += mass * x;
            y1 += mass * y;
            xx += mass * x * x;
            yy += mass * y * y;
            xy += mass * x * y;
        }
    }
    const double cell = across.width() * along.width() / (steps * steps);
    const double mx = x1 / total, my = y1 / total;
    LifePosterior result;
    result.evidence = total * cell * std::exp(peak);
    result.scale_mean = scale1 / total;
    result.shape_mean = shape1 / total;
    result.log_scale_mean = std::log(scale.median) + scale.log_sd * mx;
    result.log_shape_mean = std::log(shape.median) + shape.log_sd * my;
    result.log_scale_sd = scale.log_sd * std::sqrt(std::max(xx / total - mx * mx, 0.0));
    result.log_shape_sd = shape.log_sd * std::sqrt(std::max(yy / total - my * my, 0.0));
    result.log_covariance = scale.log_sd * shape.log_sd * (xy / total - mx * my);
    return result;
}

}  // namespace libseal
