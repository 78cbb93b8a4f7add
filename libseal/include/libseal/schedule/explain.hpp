#pragma once
// Why does a step start when it does, and what stands in the way?

#include <string>
#include <vector>

#include "libseal/schedule/schedule.hpp"

namespace libseal {

/// What kept a step from starting earlier.
struct Cause {
    int booking = 0;          ///< of the step
    int step = 0;             ///< index into its plan
    std::string kind;         ///< "arrival", "bay", "order", "people", "ladder", "hours", "weather", "running"
    int by_booking = -1;      ///< the step that held it; -1 for none
    int by_step = -1;         ///< its index into that booking's plan; -1 for none
    Minute from = 0;          ///< it could have started here by everything else
    Minute to = 0;            ///< and does start here
    std::string text;         ///< in words
};

/// The chain of causes from a step back to an arrival, the day the schedule starts or the running plan.
///
/// @param booking  index of the coach.  @param step  index into the steps of its plan.
/// @throws ValueError  if the schedule has no such step or was made for other bookings or another shop.
/// @threads pure.
std::vector<Cause> explain(const Schedule& schedule, const std::vector<Booking>& bookings, const Shop& shop, Date start, int booking,
                           int step, const ScheduleOptions& options = {});

/// Requirements that together cannot be met, none of which can be spared from the list.
struct Conflict {
    std::vector<std::string> members;      ///< in words
    std::vector<std::string> relaxations;  ///< changes that were tried and make it possible, cheapest first, in words
    int schedules = 0;                     ///< generated on the way
    bool feasible = false;                 ///< nothing stands in the way after all
};

/// The smallest conflicting set by taking out what can be spared, and the cheapest changes that help, each of them tried.
///
/// Members are latest ends, absences, closed days and holidays, sealing months, weather, numbers of people, ladders, platforms and
/// bays, longest waits, the hours of the day. Taking any one of them away makes the rest possible: tried with the same search.
/// @threads pure.
Conflict explain_conflict(const std::vector<Booking>& bookings, const Shop& shop, Date start, const ScheduleOptions& options = {});

}  // namespace libseal
