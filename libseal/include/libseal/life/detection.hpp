#pragma once
// What a look can and cannot see: grades with noise, detection by size, histories of looks.

#include <vector>

#include "libseal/core/columns.hpp"

namespace libseal {

/// Probability of each grade when a look of standard deviation `sd` grades a latent state: ordered probit. [-]
/// @param latent  [unit of the state]  @param sd  [unit of the state], > 0
/// @param cuts  Between the grades, ascending; n cuts make n + 1 grades, from 0. [unit of the state]
/// @return  n + 1 probabilities, sum 1.
Column grade_probabilities(double latent, ConstColumn cuts, double sd);

/// Mean and standard deviation of what is believed of a latent state.
struct LatentBelief {
    double mean = 0;  ///< [unit of the state]
    double sd = 0;    ///< [unit of the state]
};
/// Latent state after looks, before them evenly likely between low and high. [unit of the state]
/// @param grades  0 to the number of cuts.  @param cuts, sd, low, high  [unit of the state]
LatentBelief latent_after_grades(const std::vector<int>& grades, ConstColumn cuts, double sd, double low, double high);

/// Chance that a look finds a defect of a size: 1/(1 + (size/a50)^-k), k = ln 9/ln(a90/a50). [-]
/// @param size  [unit of size], >= 0  @param a50,a90  Found half and nine times in ten. [unit of size], 0 < a50 < a90
/// @source  Log-odds model of MIL-HDBK-1823 (from memory).
double detection_log_odds(double size, double a50, double a90);
/// The same with a cumulative lognormal curve. [-] @param size,a50,a90  [unit of size]
double detection_lognormal(double size, double a50, double a90);

/// Probability that a defect is first found at each visit, and last that it is not found at all.
/// @param failed     Probability that the defect has begun by each visit, ascending in time. [-], 0 to 1
/// @param detection  Chance that a visit finds a defect that is there. [-], 0 to 1
/// @return  One value per visit and one more; sum 1.
Column first_found(ConstColumn failed, double detection);

/// What a history of visits says.
struct LookHistory {
    double likelihood = 0;  ///< probability of this history [-]
    double defect = 0;      ///< probability that the defect is there at the last visit [-]
};
/// @param failed       As `first_found`. [-]  @param detection  [-], 0 to 1  @param alarms  At each visit: true if it reported a defect.
/// @param false_alarm  Chance that a visit reports a defect that is not there. [-], 0 to 1
/// @throws ValueError  lengths differ, or the history cannot happen.
LookHistory look_history(ConstColumn failed, const std::vector<bool>& alarms, double detection, double false_alarm = 0);

/// Probability of a defect after clean visits: prior (1 - d)^n / (prior (1 - d)^n + 1 - prior). [-]
/// @param prior, detection  [-], 0 to 1
double defect_after_clean(double prior, double detection, int visits = 1);
/// Probability of a defect after one alarm. [-]  @param prior, detection, false_alarm  [-], 0 to 1
double defect_after_alarm(double prior, double detection, double false_alarm);

/// Detection that `found` of `tried` defects demonstrate with a confidence: lower limit of Clopper & Pearson. [-]
/// 29 of 29 demonstrate 0.90 with a confidence of 0.95.
/// @param found  0 to tried  @param tried  >= 1  @param confidence  [-], in (0, 1)
double demonstrated_detection(int found, int tried, double confidence = 0.95);

}  // namespace libseal
