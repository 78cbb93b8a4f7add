#include "libseal/ageing/range_moments.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "ageing/contracted_history.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/parallel.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

void require_exponents(ConstColumn exponents) {
    for (Eigen::Index i = 0; i < exponents.size(); ++i) require_positive(exponents[i], "exponents[" + std::to_string(i) + "]");
}

/// @param place  What stands before the index of a value in a message.
[[noreturn]] void refuse(ConstColumn series, const std::string& place) {
    Eigen::Index i = 0;
    while (std::isfinite(series[i])) ++i;
    throw_value_error(place + std::to_string(i) + "]", "a finite number", number_text(series[i]), "fill or cut gaps before counting");
}

bool counted(detail::ContractedHistory& history, ConstColumn series, bool repeating) {
    return repeating ? history.count_repeating(series) : history.count(series);
}

Column moments(ConstColumn series, ConstColumn exponents, bool repeating) {
    require_exponents(exponents);
    detail::ContractedHistory history;
    if (!counted(history, series, repeating)) refuse(series, "series[");
    return exponents.unaryExpr([&](double exponent) { return history.moment(exponent); });
}

}  // namespace

Column rainflow_moments(ConstColumn series, ConstColumn exponents) { return moments(series, exponents, false); }

Column rainflow_moments_repeating(ConstColumn series, ConstColumn exponents) { return moments(series, exponents, true); }

SeriesRows rainflow_moments_of_rows(ConstSeriesRows rows, ConstColumn exponents, bool repeating, int threads) {
    require_exponents(exponents);
    SeriesRows sums(rows.rows(), exponents.size());
    // Some rows share one history's memory.
    constexpr Eigen::Index together = 32;
    const auto tasks = static_cast<std::size_t>((rows.rows() + together - 1) / together);
    parallel_for(tasks, threads, [&](std::size_t task) {
        detail::ContractedHistory history;
        const Eigen::Index first = static_cast<Eigen::Index>(task) * together, end = std::min(first + together, rows.rows());
        for (Eigen::Index row = first; row < end; ++row) {
            const Eigen::Map<const Column> series(rows.data() + row * rows.outerStride(), rows.cols());
            if (!counted(history, series, repeating)) refuse(series, "rows[" + std::to_string(row) + ", ");
            for (Eigen::Index k = 0; k < exponents.size(); ++k) sums(row, k) = history.moment(exponents[k]);
        }
    });
    return sums;
}

}  // namespace libseal
