#pragma once
// What a forecast says of some layers on chosen days, with its spread: for papers that ask for few days of few layers.

#include <vector>

#include "libseal/forecast/forecast.hpp"

namespace libseal {

/// Chances and condition of some layers on some days. One row a layer, one column a day.
struct ForecastAhead {
    std::vector<Date> day;
    Eigen::ArrayXXd due;           ///< probability of being due by that day [-]
    Eigen::ArrayXXd open;          ///< probability that water has a way into the joint [-], equal on its layers
    Eigen::ArrayXXd condition_10;  ///< condition grade that such a layer is below with probability 10 % [-], 0 to 5
    Eigen::ArrayXXd condition_50;  ///< [-]
    Eigen::ArrayXXd condition_90;  ///< [-]
};

/// Looks up chosen days of a forecast.
///
/// The grades are quantiles of the belief behind `Forecast.condition`, which is its mean; grade 3 is entered at 2.5, so that
/// condition_90 reaches 2.5 on due_10.
///
/// @param rows    Rows of the forecast; empty: all.
/// @param days    Any days not before the forecast's own.
/// @param spread  false: the condition is left out, which takes most of the time; its tables have no rows.
/// @throws ValueError  for a row that is not there or a day before the forecast's own.
/// @threads pure.
ForecastAhead look_ahead(const Forecast& forecast, const std::vector<Eigen::Index>& rows, const std::vector<Date>& days,
                         bool spread = true);

}  // namespace libseal
