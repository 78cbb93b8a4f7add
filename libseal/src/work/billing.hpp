#pragma once
// Amounts of a currency in files, and the settings of prices.

#include <string>
#include <vector>

#include "core/json.hpp"
#include "libseal/core/error.hpp"
#include "libseal/work/shop.hpp"

namespace libseal::detail {

/// An amount in units of the currency, with no more decimals than it has, as minor units.
Money money(const JsonView& view, Money fallback, const std::string& currency);
/// Minor units as units of the currency, for files.
double in_units(Money minor, const std::string& currency);

void read_billing(const JsonView& view, Shop& shop);
void write_billing(JsonWriter& out, const Shop& shop);
void check_billing(const Billing& billing, std::vector<Problem>& problems);

}  // namespace libseal::detail
