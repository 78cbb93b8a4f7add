#pragma once
// Checks of the columns that laws take: the first impossible value is named with its row.

#include <cmath>
#include <string>

#include "libseal/core/columns.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {

/// What outdoor and oven measurements cover. [degC]
inline constexpr double lowest_temperature = -90, highest_temperature = 350;

inline void require_column(ConstColumn column, double low, double high, const char* name) {
    for (Eigen::Index i = 0; i < column.size(); ++i)
        if (!(column[i] >= low && column[i] <= high) || !std::isfinite(column[i]))
            throw_value_error(std::string(name) + "[" + std::to_string(i) + "]",
                              std::isfinite(high) ? "a number from " + number_text(low) + " to " + number_text(high)
                                                  : "a finite number >= " + number_text(low),
                              number_text(column[i]));
}

inline void require_length(ConstColumn column, Eigen::Index wanted, const char* name, const char* other) {
    if (column.size() != wanted)
        throw_value_error(name, std::to_string(wanted) + " values, as many as " + other,
                          std::to_string(column.size()));
}

/// Running sum of rates times the length of a step.
inline Column running_sum(const Column& rate, double step) {
    Column sum(rate.size());
    double total = 0;
    for (Eigen::Index i = 0; i < rate.size(); ++i) sum[i] = total += rate[i] * step;
    return sum;
}

}  // namespace libseal::detail
