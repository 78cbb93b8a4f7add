#pragma once
// Survival without a family of curves: product-limit estimate, life table, log-rank test.

#include <string>
#include <vector>

#include "libseal/core/columns.hpp"

namespace libseal {

/// Survival as steps: one row per time at which something failed (of a life table, per interval).
struct SurvivalCurve {
    Column time;      ///< ascending [unit of time]; of a life table the ends of intervals
    Column at_risk;   ///< sound and under observation just before [lives]
    Column failed;    ///< at that time [lives]
    Column survival;  ///< just after [-]
    Column se;        ///< of survival, by Greenwood's formula [-]; 0 where all have failed: the formula has no value there
    Column lower;     ///< limit of survival [-]
    Column upper;     ///< limit of survival [-]; where all have failed that of the step before
    /// Survival at t. [-], 1 before the first step  @param t  [unit of time]
    double survival_at(double t) const;
    /// First time by which at least a share p has failed; infinite if the steps do not come so far. p in (0, 1) [unit of time]
    /// @param p  [-]
    double quantile(double p) const;
    /// Mean life up to t: the area under the steps. t >= 0 [unit of time]  @param t  [unit of time]
    double mean_until(double t) const;
};

/// What a product-limit estimate takes besides times.
struct KaplanMeierOptions {
    Column entry{};                  ///< when each came under observation (left truncation), below its time; none: 0 [unit of time]
    double confidence = 0.95;        ///< of each limit by itself [-], in (0, 1)
    std::string limits = "log_log";  ///< "log_log", "logit" or "plain" (cut at 0 and 1)
};
/// Product-limit estimate. What fails and what is lost at one time: the failures come first. [unit of time]
/// @param time    Of failure or of the last look at what was sound. [unit of time], >= 0
/// @param failed  As many; false: sound at `time`
/// @return  No row if nothing failed.
/// @throws ValueError  with the row that is wrong.
/// @source  Kaplan & Meier 1958, JASA 53:457; Greenwood 1926 (from memory).
SurvivalCurve kaplan_meier(ConstColumn time, const std::vector<bool>& failed, const KaplanMeierOptions& options = {});

/// What a life table takes besides counts.
struct ActuarialOptions {
    double withdrawn_share = 0.5;  ///< part of the interval that the withdrawn missed; 0: they left at its end [-], 0 to 1
    double confidence = 0.95;      ///< as KaplanMeierOptions [-]
    std::string limits = "logit";  ///< as KaplanMeierOptions
};
/// Life table of grouped data. [unit of time]
/// @param edges      Start, then end of each interval; ascending, from 0 or later; one more than intervals. [unit of time]
/// @param at_start   Sound at the start. [lives], > 0
/// @param failed     In each interval. [lives], >= 0  @param withdrawn  Out of sight in each interval. [lives], >= 0
/// @return  One row per interval until nobody is left. @throws ValueError  with the interval that is wrong.
/// @source  Actuarial estimate; for looks at the ends of intervals Meeker & Escobar 1998, section 3.2 (from memory).
SurvivalCurve life_table(ConstColumn edges, double at_start, ConstColumn failed, ConstColumn withdrawn, const ActuarialOptions& options = {});

/// Whether groups live alike.
struct GroupTest {
    std::vector<int> group;  ///< labels, ascending
    Column count;            ///< members [lives]
    Column observed;         ///< failures [lives]; none for interval-censored lives
    Column expected;         ///< failures if all lived alike [lives]; none for interval-censored lives
    Column score;            ///< [-], positive: fails earlier than the others
    double chi_square = 0;   ///< [-]
    int degrees = 0;         ///< of freedom; 0: the groups never meet, nothing is said
    double z = 0;            ///< signed root for two groups [-], positive: the first fails earlier; else 0
    double p_value = 1;      ///< [-]
};
/// What a log-rank test takes besides times and groups.
struct LogRankOptions {
    Column entry{};  ///< as KaplanMeierOptions [unit of time]
    double rho = 0;  ///< weight by survival^rho [-]: 0 log-rank, 1 more weight on early failures (Peto & Peto). >= 0
};
/// Log-rank test for two or more groups. [unit of time]
/// @param time,failed  As `kaplan_meier`. [unit of time]  @param group  Label of each, at least two different
/// @source  Mantel 1966; Harrington & Fleming 1982, Biometrika 69:553 for rho (from memory).
GroupTest log_rank(ConstColumn time, const std::vector<bool>& failed, const std::vector<int>& group, const LogRankOptions& options = {});

}  // namespace libseal
