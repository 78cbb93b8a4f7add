// Any bytes as a weather file of any format: a checked Weather that survives being written and read again, or an Error.

#include <cstdint>
#include <cstdlib>
#include <string>

#include "libseal/climate/read.hpp"
#include "libseal/core/error.hpp"

using namespace libseal;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string text(reinterpret_cast<const char*>(data), size);
    for (const char* gaps : {"report", "interpolate", "refuse"}) {
        Weather weather;
        try {
            weather = read_weather_text(text, "input", {gaps, 6, "auto"});
        } catch (const Error& error) {
            if (error.problems().empty() || error.problems().size() > 50) std::abort();
            continue;
        }
        check_weather(weather);  // what a reader accepts must be sound
        if (weather.size() < 2) continue;  // a plain CSV tells its step by two rows
        const Weather again = read_weather_text(weather_csv(weather), "written");
        if (again.size() != weather.size() || (again.time_utc != weather.time_utc).any()) std::abort();
    }
    return 0;
}
