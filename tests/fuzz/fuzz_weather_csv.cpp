// Any bytes as a weather file; the corpus holds plain CSV.

#include "weather_target.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    libseal_fuzz::check_weather_text(libseal_fuzz::text_of(data, size));
    return 0;
}
