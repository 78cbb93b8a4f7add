#pragma once
// An hourly typical year made from a station's monthly figures.

#include <cstdint>

#include "libseal/climate/station.hpp"
#include "libseal/climate/weather.hpp"

namespace libseal {

/// Hourly typical year whose monthly means equal the station's.
///
/// Sun by hourly clearness of a truncated exponential law, split by diffuse fraction matched to the month;
/// temperature with daily extremes and day-to-day spells; humidity with the month's mean; wind with a daily
/// course matched to the irradiance-weighted mean; rain hours by a two-state chain scaled to the annual sum.
/// docs/ states how far yearly exposure and damage differ from hourly files.
///
/// @param station  From find_station, or the user's own figures.
/// @param seed     Order of days and hours; laws and means do not depend on it.
/// @return         8760 hours of 2001, `typical` true.
/// @throws ValueError  for figures that no weather can have.
/// @threads        pure; same bits for the same arguments.
Weather typical_year(const Station& station, std::uint64_t seed = 0);

}  // namespace libseal
