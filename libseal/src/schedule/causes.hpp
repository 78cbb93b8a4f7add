#pragma once
// The direct cause of every start.

#include <vector>

#include "libseal/schedule/explain.hpp"
#include "schedule/jobs.hpp"

namespace libseal::detail {

/// One cause a step, in the order of schedule.steps; `by_step` points to the step that held it.
std::vector<Cause> direct_causes(const Schedule& schedule, const std::vector<Booking>& bookings, const Jobs& jobs, ShopHours& hours);

}  // namespace libseal::detail
