#pragma once
// When to replace and how often to look: the interval that costs least in the long run.

#include "libseal/life/life_law.hpp"

namespace libseal {

/// What an age, interval or number of looks costs in the long run. Times are in the unit of the life, costs in any one unit.
struct ReplacementAge {
    double age = 0;             ///< replace at this age [unit of time], or on failure before it; infinite: on failure only
    double cost_rate = 0;       ///< long-run cost per time at that age [unit of cost/unit of time]
    double run_to_failure = 0;  ///< long-run cost per time if replaced on failure only [unit of cost/unit of time]
    bool finite = false;        ///< false: no age is cheaper than waiting for failure (always so without wear-out, shape <= 1)
};
/// Age replacement: planned at an age, at once on failure before it. Cost per time
/// g(T) = (c_p S(T) + c_f (1 - S(T))) / area(T), and at the optimum g = (c_f - c_p) h(T). [any unit of cost, unit of time of the life]
/// @param planned_cost  [unit of cost], > 0
/// @param failure_cost  [unit of cost], > 0; not above planned_cost: there is no reason to plan
/// @throws ValueError  naming the argument, its value and the allowed range.
/// @source  Barlow & Proschan 1965, Mathematical Theory of Reliability, chapter 4 (from memory).
/// @accuracy  1e-9 of age for lives with a density, 1e-7 without; 1e-10 of cost_rate.
ReplacementAge best_replacement_age(const LifeLaw& life, double planned_cost, double failure_cost);
/// g of `best_replacement_age` at ages. [unit of cost/unit of time] @param ages  [unit of time], > 0; infinite is run to failure
/// @param planned_cost, failure_cost  As `best_replacement_age`. [unit of cost]
Column replacement_cost_curve(const LifeLaw& life, double planned_cost, double failure_cost, ConstColumn ages);

/// Expected failures up to times if each failure is replaced by new at once: M(t) = F(t) + integral of M(t - x) dF(x). [failures]
/// @param times  [unit of time], >= 0, at most 1000 mean lives  @return  As many values.
/// @throws ValueError  also where the times are so long for a narrow life that 20000 steps do not hold them.
/// @accuracy  1e-10 for smooth lives with a hazard that does not fall from infinity, 1e-6 for tables and uniform lives.
Column renewal_function(const LifeLaw& life, ConstColumn times);

/// Best interval of a policy whose intervals are all alike.
struct BlockInterval {
    double interval = 0;        ///< [unit of time]; infinite: on failure only
    double cost_rate = 0;       ///< long-run cost per time at that interval [unit of cost/unit of time]
    double run_to_failure = 0;  ///< long-run cost per time without planned work [unit of cost/unit of time]
    bool finite = false;        ///< false: no interval is cheaper than none
};
/// Block replacement: all at fixed dates whatever their age, and each on failure. Cost per time (c_p + c_f M(T))/T.
/// Source as `best_replacement_age`. [any unit of cost, unit of time of the life]
/// @param planned_cost, failure_cost  As `best_replacement_age`. [unit of cost]
/// @throws ValueError  as `best_replacement_age`; also for a life of a spread under some 0.7 % of its mean that has early failures too.
/// @accuracy  1e-8 of interval
BlockInterval best_block_interval(const LifeLaw& life, double planned_cost, double failure_cost);
/// The same cost at intervals. [unit of cost/unit of time] @param intervals  [unit of time], > 0
/// @param planned_cost, failure_cost  As `best_replacement_age`. [unit of cost]
Column block_cost_curve(const LifeLaw& life, double planned_cost, double failure_cost, ConstColumn intervals);

/// Minimal repair: a failure is patched and the rest stays as old as it was; renewal at fixed intervals. Cost per time
/// (c_p + c_m H(T))/T with the cumulative hazard H = -ln S. `run_to_failure` is infinite if the hazard grows without end;
/// for a constant or falling hazard it is what never renewing tends to: c_m times the hazard that is left in the end. Other lives than Weibull's are
/// followed to the age that one in 10^9 outlives. The hazard there counts as what is left (a lognormal one goes on falling, to 0), and
/// where costs still fall there `finite` is false and `cost_rate` is the cost there. [any unit of cost, unit of time of the life]
/// @param planned_cost  Of a renewal. [unit of cost], > 0  @param repair_cost  Of a patch. [unit of cost], > 0
/// @source  Barlow & Hunter 1960 (from memory); Weibull T = scale (c_p/(c_m (shape - 1)))^(1/shape).
BlockInterval best_renewal_interval(const LifeLaw& life, double planned_cost, double repair_cost);

/// Best interval between looks.
struct InspectionInterval {
    double interval = 0;        ///< [unit of time]; infinite: no look pays
    double cost_rate = 0;       ///< long-run cost per time [unit of cost/unit of time]; of `best_inspection_downtime` the share of time that is lost
    double none = 0;            ///< the same without looks [unit of cost/unit of time]
    double failure_share = 0;   ///< share of defects that end as failures at that interval [-]
    bool finite = false;        ///< false: no interval is cheaper than not looking
};
/// Delay-time model: defects arise at a rate, each can be seen from then on and fails after a delay unless a look finds it
/// first. Cost per time C(T) = k (b(T) c_f + (1 - b(T)) c_r) + c_i/T with the share that fails
/// b(T) = 1 - (r/T) sum over n >= 1 of (1 - r)^(n - 1) (area(nT) - area((n - 1)T)).
/// @param defect_rate      Defects per time. [1/unit of time], > 0
/// @param delay            From first visible to failed. [unit of time]
/// @param detection        Chance that a look finds a defect that is there. [-], 0.01 to 1
/// @param inspection_cost  [unit of cost], > 0  @param repair_cost  Of a defect found. [unit of cost], >= 0
/// @param failure_cost     [unit of cost], >= 0
/// @throws ValueError  naming the argument, its value and the allowed range.
/// @source  Christer & Waller 1984, J. Opl Res. Soc. 35:401 (from memory); the sum for detection < 1 is derived in docs/intervals.md.
/// @accuracy  1e-9 of interval
InspectionInterval best_inspection_interval(double defect_rate, const LifeLaw& delay, double detection, double inspection_cost,
                                            double repair_cost, double failure_cost);
/// C of `best_inspection_interval` at intervals. [unit of cost/unit of time] @param intervals  [unit of time], > 0
/// @param defect_rate  [1/unit of time]  @param detection  [-], 0.01 to 1
/// @param inspection_cost, repair_cost, failure_cost  [unit of cost]
Column inspection_cost_curve(double defect_rate, const LifeLaw& delay, double detection, double inspection_cost, double repair_cost,
                             double failure_cost, ConstColumn intervals);
/// The same model with time in place of money: share of time lost D(T) = (k T b(T) d_f + d)/(T + d). [unit of time of the delay]
/// @param defect_rate  [1/unit of time]  @param detection  [-], 0.01 to 1
/// @param failure_downtime  Of a failure. [unit of time of the delay], > 0
/// @param inspection_downtime  Of a look. [unit of time of the delay], > 0
InspectionInterval best_inspection_downtime(double defect_rate, const LifeLaw& delay, double detection, double failure_downtime,
                                            double inspection_downtime);
/// b(T): share of defects that end as failures when looked at every T. [-]
/// @param intervals  [unit of time], > 0  @param detection  [-], 0.01 to 1
Column defect_failure_share(const LifeLaw& delay, double detection, ConstColumn intervals);

/// Best interval of tests that show failures nobody would notice otherwise.
struct HiddenFailureInterval {
    double interval = 0;     ///< [unit of time]
    double cost = 0;         ///< expected cost from new until the failure is found [unit of cost]
    double rule = 0;         ///< sqrt(2 c_i mean / c_d), the usual short cut [unit of time]
    double unavailable = 0;  ///< share of time failed without anybody's knowing, at that interval [-]
};
/// Tests every T from new until one finds the failure: C(T) = (c_i + c_d T) sum over n >= 0 of S(nT) - c_d mean. [any unit of cost, unit of time of the life]
/// @param inspection_cost  Of a test. [unit of cost], > 0
/// @param failed_cost  Per time that a failure stays hidden. [unit of cost/unit of time], > 0
/// @throws ValueError  naming the argument; also if a test costs under 1e-10 of failed_cost times the mean life.
/// @source  Barlow, Hunter & Proschan 1963 (from memory).
HiddenFailureInterval best_hidden_failure_interval(const LifeLaw& life, double inspection_cost, double failed_cost);
/// C of `best_hidden_failure_interval` at intervals. [unit of cost] @param intervals  [unit of time], > 0
/// @param inspection_cost  [unit of cost]  @param failed_cost  [unit of cost/unit of time]
Column hidden_failure_cost_curve(const LifeLaw& life, double inspection_cost, double failed_cost, ConstColumn intervals);

/// Chance that one of so many looks finds what is there: 1 - (1 - p)^n. [-]
/// @param detection  Of one look. [-], 0 to 1  @param visits  >= 0
double found_within(double detection, int visits);
/// Least looks that find what is there with a chance of at least `target`. [-]
/// @param detection  Of one look. [-], above 0 to 1  @param target  [-], 0 to below 1
/// @throws ValueError  also if more than 10^9 looks were needed.
int visits_for_target(double detection, double target);
/// Longest interval that leaves enough looks between first visible and failed: pf/visits_for_target. [unit of `pf_interval`]
/// @param pf_interval  Shortest time from first visible to failed. [unit of time], > 0
/// @param detection  Of one look. [-], above 0 to 1  @param target  [-], 0 to below 1
/// @return  Interval in the unit of pf_interval.
double visit_interval(double pf_interval, double detection, double target);

}  // namespace libseal
