#pragma once
// Stretches of time that are gone through day by day: of a length that ends, in years that the calendar has.

#include <string>
#include <utility>

#include "libseal/core/error.hpp"
#include "libseal/schedule/time.hpp"

namespace libseal::detail {

constexpr Minute minutes_of_century = Minute{36525} * 1440;

/// The first and the last minute of the years 1400 to 9999.
inline std::pair<Minute, Minute> known_minutes() { return {minute_of(make_date(1400, 1, 1)), minute_of(make_date(9999, 12, 31), 1440)}; }

/// @throws ValueError  unless both lie within the years 1400 to 9999 and `to` is at most so much later.
inline void check_stretch(Minute from, Minute to, int centuries) {
    static const auto [first, last] = known_minutes();
    for (const auto& [name, t] : {std::pair{"from", from}, std::pair{"to", to}})
        if (t < first || t > last) throw_value_error(name, "a time of the years 1400 to 9999", std::to_string(t) + " min since 1970");
    if (to - from > centuries * minutes_of_century)
        throw_value_error("to", "at most " + std::to_string(100 * centuries) + " years after from", time_text(from) + " to " + time_text(to));
}

}  // namespace libseal::detail
