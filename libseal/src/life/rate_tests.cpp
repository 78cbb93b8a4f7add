// Which counts stand out: adjusted p values, funnel limits, exact limits of a ratio, and how much has to be seen.

#include <algorithm>
#include <cmath>
#include <numeric>
#include <string>
#include <vector>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"
#include "libseal/life/shared_rates.hpp"
#include "life/special.hpp"

namespace libseal {
namespace {

constexpr double most_events = 1e8;

std::string row(const char* name, Eigen::Index i) { return std::string(name) + "[" + std::to_string(i) + "]"; }

/// Chance of r events or fewer.
double at_most(double r, double mean) { return r < 0 ? 0 : detail::gamma_above(r + 1, mean); }

/// Limit of observed/expected for the p quantile of the counts, interpolated between counts.
double funnel_limit(double expected, double p) {
    double low = -1, high = expected + 10 * std::sqrt(expected) + 20;
    while (at_most(high, expected) < p) high *= 2;
    high = std::floor(high);
    while (high - low > 1) {
        const double middle = std::floor(0.5 * (low + high));
        (at_most(middle, expected) >= p ? high : low) = middle;
    }
    const double above = at_most(high, expected), below = at_most(high - 1, expected);
    const double share = above > below ? (above - p) / (above - below) : 0;
    return std::max(0.0, (high - share) / expected);
}

/// Smallest whole number from `first` on that is enough, what is enough once being enough from there on.
template <class Enough>
int smallest(int first, Enough&& enough) {
    constexpr int most = 10000000;
    if (enough(first)) return first;
    int low = first, high = std::max(2 * first, 2);
    while (!enough(high)) {
        if (high >= most) throw_value_error("ratio", "a ratio that 10^7 events tell from 1", "one nearer to 1");
        low = high;
        high = std::min(2 * high, most);
    }
    while (high - low > 1) {
        const int middle = low + (high - low) / 2;
        (enough(middle) ? high : low) = middle;
    }
    // Discrete tests need not be quite in order near the border.
    while (high > first && enough(high - 1)) --high;
    return high;
}

}  // namespace

Column benjamini_hochberg(ConstColumn p) {
    const Eigen::Index n = p.size();
    for (Eigen::Index i = 0; i < n; ++i) require_between(p[i], 0, 1, row("p", i));
    std::vector<Eigen::Index> order(static_cast<std::size_t>(n));
    std::iota(order.begin(), order.end(), 0);
    std::stable_sort(order.begin(), order.end(), [&](Eigen::Index a, Eigen::Index b) { return p[a] < p[b]; });
    Column adjusted(n);
    double least = 1;
    for (Eigen::Index rank = n; rank-- > 0;) {
        const Eigen::Index i = order[static_cast<std::size_t>(rank)];
        least = std::min(least, p[i] * static_cast<double>(n) / static_cast<double>(rank + 1));
        adjusted[i] = least;
    }
    return adjusted;
}

FunnelLimits funnel_limits(ConstColumn expected, double confidence) {
    require_inside(confidence, 0, 1, "confidence");
    const Eigen::Index n = expected.size();
    FunnelLimits result{expected, Column(n), Column(n)};
    for (Eigen::Index i = 0; i < n; ++i) {
        require_between(require_positive(expected[i], row("expected", i)), 0, most_events, row("expected", i));
        result.lower[i] = funnel_limit(expected[i], 0.5 - 0.5 * confidence);
        result.upper[i] = funnel_limit(expected[i], 0.5 + 0.5 * confidence);
    }
    return result;
}

RateRatio rate_ratio(double events, double expected, double confidence) {
    require_between(events, 0, most_events, "events");
    if (events != std::floor(events)) throw_value_error("events", "a whole number", number_text(events));
    require_between(require_positive(expected, "expected"), 0, most_events, "expected");
    require_inside(confidence, 0, 1, "confidence");
    const double tail = 0.5 - 0.5 * confidence;
    RateRatio result;
    result.ratio = events / expected;
    result.lower = events > 0 ? detail::gamma_quantile(events, tail) / expected : 0;
    result.upper = detail::gamma_quantile(events + 1, 1 - tail) / expected;
    result.p_high = events > 0 ? detail::gamma_below(events, expected) : 1;
    result.p_low = at_most(events, expected);
    const double just = std::exp(events * std::log(expected) - expected - std::lgamma(events + 1));
    result.mid_p_high = std::max(0.0, result.p_high - 0.5 * just);
    result.mid_p_low = std::max(0.0, result.p_low - 0.5 * just);
    return result;
}

ExposureNeeded exposure_to_settle(double expected_rate, double ratio, double alpha, double power) {
    require_positive(expected_rate, "expected_rate");
    if (require_positive(ratio, "ratio") == 1)
        throw_value_error("ratio", "a number other than 1", "1", "a rate as expected is nothing to tell");
    require_inside(alpha, 0, 1, "alpha");
    require_inside(power, alpha, 1, "power");
    // Counts of r or more have chance gamma_below(r, mean): each border is a quantile of the gamma distribution.
    ExposureNeeded result;
    if (ratio > 1) {
        result.critical = smallest(1, [&](int r) { return detail::gamma_quantile(r, power) <= ratio * detail::gamma_quantile(r, alpha); });
        result.expected = detail::gamma_quantile(result.critical, power) / ratio;
    } else {
        result.critical = smallest(
            0, [&](int r) { return ratio * detail::gamma_quantile(r + 1, 1 - alpha) <= detail::gamma_quantile(r + 1, 1 - power); });
        result.expected = detail::gamma_quantile(result.critical + 1, 1 - alpha);
    }
    result.exposure = result.expected / expected_rate;
    return result;
}

}  // namespace libseal
