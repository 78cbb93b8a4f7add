#pragma once
// Networks of activities: earliest and latest times, slack, and how sure the end is.

#include <string>
#include <vector>

#include "libseal/work/order.hpp"

namespace libseal {

struct WorkPlan;

/// When each activity may and must run if nobody and nothing is short. One unit of time for all.
struct NetworkTimes {
    std::vector<double> early_start;   ///< [unit of time]
    std::vector<double> early_finish;  ///< [unit of time]
    std::vector<double> late_start;    ///< without moving the end [unit of time]
    std::vector<double> late_finish;   ///< [unit of time]
    std::vector<double> total_float;   ///< late start - early start [unit of time], >= 0
    std::vector<double> free_float;    ///< by how much it may slip before any other starts later [unit of time], >= 0
    std::vector<int> critical;         ///< one longest chain, first to last; of equal ones that of the lowest numbers
    double length = 0;                 ///< end of the last activity [unit of time]
};

/// Times and slack of activities that wait for each other. The lag of each edge counts from the end of `from`, whatever its clock.
///
/// @param durations  [any unit of time], each finite and >= 0.
/// @param edges      Numbers of `durations`; lags in the same unit, >= 0. Longest waits are not heeded.
/// @throws ValueError  unknown numbers, negative or unknown times, a loop (named).
/// @source  Kelley & Walker 1959, Critical-path planning and scheduling. Lags: Elmaghraby & Kamburowski 1992, Manage. Sci. 38.
/// @threads pure.
NetworkTimes critical_path(const std::vector<double>& durations, const std::vector<Edge>& edges);

/// The same for the steps of a plan with their most likely minutes: the shortest stay if there were people, ladders, dry and warm days
/// enough, round the clock. [min]
/// @throws ValueError  as above.
NetworkTimes critical_path(const WorkPlan& plan);

/// Mean and variance of the end of a network whose activities are known as low, most likely and high.
struct LengthEstimate {
    double mean = 0;      ///< [unit of time]
    double variance = 0;  ///< of the activities of the critical chain, taken as independent [unit of time, squared]
    std::vector<int> critical;  ///< longest chain at the means

    /// Probability that the end comes no later, by the normal distribution. @param limit [unit of time]
    double chance_within(double limit) const;
};

/// Three-point estimate: mean (low + 4 mode + high) / 6, variance ((high - low) / 6)^2 of each activity.
///
/// Only the longest chain is looked at: where others are nearly as long the end comes later than this says.
/// @throws ValueError  as `critical_path`; unless low <= mode <= high.
/// @source  Malcolm, Roseboom, Clark & Fazar 1959, Oper. Res. 7, 646-669.
/// @threads pure.
LengthEstimate length_estimate(const std::vector<Minutes>& durations, const std::vector<Edge>& edges);

}  // namespace libseal
