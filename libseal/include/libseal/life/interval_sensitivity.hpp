#pragma once
// How much an interval hangs on what it is made from, and where two policies cost the same.

#include <functional>
#include <string>
#include <vector>

#include "libseal/life/intervals.hpp"

namespace libseal {

/// One row per input of an interval. NaN where an input so changed leaves no life (a narrow uniform one whose beginning would pass its end) or no
/// finite interval to compare.
struct IntervalSensitivity {
    std::vector<std::string> input;  ///< name of the argument, or `life/scale`, `delay/median` and so on
    Column value;                    ///< of the input [unit of the input]
    Column interval_change;          ///< d ln interval / d ln input [-]
    Column cost_change;              ///< d ln cost_rate / d ln input, the interval following [-]
    Column loss_if_low;              ///< extra cost, as a share, of the interval that was tuned for input / wrong (a detection: at least 0.01) [-]
    Column loss_if_high;             ///< the same for input times wrong (a detection: at most 1) [-]
};
/// Sensitivity of `best_replacement_age`. [unit of the input]
/// @param planned_cost, failure_cost  [unit of cost]  @param wrong  Factor by which an input is mistaken. [-], > 1
/// @throws ValueError  also if the age is not finite: then nothing can be tuned.
IntervalSensitivity replacement_sensitivity(const LifeLaw& life, double planned_cost, double failure_cost, double wrong = 1.5);
/// Sensitivity of `best_inspection_interval`; errors as `replacement_sensitivity`. [unit of the input]
/// @param defect_rate  [1/unit of time]  @param detection  [-], 0.01 to 1
/// @param inspection_cost, repair_cost, failure_cost  [unit of cost]  @param wrong  [-], > 1
IntervalSensitivity inspection_sensitivity(double defect_rate, const LifeLaw& delay, double detection, double inspection_cost,
                                           double repair_cost, double failure_cost, double wrong = 1.5);

/// Values of an input at which two policies cost the same. [unit of the input]
/// @param first,second  Cost of each policy [unit of cost] at a value of the input [unit of the input]; finite.
/// @param low,high      Range of the input that is searched. [unit of the input], low < high
/// @param steps         Even steps in which crossings are looked for; two within one step are overlooked. 1 to 1000000
/// @return  Ascending, none if they never cost the same. @accuracy  last bits of the value
Column break_even(const std::function<double(double)>& first, const std::function<double(double)>& second, double low, double high,
                  int steps = 200);

}  // namespace libseal
