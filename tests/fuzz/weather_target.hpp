#pragma once
// Bytes as a weather file: a checked Weather that survives being written and read again, or an error of the library.

#include "libseal/climate/read.hpp"
#include "target.hpp"

namespace libseal_fuzz {

inline void check_weather_text(const std::string& text) {
    for (const char* gaps : {"report", "interpolate", "refuse"}) {
        const auto weather = read_or_refuse([&] { return libseal::read_weather_text(text, "input", {gaps, 6, "auto"}); });
        if (!weather) continue;
        libseal::check_weather(*weather);      // what a reader accepts must be sound
        if (weather->size() < 2) continue;  // a plain CSV tells its step by two rows
        const libseal::Weather again = libseal::read_weather_text(libseal::weather_csv(*weather), "written");
        require(again.size() == weather->size() && (again.time_utc == weather->time_utc).all(), "weather is read as it was written");
    }
}

}  // namespace libseal_fuzz
