#pragma once
// The lines of a price, exact in minor units.

#include <limits>
#include <vector>

#include "libseal/work/quote.hpp"

namespace libseal::detail {

/// Lines that add up to the total, with the sums that a plan shows.
struct Priced {
    std::vector<QuoteLine> lines;
    Cost labour, net, tax, total;
    Money material = 0;
};

/// @param distance_km  To the coach; NaN: it comes to the shop.
Priced price(const WorkPlan& plan, const Shop& shop, double distance_km = std::numeric_limits<double>::quiet_NaN());
/// Price of material with the shop's markup.
Money marked_up(Money price, const Shop& shop);

}  // namespace libseal::detail
