#pragma once
// Working time: local minutes, shifts, breaks, holidays.

#include <cstdint>
#include <string>
#include <vector>

#include "libseal/work/shop.hpp"

namespace libseal {

/// Local civil time in minutes since 1970-01-01T00:00. The shop's clock; no time zone.
using Minute = std::int64_t;

inline Minute minute_of(Date day, int minute_of_day = 0) { return Minute{day.days} * 1440 + minute_of_day; }
inline Date day_of(Minute t) { return {static_cast<std::int32_t>(t >= 0 ? t / 1440 : -((1439 - t) / 1440))}; }
/// "2026-04-13 08:30".
std::string time_text(Minute t);

/// A stretch of time; `to` does not count.
struct TimeSpan {
    Minute from = 0;  ///< [min since 1970-01-01T00:00, local]
    Minute to = 0;    ///< [min since 1970-01-01T00:00, local]
    bool operator==(const TimeSpan&) const = default;
};

/// Stretches of a day in which a person works, in order; empty on days off.
std::vector<TimeSpan> working_spans(const Shop& shop, const Person& person, Date day);

/// First minute at or after t at which a person works.
/// @throws ValueError  if none comes within three years.
Minute next_working(const Shop& shop, const Person& person, Minute t);

/// End of `work` minutes of work begun at or after t, breaks, nights and days off passed over.
Minute add_work(const Shop& shop, const Person& person, Minute t, std::int64_t work);

}  // namespace libseal
