#pragma once
// Axes on which a family of lives is a straight line, and the points of data on them.

#include <string>

#include "libseal/life/turnbull.hpp"

namespace libseal {

/// Points of a probability plot.
struct PlotPositions {
    Column time;    ///< of each point [unit of time]
    Column failed;  ///< probability of failure there [-], in (0, 1)
    Column x;       ///< time on the axis of the family [-]
    Column y;       ///< failed on the axis of the family [-]
};
/// Time on the axis of a family: ln t, for "exponential" t itself. [-]
/// @param family  "weibull", "lognormal", "loglogistic" or "exponential"  @param time  [unit of time], > 0
double axis_of_time(const std::string& family, double time);
/// Probability of failure on the axis of a family: ln(-ln(1 - p)), normal quantile, ln(p/(1 - p)), -ln(1 - p). [-]
/// @param p  [-], in (0, 1)
double axis_of_share(const std::string& family, double p);

/// Points of a product-limit estimate: at each failure half-way up its step.
/// @param family  As `axis_of_time`  @return  No point for failures at time 0.
/// @source  Meeker & Escobar 1998, section 6.4 (from memory).
PlotPositions plot_positions(const SurvivalCurve& curve, const std::string& family);
/// Points of lives known by intervals: at the end of each interval that has probability, as far as it is finite; half-way
/// up where the life is known exactly.
PlotPositions plot_positions(const IntervalCurve& curve, const std::string& family);

}  // namespace libseal
