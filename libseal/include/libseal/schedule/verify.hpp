#pragma once
// Is a schedule right? Written apart from the code that makes schedules.

#include <string>
#include <vector>

#include "libseal/schedule/schedule.hpp"

namespace libseal {

/// One rule that a schedule breaks, with how much.
struct Violation {
    int booking = -1;      ///< of the step, -1 for none
    int step = -1;         ///< index into its plan, -1 for none
    std::string kind;      ///< "missing", "work", "people", "skills", "hours", "weather", "unbroken", "order", "longest_wait", "arrival", "latest", "bay", "ladder", "running", "score"
    double amount = 0;     ///< [as `unit` says]
    std::string unit;      ///< "min", "people", "pieces", "1"
    std::string text;      ///< in words
};

/// What a schedule is worth and what it breaks.
struct ScheduleEvaluation {
    ScheduleScore score;               ///< `broken` counts longest waits and latest ends only
    std::vector<Violation> violations; ///< empty for a valid schedule
};

/// Everything that is wrong with a schedule, with amounts, and its score.
///
/// Checks that each step is there once with all its working minutes, starts neither before its coach arrives nor before
/// `options.now`, lies inside the shifts of its people and in weather that its gate allows, heeds each edge with its lag and
/// longest wait, keeps unbroken steps whole where a shift can hold them, that the team has the skills, that nobody does two
/// things at once, that there are ladders enough and each bay holds one coach at a time.
/// @threads pure.
ScheduleEvaluation evaluate_schedule(const Schedule& schedule, const std::vector<Booking>& bookings, const Shop& shop, Date start,
                                     const ScheduleOptions& options = {});

/// A plan made by hand as a schedule: a step works in the shifts of its people between its start and its end.
/// Steps that are not named are missing in it; `evaluate_schedule` says so.
/// @throws ValueError  unknown coach, step, person or bay, ends before starts.
/// @threads pure.
Schedule schedule_by_hand(const std::vector<RunningStep>& steps, const std::vector<Booking>& bookings, const Shop& shop);

/// The violations of a schedule of one plan in words; empty if it is valid.
/// @threads pure.
std::vector<std::string> verify(const Schedule& schedule, const WorkPlan& plan, const Shop& shop, Date start,
                                const ScheduleOptions& options = {});
/// The same for several coaches; the score that the schedule states is checked as well.
std::vector<std::string> verify(const Schedule& schedule, const std::vector<Booking>& bookings, const Shop& shop, Date start,
                                const ScheduleOptions& options = {});

}  // namespace libseal
