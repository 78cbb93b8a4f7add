#pragma once
// What the JSON of plans, quotes and work orders has in common.

#include <string>
#include <vector>

#include "core/json.hpp"
#include "libseal/work/plan.hpp"
#include "work/billing.hpp"

namespace libseal::detail {

/// Low, most likely and high.
inline void write_range(JsonWriter& out, const char* key, const Minutes& minutes) {
    out.object(key, [&] {
        out.member("low", minutes.low);
        out.member("mode", minutes.mode);
        out.member("high", minutes.high);
    });
}

/// The same of money, in units of the currency.
inline void write_range(JsonWriter& out, const char* key, const Cost& cost, const std::string& currency) {
    write_range(out, key, {in_units(cost.low, currency), in_units(cost.mode, currency), in_units(cost.high, currency)});
}

inline void write_supplies(JsonWriter& out, const std::vector<Supply>& supplies) {
    out.list("supplies", supplies, [&](const Supply& supply) {
        out.begin_object();
        out.member("name", supply.name);
        out.member("amount", supply.amount);
        out.member("unit", supply.unit);
        out.end_object();
    });
}

inline void write_cautions(JsonWriter& out, const std::vector<Caution>& cautions) {
    out.list("cautions", cautions, [&](const Caution& caution) {
        out.begin_object();
        out.member("id", caution.id);
        out.member("text", caution.text);
        out.end_object();
    });
}

}  // namespace libseal::detail
