#pragma once
// An hourly typical year made from a station's monthly figures.

#include <cstdint>

#include "libseal/climate/station.hpp"
#include "libseal/climate/weather.hpp"

namespace libseal {

/// Hourly typical year whose monthly means equal the station's.
///
/// Sun by hourly clearness of a truncated exponential law, split so that every hour closes and the month's beam and
/// diffuse are met; temperature with daily extremes and day-to-day spells; humidity with the month's mean; wind with a
/// daily course matched to the irradiance-weighted mean; precipitation in the cloudiest and dampest spells, as many
/// hours above freezing as the station reports rain, scaled to the annual sum. Figures that a station lacks may be NaN:
/// wind_when_sunny, temperature_when_sunny, wind_daytime_cv, sun_centroid, annual_precipitation.
/// docs/typical_year.md states how far yearly exposure and damage differ from hourly files.
///
/// @param station  From find_station, or the user's own figures.
/// @param seed     Order of days and hours; laws and means do not depend on it.
/// @return         8760 hours of 2001 in the station's standard time, `typical` true; `notes` say what was assumed.
/// @throws ValueError  for figures that no weather can have, naming the field.
/// @source         docs/typical_year.md; Haurwitz 1945; Bendt, Collares-Pereira & Rabl 1981; Erbs, Klein & Duffie 1982;
///                 Parton & Logan 1981; Justus 1978; Alduchov & Eskridge 1996.
/// @threads        pure; same bits for the same arguments.
Weather typical_year(const Station& station, std::uint64_t seed = 0);

}  // namespace libseal
