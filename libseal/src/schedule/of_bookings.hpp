#pragma once
// Does a schedule speak of these bookings and this shop? It may come from a file or from other plans.

#include "libseal/schedule/schedule.hpp"

namespace libseal::detail {

/// @throws ValueError  naming the first step whose coach, step or people there are not.
void check_steps_of(const Schedule& schedule, const std::vector<Booking>& bookings, const Shop& shop);

/// @throws ValueError  unless there is one stay a booking, in their order, each in a bay of the shop.
void check_stays_of(const Schedule& schedule, const std::vector<Booking>& bookings, const Shop& shop);

}  // namespace libseal::detail
