#include <algorithm>
#include <cmath>
#include <string>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"
#include "libseal/life/intervals.hpp"
#include "life/least_detection.hpp"
#include "life/lowest.hpp"

namespace libseal {
namespace {

constexpr double tie = 1e-10;

std::string row(const char* name, Eigen::Index i) { return std::string(name) + "[" + std::to_string(i) + "]"; }

void check_intervals(ConstColumn intervals) {
    for (Eigen::Index i = 0; i < intervals.size(); ++i) require_positive(intervals[i], row("intervals", i));
}

void check_detection(double detection) {
    if (!(detection >= detail::least_detection && detection <= 1))
        throw_value_error("detection", number_text(detail::least_detection) + " to 1", number_text(detection),
                          "with less, no interval of looks is worth comparing");
}

/// Share of defects that end as failures, and its slope over the interval.
struct FailureShare {
    double share = 0;
    double slope = 0;
};
FailureShare failure_share(const LifeLaw& delay, double detection, double interval) {
    double found = 0, turn = 0, missed = 1, before = 0, left_before = 0;
    for (int n = 1; missed > 1e-18; ++n) {
        const double t = n * interval, area = delay.area(t), left = t * delay.survival(t);
        found += missed * (area - before);
        turn += missed * (left - left_before);  // d area(nT)/dT = n S(nT), here times T
        if (area - before <= 1e-17 * area && left == 0) break;
        before = area;
        left_before = left;
        missed *= 1 - detection;
    }
    const double scale = detection / interval;
    return {std::clamp(1 - scale * found, 0.0, 1.0), scale * (found - turn) / interval};
}

/// Intervals among which the best is searched: from those that cost far too much in looks to those that find nothing.
Column candidates(const LifeLaw& delay, double detection, double rule) {
    const double far = 4 * delay.mean() / detection + 4 * delay.quantile(0.999);
    return detail::even_ratios(std::min(0.05 * rule, 1e-3 * far), 100 * far, 250);
}

constexpr int most_terms = 2000;

/// Sum of the survival at 0, T, 2T, ...; what follows many terms is an integral with the ends of Euler's formula.
double renewals_sum(const LifeLaw& life, double interval, double far) {
    double sum = 1;
    int n = 1;
    for (; n < most_terms && n * interval < far; ++n) sum += life.survival(n * interval);
    const double t = n * interval;
    if (t < far) sum += (life.mean() - life.area(t)) / interval + 0.5 * life.survival(t) + interval * life.density(t) / 12;
    return sum;
}

/// Minus its slope over T: the sum of n f(nT).
double density_sum(const LifeLaw& life, double interval, double far) {
    double sum = 0;
    int n = 1;
    for (; n < most_terms && n * interval < far; ++n) sum += n * life.density(n * interval);
    const double t = n * interval;
    if (t < far) sum += ((life.mean() - life.area(t)) / interval + n * life.survival(t)) / interval + 0.5 * n * life.density(t);
    return sum;
}

void check_inspection(double defect_rate, double detection, double inspection_cost, double repair_cost, double failure_cost) {
    require_positive(defect_rate, "defect_rate");
    check_detection(detection);
    require_positive(inspection_cost, "inspection_cost");
    require_not_negative(repair_cost, "repair_cost");
    require_not_negative(failure_cost, "failure_cost");
}

}  // namespace

Column defect_failure_share(const LifeLaw& delay, double detection, ConstColumn intervals) {
    check_detection(detection);
    check_intervals(intervals);
    return intervals.unaryExpr([&](double t) { return failure_share(delay, detection, t).share; });
}

Column inspection_cost_curve(double defect_rate, const LifeLaw& delay, double detection, double inspection_cost, double repair_cost,
                             double failure_cost, ConstColumn intervals) {
    check_inspection(defect_rate, detection, inspection_cost, repair_cost, failure_cost);
    check_intervals(intervals);
    return intervals.unaryExpr([&](double t) {
        const double b = failure_share(delay, detection, t).share;
        return defect_rate * (b * failure_cost + (1 - b) * repair_cost) + inspection_cost / t;
    });
}

InspectionInterval best_inspection_interval(double defect_rate, const LifeLaw& delay, double detection, double inspection_cost,
                                            double repair_cost, double failure_cost) {
    check_inspection(defect_rate, detection, inspection_cost, repair_cost, failure_cost);
    const double none = defect_rate * failure_cost, saved = defect_rate * (failure_cost - repair_cost);
    if (saved <= 0) return {INFINITY, none, none, 1, false};
    const double rule = std::sqrt(2 * delay.mean() * inspection_cost / saved);
    const auto lowest = detail::lowest_point(
        candidates(delay, detection, rule),
        [&](double t) {
            const double b = failure_share(delay, detection, t).share;
            return defect_rate * (b * failure_cost + (1 - b) * repair_cost) + inspection_cost / t;
        },
        [&](double t) { return saved * failure_share(delay, detection, t).slope * t * t - inspection_cost; });
    if (!lowest.inside || lowest.value > none * (1 - tie)) return {INFINITY, none, none, 1, false};
    return {lowest.at, lowest.value, none, failure_share(delay, detection, lowest.at).share, true};
}

InspectionInterval best_inspection_downtime(double defect_rate, const LifeLaw& delay, double detection, double failure_downtime,
                                            double inspection_downtime) {
    require_positive(defect_rate, "defect_rate");
    check_detection(detection);
    require_positive(failure_downtime, "failure_downtime");
    require_positive(inspection_downtime, "inspection_downtime");
    const double lost = defect_rate * failure_downtime, rule = std::sqrt(2 * delay.mean() * inspection_downtime / lost);
    const auto lowest = detail::lowest_point(
        candidates(delay, detection, rule),
        [&](double t) {
            return (lost * t * failure_share(delay, detection, t).share + inspection_downtime) / (t + inspection_downtime);
        },
        [&](double t) {
            const auto b = failure_share(delay, detection, t);
            return lost * (b.share + t * b.slope) * (t + inspection_downtime) - lost * t * b.share - inspection_downtime;
        });
    if (!lowest.inside || lowest.value > lost * (1 - tie)) return {INFINITY, lost, lost, 1, false};
    return {lowest.at, lowest.value, lost, failure_share(delay, detection, lowest.at).share, true};
}

Column hidden_failure_cost_curve(const LifeLaw& life, double inspection_cost, double failed_cost, ConstColumn intervals) {
    require_positive(inspection_cost, "inspection_cost");
    require_positive(failed_cost, "failed_cost");
    check_intervals(intervals);
    const double far = 2 * life.horizon();
    return intervals.unaryExpr([&](double t) {
        return (inspection_cost + failed_cost * t) * renewals_sum(life, t, far) - failed_cost * life.mean();
    });
}

HiddenFailureInterval best_hidden_failure_interval(const LifeLaw& life, double inspection_cost, double failed_cost) {
    require_positive(inspection_cost, "inspection_cost");
    require_positive(failed_cost, "failed_cost");
    const double mean = life.mean(), far = life.horizon();
    if (inspection_cost < 1e-10 * failed_cost * mean)
        throw_value_error("inspection_cost", "at least 1e-10 of what a mean life costs while failed", number_text(inspection_cost),
                          "tests that cost nothing are made all the time");
    const double rule = std::sqrt(2 * inspection_cost * mean / failed_cost);
    // A narrow life has a narrow valley at each whole part of its end: steps finer than its spread.
    const double low = std::min(0.2 * rule, 0.05 * mean), high = std::max(10 * rule, 2 * far), spread = (life.quantile(0.84) - life.quantile(0.16)) / mean;
    const Column grid = detail::even_ratios(low, high, static_cast<int>(std::clamp(std::log(high / low) / (0.1 * spread), 1000.0, 20000.0)));
    // Survival beyond 1e-12 still counts in the sums where few tests are made.
    const double end = 2 * far;
    const auto lowest = detail::lowest_point(
        grid, [&](double t) { return (inspection_cost + failed_cost * t) * renewals_sum(life, t, end) - failed_cost * mean; },
        [&](double t) {
            return failed_cost * renewals_sum(life, t, end) - (inspection_cost + failed_cost * t) * density_sum(life, t, end);
        });
    return {lowest.at, lowest.value, rule, 1 - mean / (lowest.at * renewals_sum(life, lowest.at, end))};
}

double found_within(double detection, int visits) {
    require_between(detection, 0, 1, "detection");
    require_between(visits, 0, 1e9, "visits");
    return detection == 1 ? (visits > 0 ? 1 : 0) : -std::expm1(visits * std::log1p(-detection));
}

int visits_for_target(double detection, double target) {
    if (!(detection > 0 && detection <= 1)) throw_value_error("detection", "above 0, at most 1", number_text(detection));
    if (!(target >= 0 && target < 1))
        throw_value_error("target", "0 to below 1", number_text(target), "certainty takes looks without end");
    if (target == 0) return 0;
    if (detection == 1) return 1;
    const double looks = std::log1p(-target) / std::log1p(-detection);
    if (looks > 1e9) throw_value_error("detection", "a chance that 10^9 looks make enough", number_text(detection));
    // A target that is met to the last bits is met.
    return std::max(1, static_cast<int>(std::ceil(looks - 1e-9)));
}

double visit_interval(double pf_interval, double detection, double target) {
    require_positive(pf_interval, "pf_interval");
    return pf_interval / std::max(1, visits_for_target(detection, target));
}

}  // namespace libseal
