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

/// @param slope  Has the sign of the derivative of value.
template <class Value, class Slope>
LowestPoint lowest_point(const Column& grid, Value&& value, Slope&& slope) {
    Column seen(grid.size());
    Eigen::Index best = 0;
    for (Eigen::Index i = 0; i < grid.size(); ++i) {
        seen[i] = value(grid[i]);
        if (seen[i] < seen[best]) best = i;
    }
    if (best == 0 || best == grid.size() - 1) return {grid[best], seen[best], false};
    double low = grid[best - 1], high = grid[best + 1];
    const double from = low, to = high;
    for (int k = 0; k < 100; ++k) {
        const double middle = 0.5 * (low + high);
        if (middle <= low || middle >= high) break;
        (slope(middle) < 0 ? low : high) = middle;
    }
    const LowestPoint zero{0.5 * (low + high), value(0.5 * (low + high)), true};
    // A slope that jumps or is noisy can end beside the valley.
    if (zero.value <= seen[best] * (1 + 1e-13)) return zero;
    return golden_section(from, to, value);
}

}  // namespace libseal::detail
