#pragma once
// What no schedule of the bookings can beat.

#include <vector>

#include "schedule/generate.hpp"

namespace libseal::detail {

struct ShopBound {
    std::vector<Minute> end;   ///< by guest: it cannot be done earlier, whatever the others do
    ScheduleScore score;       ///< in `urgent`, `late` and `stay`
    Minute last = 0;           ///< no schedule ends earlier
};

/// Longest ways through shifts and weather for each coach alone; over all coaches the work of everybody on shift and
/// the stays in all bays, each as if it could be cut at will and the shortest rest came first.
/// @source  Shortest remaining time first on one machine, Schrage 1968 (Oper. Res. 16, 687-690): k coaches are never done earlier.
ShopBound shop_bound(const Jobs& jobs, ShopHours& hours);

/// Ends of all jobs if people were never busy, from what is placed already: forward over `jobs.order`.
/// @param fixed_end  by job, -1 where still open.  @param bay  by guest, -1 for any.  @param after  no open job starts before.
void earliest_ends(const Jobs& jobs, ShopHours& hours, const ShopGenerator& idle, const std::vector<Minute>& fixed_end,
                   const std::vector<int>& bay, Minute after, std::vector<Minute>& end);

}  // namespace libseal::detail
