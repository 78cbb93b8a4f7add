#pragma once
// Is a schedule right? Written apart from the code that makes schedules.

#include <string>
#include <vector>

#include "libseal/schedule/schedule.hpp"

namespace libseal {

/// Everything that is wrong with a schedule, in words; empty if it is valid.
///
/// Checks that each step is there once with all its working minutes, starts on or after `start`, lies inside the shifts of
/// its people, heeds each edge with its lag, keeps unbroken steps whole where a shift can hold them, and that nobody
/// does two things at once.
/// @threads pure.
std::vector<std::string> verify(const Schedule& schedule, const WorkPlan& plan, const Shop& shop, Date start);

}  // namespace libseal
