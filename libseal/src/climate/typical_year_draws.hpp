#pragma once
// What a typical year draws at random: the same for every station, so that many years of one seed share it.

#include <cstdint>

#include "libseal/climate/station.hpp"
#include "libseal/climate/weather.hpp"
#include "libseal/core/columns.hpp"

namespace libseal::detail {

/// Hours unless something else is said; series keep some of the hour or day before.
struct YearDraws {
    explicit YearDraws(std::uint64_t seed);

    Column sun_score;          ///< how clear the hour is against others, part by day and part by hour
    Column temperature_spell;  ///< of each day, normal scores in its month
    Column temperature_noise;
    Column dew_spell;          ///< from normal scores of days in their month
    Column dew_noise;
    Column gust;               ///< ln of standard exponential variates, by rank in the month
    Column rain_chance;        ///< against other hours
    Column rain_depth;         ///< exponential variates
    Column wind_direction;     ///< [deg]
};

/// The year of a station from draws that were made before.
Weather typical_year(const Station& station, const YearDraws& draws);

}  // namespace libseal::detail
