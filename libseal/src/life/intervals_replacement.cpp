#include <algorithm>
#include <cmath>
#include <string>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"
#include "libseal/life/intervals.hpp"
#include "life/lowest.hpp"
#include "life/renewals.hpp"

namespace libseal {
namespace {

constexpr double tie = 1e-10;  ///< relative saving below which an interval is no better than none

std::string row(const char* name, Eigen::Index i) { return std::string(name) + "[" + std::to_string(i) + "]"; }

double age_cost(const LifeLaw& life, double planned_cost, double failure_cost, double age) {
    if (std::isinf(age)) return failure_cost / life.mean();
    const double left = life.survival(age);
    return (planned_cost * left + failure_cost * (1 - left)) / life.area(age);
}

void check_costs(double planned_cost, double failure_cost) {
    require_positive(planned_cost, "planned_cost");
    require_positive(failure_cost, "failure_cost");
}

/// How far ahead block intervals are searched: narrow lives have their optimum before the mean, wide ones settle slowly.
double block_horizon(const LifeLaw& life) {
    const double spread = (life.quantile(0.84) - life.quantile(0.16)) / (2 * life.mean());
    return std::min(life.mean() * (spread < 0.3 ? 4 : 20), 0.15 * detail::Renewals::longest(life));
}

double cumulative_hazard(const LifeLaw& life, double t) {
    const double left = life.survival(t);
    return left > 0.5 ? -std::log1p(-(1 - left)) : -std::log(left);
}

}  // namespace

ReplacementAge best_replacement_age(const LifeLaw& life, double planned_cost, double failure_cost) {
    check_costs(planned_cost, failure_cost);
    const double run = failure_cost / life.mean();
    if (failure_cost <= planned_cost) return {INFINITY, run, run, false};
    const Column grid = detail::even_ratios(life.quantile(0.5) * 1e-12, life.horizon(), 800);
    const double wanted = planned_cost / (failure_cost - planned_cost);
    const auto lowest = detail::lowest_point(
        grid, [&](double t) { return age_cost(life, planned_cost, failure_cost, t); },
        [&](double t) { return life.hazard(t) * life.area(t) - (1 - life.survival(t)) - wanted; });
    if (!lowest.inside || lowest.value > run * (1 - tie)) return {INFINITY, run, run, false};
    return {lowest.at, lowest.value, run, true};
}

Column replacement_cost_curve(const LifeLaw& life, double planned_cost, double failure_cost, ConstColumn ages) {
    check_costs(planned_cost, failure_cost);
    Column result(ages.size());
    for (Eigen::Index i = 0; i < ages.size(); ++i) {
        if (!(ages[i] > 0)) throw_value_error(row("ages", i), "an age > 0", number_text(ages[i]));
        result[i] = age_cost(life, planned_cost, failure_cost, ages[i]);
    }
    return result;
}

Column renewal_function(const LifeLaw& life, ConstColumn times) {
    double last = 0;
    for (Eigen::Index i = 0; i < times.size(); ++i)
        last = std::max(last, require_between(times[i], 0, 1000 * life.mean(), row("times", i)));
    Column result = Column::Zero(times.size());
    if (last == 0) return result;
    const detail::Renewals renewals(life, last);
    for (Eigen::Index i = 0; i < times.size(); ++i) result[i] = renewals.expected(times[i]);
    return result;
}

BlockInterval best_block_interval(const LifeLaw& life, double planned_cost, double failure_cost) {
    check_costs(planned_cost, failure_cost);
    const double run = failure_cost / life.mean(), far = block_horizon(life);
    if (failure_cost <= planned_cost) return {INFINITY, run, run, false};
    const detail::Renewals renewals(life, far);
    const Column grid = detail::even_ratios(std::min(life.quantile(0.5), far) * 1e-9, far, 2000);
    const auto lowest = detail::lowest_point(
        grid, [&](double t) { return (planned_cost + failure_cost * renewals.expected(t)) / t; },
        [&](double t) { return t * renewals.rate(t) - renewals.expected(t) - planned_cost / failure_cost; });
    if (!lowest.inside || lowest.value > run * (1 - tie)) return {INFINITY, run, run, false};
    return {lowest.at, lowest.value, run, true};
}

Column block_cost_curve(const LifeLaw& life, double planned_cost, double failure_cost, ConstColumn intervals) {
    check_costs(planned_cost, failure_cost);
    for (Eigen::Index i = 0; i < intervals.size(); ++i) require_positive(intervals[i], row("intervals", i));
    return (planned_cost + failure_cost * renewal_function(life, intervals)) / intervals;
}

BlockInterval best_renewal_interval(const LifeLaw& life, double planned_cost, double repair_cost) {
    require_positive(planned_cost, "planned_cost");
    require_positive(repair_cost, "repair_cost");
    const auto cost = [&](double t) { return (planned_cost + repair_cost * cumulative_hazard(life, t)) / t; };
    const auto slope = [&](double t) {
        return t * life.hazard(t) - cumulative_hazard(life, t) - planned_cost / repair_cost;
    };
    const auto names = life.parameter_names();
    const bool weibull = names.size() == 2 && names[0] == "scale";
    if (weibull) {
        const double scale = life.parameter("scale"), shape = life.parameter("shape");
        if (shape > 1) {
            const double at = scale * std::pow(planned_cost / (repair_cost * (shape - 1)), 1 / shape);
            if (std::isfinite(at) && at > 0) return {at, planned_cost * shape / ((shape - 1) * at), INFINITY, true};
        }
        const double forever = shape < 1 ? 0 : shape == 1 ? repair_cost / scale : INFINITY;
        return {INFINITY, forever, forever, false};
    }
    // Beyond the horizon the survival has no digits left from which a cumulative hazard could be told.
    const double far = life.quantile(1 - 1e-9);
    const auto lowest = detail::lowest_point(detail::even_ratios(life.quantile(0.5) * 1e-9, far, 2000), cost, slope);
    if (lowest.inside) return {lowest.at, lowest.value, cost(far), true};
    // Never renewing tends to the hazard that is left, unless that still rises.
    const double left = life.hazard(far);
    const double forever = left > life.hazard(life.quantile(1 - 1e-6)) * (1 + 1e-9) ? lowest.value : repair_cost * left;
    return {INFINITY, forever, forever, false};
}

}  // namespace libseal
