#pragma once
// The lowest point of a cost over a range of intervals: a scan, then the zero of the slope.

#include <cmath>

#include "libseal/core/columns.hpp"

namespace libseal::detail {

struct LowestPoint {
    double at = 0;
    double value = 0;
    bool inside = false;  ///< false: at an end of the grid
};

/// Ages from low to high in even ratios. 0 < low < high
inline Column even_ratios(double low, double high, int count) {
    return Column::LinSpaced(count, std::log(low), std::log(high)).exp();
}

/// Lowest point by golden section, for a function with one valley between the ends; good to half the digits of `at`.
template <class Value>
LowestPoint golden_section(double low, double high, Value&& value) {
    constexpr double ratio = 0.6180339887498949;
    double a = high - ratio * (high - low), b = low + ratio * (high - low), at_a = value(a), at_b = value(b);
    for (int k = 0; k < 200 && high - low > 1e-12 * high; ++k) {
        if (at_a < at_b) {
            high = b, b = a, at_b = at_a;
            a = high - ratio * (high - low), at_a = value(a);
        } else {
            low = a, a = b, at_a = at_b;
            b = low + ratio * (high - low), at_b = value(b);
        }
    }
    return at_a < at_b ? LowestPoint{a, at_a, true} : LowestPoint{b, at_b, true};
}

/// Bottom of the valley between two ends.
template <class Value, class Slope>
LowestPoint valley(double from, double to, double known, Value&& value, Slope&& slope) {
    double low = from, high = to;
    for (int k = 0; k < 100; ++k) {
        const double middle = 0.5 * (low + high);
        if (middle <= low || middle >= high) break;
        (slope(middle) < 0 ? low : high) = middle;
    }
    const LowestPoint zero{0.5 * (low + high), value(0.5 * (low + high)), true};
    // A slope that jumps or is noisy can end beside the bottom.
    if (zero.value <= known * (1 + 1e-13)) return zero;
    return golden_section(from, to, value);
}

/// Every valley of the grid that comes near the lowest is gone down.
/// @param slope  Has the sign of the derivative of value.
template <class Value, class Slope>
LowestPoint lowest_point(const Column& grid, Value&& value, Slope&& slope) {
    const Eigen::Index last = grid.size() - 1;
    Column seen(grid.size());
    Eigen::Index best = 0;
    for (Eigen::Index i = 0; i <= last; ++i) {
        seen[i] = value(grid[i]);
        if (seen[i] < seen[best]) best = i;
    }
    const double near = seen[best] + 0.05 * std::fabs(seen[best]);
    LowestPoint lowest{grid[best], seen[best], false};
    int valleys = 0;
    for (Eigen::Index i = 1; i < last && valleys < 60; ++i) {
        if (!(seen[i] <= near && seen[i] < seen[i - 1] && seen[i] <= seen[i + 1])) continue;
        ++valleys;
        const LowestPoint bottom = valley(grid[i - 1], grid[i + 1], seen[i], value, slope);
        if (bottom.value < lowest.value || (!lowest.inside && bottom.value <= lowest.value)) lowest = bottom;
    }
    return lowest;
}

}  // namespace libseal::detail
