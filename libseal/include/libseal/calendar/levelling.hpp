#pragma once
// Work spread over weeks, so that nobody waits and nobody is idle.

#include <cstdint>
#include <string>
#include <vector>

#include "libseal/core/progress.hpp"

namespace libseal {

/// Work of one coach that goes to one week.
struct WeekWork {
    std::string id;             ///< echoed in errors
    double hours = 0;           ///< [h], > 0
    int first = 0;              ///< index of the first week that `cost` speaks of
    std::vector<double> cost;   ///< price of doing all of it in week first, first + 1, ... [unit of cost]; infinite: not in that week
};

/// What a week offers.
struct WeekCapacity {
    double normal = 0;          ///< [h]
    double overtime = 0;        ///< most beyond it [h]
};

/// Optional inputs of `level_weeks`; the names are the keywords in Python.
struct LevellingOptions {
    double overtime_cost = 0;   ///< price of an hour of overtime [unit of cost/h]
    std::vector<int> keep;      ///< week of each work so far, -1: none; empty: nothing is kept
    double move_cost = 0;       ///< price of taking a work to another week than it is kept in [unit of cost]
    int work_limit = 2000;      ///< rounds of ruin and repair after the first plan, >= 0
    std::uint64_t seed = 0;     ///< of ruin and repair
    Watch watch;
};

/// Weeks for all works.
struct Levelling {
    std::vector<int> week;      ///< per work; -1: it fits nowhere
    double cost = 0;            ///< of the works in their weeks, with overtime [unit of cost]; unplaced ones are not in it
    double bound = 0;           ///< least cost if works could be divided [unit of cost]: no choice of whole weeks costs less; 0 if some work has no week
    double gap = 0;             ///< (cost - bound) / cost [-]; 0 if both are equal
    std::vector<double> load;   ///< per week [h]
    std::vector<double> overtime;  ///< per week [h]
    double peak = 0;            ///< largest load [h]
    double divided_peak = 0;    ///< smallest peak if works could be divided, whatever the capacity [h], to 1e-6 of it
    bool fits = true;           ///< could all divided work be done within capacity and overtime? If not, `bound` is of what fits
    int moved = 0;              ///< works that are not in the week they were kept in
};

/// Puts whole works into weeks so that costs and overtime are least.
///
/// Divisible work is a minimum-cost flow, solved to the end; its price is the bound. Whole works: largest first to their
/// cheapest week that still fits, by the prices of the weeks of the flow, then moves and swaps until none helps, then parts of the
/// plan are taken out and put back (`work_limit` rounds).
///
/// @throws ValueError  hours that are not positive, NaN, weeks beyond the capacities, lengths that differ.
/// @source  Minimum-cost flow by successive shortest paths: Ahuja, Magnanti & Orlin 1993, chapter 9. Generalised assignment by rounding
///          and exchange: general practice; exact optima by enumeration and an integer program in the tests.
/// @threads pure.
Levelling level_weeks(const std::vector<WeekWork>& works, const std::vector<WeekCapacity>& weeks,
                      const LevellingOptions& options = {});

/// The smallest peak that whole works can have, as good as moves and swaps make it; costs do not count, infinite ones do.
/// @return  `peak` and `divided_peak` (binary search, maximum flow: no plan has a smaller peak); cost, bound and gap are 0.
/// @throws ValueError  as `level_weeks`.
/// @threads pure.
Levelling lowest_peak(const std::vector<WeekWork>& works, int weeks, const LevellingOptions& options = {});

}  // namespace libseal
