#pragma once
// Survival from lives that are known by intervals: the likeliest steps, and tests between groups.

#include <string>
#include <vector>

#include "libseal/life/survival.hpp"
#include "libseal/life/update.hpp"

namespace libseal {

/// The likeliest distribution of lives that are known by intervals (left, right].
struct IntervalCurve {
    Column left;         ///< of each interval that has probability [unit of time]; equal to right: just there
    Column right;        ///< its end [unit of time]; infinite for what outlives all
    Column mass;         ///< probability in it [-], > 0; how it lies inside, the data do not say
    Column failed;       ///< probability up to `right` [-]
    Column se;           ///< of failed [-], from the curvature, these intervals held fixed: for few common days of looking; none beyond 400 intervals
    double log_likelihood = 0;  ///< [-]
    double gap = 0;      ///< largest rise of log likelihood per life that moving mass could begin with [-]; 0 at the optimum
    int iterations = 0;  ///< steps of EM and of Newton
    bool converged = false;  ///< gap within the tolerance: n times gap bounds what log likelihood is missing (lives without truncation)
    /// Least probability of failure by t that agrees with the masses. [-]  @param t  [unit of time]
    double failed_least(double t) const;
    /// Most probability of failure by t. [-]  @param t  [unit of time]
    double failed_most(double t) const;
};
/// What the estimate takes besides the lives.
struct TurnbullOptions {
    Column entry{};               ///< lives that failed before would not be in the data (left truncation); none: 0 [unit of time]
    Column exit{};                ///< lives that failed later would not be in the data (right truncation); none: infinite [unit of time]
    double tolerance = 1e-10;     ///< of gap [-], > 0
    int most_iterations = 20000;  ///< of EM, >= 1
};
/// Likeliest distribution of exact, left-, right- and interval-censored lives, truncated or not.
///
/// EM with extrapolation comes near, Newton steps on the intervals with mass end it, and `gap` says how far it got: of
/// the conditions of an optimum (gradient 0 where there is mass, not above 0 elsewhere) the worst.
/// @param lives  As LifeData; (lower, upper]. At least one.
/// @throws ValueError  with the row that is wrong.
/// @source  Turnbull 1976, JRSS B 38:290; Gentleman & Geyer 1994, Biometrika 81:618 for the conditions; Frydman 1994 and
/// Alioum & Commenges 1996 for the intervals under truncation; Varadhan & Roland 2008 for the extrapolation (from memory).
/// @accuracy  1e-9 of mass if converged, where the data tell it
IntervalCurve turnbull(const LifeData& lives, const TurnbullOptions& options = {});

/// Shares failed by days of looking, each life having been looked at once.
struct CurrentStatus {
    Column time;    ///< of looking [unit of time], ascending
    Column count;   ///< looked at then [lives]
    Column failed;  ///< share failed by then, never falling [-]
};
/// Likeliest shares if every life was looked at once: the same as `turnbull`, without iteration (pooled neighbours). [unit of time]
/// @param time  [unit of time], > 0  @param failed  Found failed at `time`; as many
/// @source  Ayer et al. 1955, Ann. Math. Stat. 26:641 (from memory).
CurrentStatus current_status(ConstColumn time, const std::vector<bool>& failed);

/// Whether groups of lives known by intervals live alike: permutation form of the score test.
/// @param group   Label of each life, at least two different
/// @param scores  "sun": log-rank scores, for a logistic shift of discrete hazards; "finkelstein": proportional hazards
/// @source  Sun 1996, Stat. Med. 15:1387; Finkelstein 1986, Biometrics 42:845; Fay & Shaw 2010, J. Stat. Softw. 36(2).
GroupTest score_test(const LifeData& lives, const std::vector<int>& group, const std::string& scores = "sun");

}  // namespace libseal
