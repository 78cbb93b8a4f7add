#include "libseal/life/shared_rates.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"
#include "life/special.hpp"

namespace libseal {
namespace {

std::string row(const char* name, Eigen::Index i) { return std::string(name) + "[" + std::to_string(i) + "]"; }

void check_units(ConstColumn events, ConstColumn exposure) {
    if (events.size() < 2) throw_value_error("events", "at least two units", std::to_string(events.size()));
    if (exposure.size() != events.size())
        throw_value_error("exposure", std::to_string(events.size()) + " values, as many as events", std::to_string(exposure.size()));
    for (Eigen::Index i = 0; i < events.size(); ++i) {
        require_between(events[i], 0, 1e9, row("events", i));
        require_positive(exposure[i], row("exposure", i));
    }
}

/// First and second derivative of ln gamma at x > 0, by recurrence to where the series of Stirling has its digits.
struct Gammas {
    double first = 0, second = 0;
};
Gammas gammas(double x) {
    Gammas result;
    for (; x < 12; ++x) {
        result.first -= 1 / x;
        result.second += 1 / (x * x);
    }
    const double y = 1 / (x * x);
    result.first += std::log(x) - 0.5 / x - y * (1.0 / 12 - y * (1.0 / 120 - y * (1.0 / 252 - y * (1.0 / 240 - y / 132))));
    result.second += 1 / x + 0.5 * y + y / x * (1.0 / 6 - y * (1.0 / 30 - y * (1.0 / 42 - y * (1.0 / 30 - y * 5 / 66))));
    return result;
}

/// ln Gamma(a + x) - ln Gamma(a), to its digits also where a is large.
double log_rising(double a, double x) {
    if (x == std::floor(x) && x < 200) {
        double sum = 0;
        for (int k = 0; k < static_cast<int>(x); ++k) sum += std::log(a + k);
        return sum;
    }
    return std::lgamma(a + x) - std::lgamma(a);
}

double log_likelihood(ConstColumn x, ConstColumn t, double a, double b) {
    double sum = 0;
    for (Eigen::Index i = 0; i < x.size(); ++i)
        sum += log_rising(a, x[i]) - std::lgamma(x[i] + 1) - a * std::log1p(t[i] / b) + x[i] * std::log(t[i] / (b + t[i]));
    return sum;
}

/// Likeliest mean rate for a shape: the zero of a falling function.
double mean_for_shape(ConstColumn x, ConstColumn t, double a) {
    double low = 1e-300, high = 2 * (x / t).maxCoeff();
    low = high * 1e-12;
    for (int k = 0; k < 100; ++k) {
        const double m = std::sqrt(low) * std::sqrt(high);
        const double slope = (x - (x + a) * m * t / (a + m * t)).sum();
        (slope > 0 ? low : high) = m;
        if (high / low - 1 < 1e-15) break;
    }
    return std::sqrt(low) * std::sqrt(high);
}

/// Derivatives of the log likelihood in ln a and ln b: two first, three second.
struct Slopes {
    double a = 0, b = 0, aa = 0, ab = 0, bb = 0;
};
Slopes slopes(ConstColumn x, ConstColumn t, double a, double b) {
    Slopes s;
    const Gammas base = gammas(a);
    for (Eigen::Index i = 0; i < x.size(); ++i) {
        const Gammas g = gammas(a + x[i]);
        const double share = t[i] / (b + t[i]), first = a * (g.first - base.first - std::log1p(t[i] / b));
        s.a += first;
        s.aa += first + a * a * (g.second - base.second);
        s.b += a * share - x[i] * (1 - share);
        s.ab += a * share;
        s.bb -= (a + x[i]) * share * (1 - share);
    }
    return s;
}

/// Shape and rate of greatest likelihood. @return  False: the likelihood rises with the shape without end.
bool fit(ConstColumn x, ConstColumn t, double& a, double& b) {
    const auto value = [&](double log_shape) {
        const double shape = std::exp(log_shape);
        return log_likelihood(x, t, shape, shape / mean_for_shape(x, t, shape));
    };
    constexpr double low = -12, high = 14;
    constexpr int steps = 104;
    double best = -INFINITY, at = low;
    for (int k = 0; k <= steps; ++k) {
        const double u = low + (high - low) * k / steps, v = value(u);
        if (v > best) best = v, at = u;
    }
    if (at >= high - 1e-9) return false;
    double left = at - 0.25, right = at + 0.25;
    for (int k = 0; k < 60; ++k) {
        const double third = (right - left) / 3;
        (value(left + third) < value(right - third) ? left : right) = value(left + third) < value(right - third) ? left + third : right - third;
    }
    a = std::exp(0.5 * (left + right));
    b = a / mean_for_shape(x, t, a);
    // Newton gives the last digits, where the likelihood is too flat to be compared.
    for (int k = 0; k < 20; ++k) {
        const Slopes s = slopes(x, t, a, b);
        const double determinant = s.aa * s.bb - s.ab * s.ab;
        if (!(determinant > 0)) break;
        const double da = -(s.bb * s.a - s.ab * s.b) / determinant, db = -(s.aa * s.b - s.ab * s.a) / determinant;
        if (!(std::fabs(da) + std::fabs(db) < 0.5)) break;
        a *= std::exp(da);
        b *= std::exp(db);
        if (std::fabs(da) + std::fabs(db) < 1e-13) break;
    }
    return a < 1e6;
}

SharedRates all_alike(ConstColumn x, ConstColumn t) {
    const Eigen::Index n = x.size();
    SharedRates result;
    result.alike = true;
    result.shape = result.rate = INFINITY;
    result.overall = x.sum() / t.sum();
    for (Eigen::Index i = 0; i < n; ++i) {
        const double mean = result.overall * t[i];
        result.log_likelihood += x[i] * std::log(mean) - mean - std::lgamma(x[i] + 1);
    }
    result.mean = result.lower = result.upper = Column::Constant(n, result.overall);
    result.sd = Column::Zero(n);
    result.above = Column::Constant(n, 0.5);
    return result;
}

}  // namespace

SharedRates shared_rates(ConstColumn events, ConstColumn exposure, double confidence) {
    check_units(events, exposure);
    require_inside(confidence, 0, 1, "confidence");
    if (!(events.sum() > 0))
        throw_value_error("events", "at least one event", "none", "without events rate_ratio bounds a rate, shared_rates_bayes believes one");
    double a = 0, b = 0;
    if (!fit(events, exposure, a, b)) return all_alike(events, exposure);
    SharedRates result;
    result.shape = a;
    result.rate = b;
    result.overall = a / b;
    result.log_likelihood = log_likelihood(events, exposure, a, b);
    const Slopes s = slopes(events, exposure, a, b);
    const double determinant = s.aa * s.bb - s.ab * s.ab;
    if (determinant > 0) {
        result.log_shape_variance = -s.bb / determinant;
        result.log_rate_variance = -s.aa / determinant;
        result.log_covariance = s.ab / determinant;
    }
    const Eigen::Index n = events.size();
    result.mean = (a + events) / (b + exposure);
    result.sd = (a + events).sqrt() / (b + exposure);
    result.lower = result.upper = result.above = Column(n);
    for (Eigen::Index i = 0; i < n; ++i) {
        const double shape = a + events[i], rate = b + exposure[i];
        result.lower[i] = detail::gamma_quantile(shape, 0.5 - 0.5 * confidence) / rate;
        result.upper[i] = detail::gamma_quantile(shape, 0.5 + 0.5 * confidence) / rate;
        result.above[i] = detail::gamma_above(shape, result.overall * rate);
    }
    return result;
}

namespace {

/// Log density of ln shape and ln rate after the counts, but for a constant.
class RatesDensity {
public:
    RatesDensity(ConstColumn events, ConstColumn exposure, const SharedRatesPrior& p) : x(events), t(exposure), prior(p) {}
    double of_shape(double a) const {
        double sum = prior.known_shape > 0 ? 0 : prior.shape_shape * std::log(a) - prior.shape_rate * a;
        for (Eigen::Index i = 0; i < x.size(); ++i) sum += log_rising(a, x[i]);
        return sum;
    }
    /// Joint part is a times the first, plus the second.
    std::pair<double, double> of_rate(double b) const {
        double with_shape = 0, alone = prior.rate_shape * std::log(b) - prior.rate_rate * b;
        for (Eigen::Index i = 0; i < x.size(); ++i) {
            with_shape -= std::log1p(t[i] / b);
            alone -= x[i] * std::log(b + t[i]);
        }
        return {with_shape, alone};
    }

private:
    const Column x, t;
    const SharedRatesPrior prior;
};

/// Log density on a grid of ln shape (rows) and ln rate (columns), less its greatest value.
Eigen::ArrayXXd on_grid(const RatesDensity& density, const Column& u, const Column& v) {
    Column of_shape(u.size());
    for (Eigen::Index i = 0; i < u.size(); ++i) of_shape[i] = density.of_shape(std::exp(u[i]));
    Eigen::ArrayXXd result(u.size(), v.size());
    for (Eigen::Index j = 0; j < v.size(); ++j) {
        const auto [with_shape, alone] = density.of_rate(std::exp(v[j]));
        result.col(j) = of_shape + u.exp() * with_shape + alone;
    }
    return result - result.maxCoeff();
}

/// The part of an axis where the best log density of a row is above -42, one step more at both ends.
Column cut(const Column& axis, const Column& best) {
    Eigen::Index first = 0, last = axis.size() - 1;
    while (first < last && best[first] < -42) ++first;
    while (last > first && best[last] < -42) --last;
    const double step = axis.size() > 1 ? axis[1] - axis[0] : 0;
    return Column::LinSpaced(axis.size(), axis[first] - step, axis[last] + step);
}

}  // namespace

SharedRatesBelief shared_rates_bayes(ConstColumn events, ConstColumn exposure, const SharedRatesPrior& prior) {
    check_units(events, exposure);
    require_positive(prior.shape_shape, "shape_shape");
    require_positive(prior.shape_rate, "shape_rate");
    require_positive(prior.rate_shape, "rate_shape");
    require_positive(prior.rate_rate, "rate_rate");
    require_not_negative(prior.known_shape, "known_shape");
    const RatesDensity density(events, exposure, prior);
    const bool known = prior.known_shape > 0;
    // From a wide look to the range that counts; an even grid there sums to all digits: the density is smooth and dies at its ends.
    const double far = std::min(
        45 / std::min(1.0, prior.rate_shape) + std::fabs(std::log(exposure.mean())) + std::fabs(std::log(prior.rate_rate)), 650.0);
    const double least = -std::min(60 / std::min(1.0, prior.shape_shape), 650.0), most = 25;  // of ln shape
    const auto steps = static_cast<Eigen::Index>(3.5 * (most - least));
    Column u = known ? Column::Constant(1, std::log(prior.known_shape)) : Column(Column::LinSpaced(std::max<Eigen::Index>(steps, 300), least, most));
    Column v = Column::LinSpaced(600, -far, far);
    Eigen::ArrayXXd mass = on_grid(density, u, v);
    for (int round = 0; round < 4; ++round) {
        if (!known) u = cut(u, mass.rowwise().maxCoeff());
        v = cut(v, mass.colwise().maxCoeff().transpose());
        mass = on_grid(density, u, v);
    }
    mass = mass.exp();
    mass /= mass.sum();
    const Eigen::Index n = events.size();
    SharedRatesBelief result{0, 0, 0, 0, Column::Zero(n), Column::Zero(n), Column::Zero(n)};
    double shape_square = 0, rate_square = 0, thin = 0;
    Column square = Column::Zero(n);
    for (Eigen::Index j = 0; j < v.size(); ++j)
        for (Eigen::Index i = 0; i < u.size(); ++i) {
            const double w = mass(i, j), a = std::exp(u[i]), b = std::exp(v[j]);
            if (w < 1e-18) continue;
            result.shape_mean += w * a;
            result.rate_mean += w * b;
            shape_square += w * a * a;
            rate_square += w * b * b;
            const Column mean = (a + events) / (b + exposure);
            result.mean += w * mean;
            square += w * (mean.square() + mean / (b + exposure));
            // Costly and smooth: a grid that is four times as coarse each way does.
            if (j % 4 != 0 || i % 4 != 0 || w < 1e-10) continue;
            thin += w;
            for (Eigen::Index k = 0; k < n; ++k) result.above[k] += w * detail::gamma_above(a + events[k], a / b * (b + exposure[k]));
        }
    result.above /= std::max(thin, 1e-300);
    result.shape_sd = std::sqrt(std::max(0.0, shape_square - result.shape_mean * result.shape_mean));
    if (known) result.shape_sd = 0;
    result.rate_sd = std::sqrt(std::max(0.0, rate_square - result.rate_mean * result.rate_mean));
    result.sd = (square - result.mean.square()).max(0.0).sqrt();
    result.above = result.above.min(1.0);
    return result;
}

}  // namespace libseal
