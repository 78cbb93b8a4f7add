#pragma once
// All that a user knows of the weather of one place: what was measured, what is forecast, and a typical year.

#include <string>
#include <utility>
#include <vector>

#include "libseal/climate/weather.hpp"

namespace libseal {

/// Own weather of a place, in one or several parts.
///
/// Dated parts may overlap: hour by hour the earlier part of the list counts, so a measured series comes before a
/// forecast. At most one part is a typical year; it stands for all days that no dated part knows. Without it the
/// typical year of the place's station does.
struct PlaceWeather {
    std::vector<Weather> parts;

    PlaceWeather() = default;
    PlaceWeather(Weather weather) { parts.push_back(std::move(weather)); }      // NOLINT: one weather is a place's weather
    PlaceWeather(std::vector<Weather> weathers) : parts(std::move(weathers)) {}  // NOLINT: so are several

    /// The typical part, null if there is none.
    const Weather* typical() const;
    /// Whether the dated parts know air temperature and dew point of at least 27 days of every calendar month; a day
    /// that several parts know counts once.
    bool knows_every_month() const;
    /// What no dated part ever knows and no surface in the open can do without: "ghi", "wind_speed", "ghi and wind_speed";
    /// "" if nothing, or if there are no dated parts. Under a cover without light their days count all the same.
    std::string missing_columns() const;
};

/// Checks every part as `check_weather` does, and that they belong together.
///
/// @param name  How errors call it, for example "weather[\"home\"]".
/// @throws ValueError  no part, several typical ones; values in an unlikely unit; a dated part without a known hour, outside the years 1950 to 2200,
///                     or with a step that does not fit into days; dated parts in different time zones or more than
///                     200 km apart.
/// @threads pure.
void check_place_weather(const PlaceWeather& weather, const std::string& name);

}  // namespace libseal
