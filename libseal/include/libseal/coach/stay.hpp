#pragma once
// Where a coach stands, from when to when.

#include <limits>
#include <string>
#include <vector>

#include "libseal/core/date.hpp"

namespace libseal {

/// A stay: one place, one cover, one heading. `from` counts, `to` does not.
struct Stay {
    Date from{};                ///< first day
    Date to{};                  ///< day after the last; year 9999 for "until further notice"
    std::string place;          ///< the user's name for the place; key of the caller's own weather
    std::string station;        ///< id or name in the built-in table; "" to take the nearest to the point
    double latitude = std::numeric_limits<double>::quiet_NaN();   ///< [deg]
    double longitude = std::numeric_limits<double>::quiet_NaN();  ///< [deg]
    std::string cover = "open";  ///< open, carport (roof shaded), covered (no sun, open air), indoors
    double heading = std::numeric_limits<double>::quiet_NaN();    ///< azimuth of the front [deg]; NaN unknown
};

/// Stays in order of time, without gaps or overlaps; equal neighbours merged.
using Itinerary = std::vector<Stay>;

/// Names of covers.
const std::vector<std::string>& cover_names();

/// Sorts, checks and merges.
/// @throws ValueError  if stays overlap, leave a gap or run backwards, or lie outside the years 1950 to 2200.
Itinerary checked_itinerary(Itinerary stays);

}  // namespace libseal
