#pragma once
// Travel trailers all of whose layers were fitted on one day, and where they stand. Synthetic.

#include <string>

#include "libseal/coach/layouts.hpp"

namespace libseal_test {

/// @param length  Of the shell [m].
inline libseal::Coach trailer_of(double length, libseal::Date fitted, const std::string& id = "t1", const std::string& model_line = "") {
    libseal::LayoutOptions options;
    options.id = id;
    options.model_line = model_line;
    options.installed_from = options.installed_to = fitted;
    return libseal::travel_trailer(length, options);
}

/// In the open near a station, without an end.
/// @param heading  Azimuth of the front [deg].
inline libseal::Stay stay_since(libseal::Date from, const std::string& station = "725350", double heading = 0) {
    libseal::Stay stay;
    stay.from = from;
    stay.to = libseal::make_date(9999, 12, 31);
    stay.station = station;
    stay.heading = heading;
    return stay;
}

inline libseal::Coach standing(libseal::Coach coach, const libseal::Stay& stay) {
    coach.stays = {stay};
    return coach;
}

}  // namespace libseal_test
