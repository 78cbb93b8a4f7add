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

/// Lowest cost of equal block intervals up to `far`. @param expected, rate  Renewals, and how fast they come.
template <class Expected, class Rate>
detail::LowestPoint lowest_block(const LifeLaw& life, double ratio, double far, Expected&& expected, Rate&& rate) {
    return detail::lowest_point(
        detail::even_ratios(std::min(life.quantile(0.5), far) * 1e-9, far, 2000), [&](double t) { return (ratio + expected(t)) / t; },
        [&](double t) { return t * rate(t) - expected(t) - ratio; });
}

/// The same, as far ahead as it has to be searched: narrow lives have their optimum before the mean, wide ones settle slowly.
/// Costs in units of a failure's, `ratio` of a planned one.
detail::LowestPoint lowest_block(const LifeLaw& life, double ratio) {
    const double spread = life.quantile(0.84) - life.quantile(0.16), held = 0.15 * detail::Renewals::longest(life), past_first = 1.5 * life.mean();
    if (spread < 0.1 * life.quantile(0.5) && held < past_first) {
        // Steps so fine do not reach the first renewals. Nothing is renewed twice so early if next to nothing lasts half as long: M is F.
        if (1 - life.survival(0.5 * past_first) > 1e-12)
            throw_value_error("life", "a life less narrow, or without early failures",
                              "half of all failures within " + number_text(life.quantile(0.75) - life.quantile(0.25)) + ", some before " +
                                  number_text(0.5 * past_first));
        return lowest_block(life, ratio, past_first, [&](double t) { return 1 - life.survival(t); }, [&](double t) { return life.density(t); });
    }
    const double far = std::min(life.mean() * (spread < 0.6 * life.mean() ? 4 : 20), held);
    const detail::Renewals renewals(life, far);
    return lowest_block(life, ratio, far, [&](double t) { return renewals.expected(t); }, [&](double t) { return renewals.rate(t); });
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
    const double run = failure_cost / life.mean();
    if (failure_cost <= planned_cost) return {INFINITY, run, run, false};
    const auto lowest = lowest_block(life, planned_cost / failure_cost);
    const double cost = failure_cost * lowest.value;
    if (!lowest.inside || cost > run * (1 - tie)) return {INFINITY, run, run, false};
    return {lowest.at, cost, run, true};
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
    // Never renewing tends to the hazard that is left, unless that still rises.
    const double left = life.hazard(far);
    const double forever = left > life.hazard(life.quantile(1 - 1e-6)) * (1 + 1e-9) ? INFINITY : repair_cost * left;
    if (lowest.inside && lowest.value <= forever * (1 - tie)) return {lowest.at, lowest.value, forever, true};
    // Where costs still fall at the horizon, the best interval lies beyond it.
    return {INFINITY, std::min(forever, lowest.value), forever, false};
}

}  // namespace libseal
