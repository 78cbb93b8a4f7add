#pragma once
// What it costs to do a task on one day or another.

#include <vector>

#include "libseal/forecast/forecast.hpp"
#include "libseal/work/plan.hpp"

namespace libseal::detail {

/// Chance that a layer is due, day by day from `from` to `to`: straight lines between the dates and horizons of its forecast.
/// What the forecast does not hold is left out; with the median alone the chance steps from 0 to 1 on that day.
std::vector<double> chance_due(const Forecast& forecast, Eigen::Index row, Date from, Date to);

/// Worth of life wasted and risk of water, by day: it falls to one valley and rises behind, least value 0.
///
/// Each day of waiting costs `risk` if the layer is due by then, each day too early wastes `worth` if it is not:
/// h(d + 1) - h(d) = risk P(d) - worth (1 - P(d)), with P the chance that the layer is due by day d. P never falls, so the
/// penalty has one valley; its bottom is where P reaches worth / (worth + risk).
/// @param chance  Of being due, per day.  @param worth, risk  Price of a day [minor units].
std::vector<double> day_penalty(const std::vector<double>& chance, double worth, double risk);

}  // namespace libseal::detail
