#pragma once
// What a cover lets through, and several stays as one weather.

#include <functional>

#include "libseal/climate/weather.hpp"
#include "libseal/coach/stay.hpp"

namespace libseal {

/// Share of the open sky's light and of its rain that a cover lets through. [-]
struct CoverFactors {
    double roof = 1;      ///< light on the roof [-]
    double wall = 1;      ///< light on walls [-]
    double rain = 1;      ///< [-]
    bool open_air = true; ///< false indoors: frost-free, no dew, no wind
};
/// @throws ValueError  unknown cover.
CoverFactors cover_factors(const std::string& cover);

/// Weather of a stay: the caller decides whence (own file, built-in table).
using WeatherOfStay = std::function<const Weather&(const Stay&)>;

/// Hours of one stay's weather that belong to the stay: dated weather by its instants, a typical year by day of the year.
struct StayHours {
    const Weather* weather = nullptr;
    Stay stay;
    std::vector<Eigen::Index> hours;  ///< indices into the weather, in order of time; a typical year repeats
};

/// Joins the weathers of an itinerary over [from, to): which hours of which weather, in order of time.
/// Days are days of the site's standard time. On 29 February a typical year repeats the 28th. Dated weather gives the
/// hours it has: where it ends before the stay does, `hours` is shorter than the stay.
/// @throws ValueError  if the itinerary does not cover the span, or `to` is before `from`.
std::vector<StayHours> join_weather(const Itinerary& itinerary, Date from, Date to, const WeatherOfStay& weather_of);

}  // namespace libseal
