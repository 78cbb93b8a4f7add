#pragma once
// Is a calendar one that the shop can keep? Written apart from the code that makes calendars.

#include <string>
#include <vector>

#include "libseal/calendar/year.hpp"

namespace libseal {

/// Everything that is wrong with a calendar, in words; empty if nothing is.
///
/// Checks that visits lie behind the day of the calendar on days that the shop works and, for work, seals; that no bay holds two
/// coaches and no coach is in two places; that the minutes of each day are within what people have, overtime included, and none fall on days
/// off; that no owner is on a trip; that what is late is marked and said; that uids are unique, the hours of the weeks add up,
/// and the gap is that of cost and bound.
/// @param owner_dates  Those that the calendar was made with.
/// @threads pure.
std::vector<std::string> check_calendar(const Calendar& calendar, const Shop& shop, const std::vector<OwnerDates>& owner_dates = {});

}  // namespace libseal
