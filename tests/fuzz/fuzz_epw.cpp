// Any bytes behind the word that makes a file an EPW one; and any bytes as its rows.

#include "weather_target.hpp"

using namespace libseal_fuzz;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string text = text_of(data, size);
    check_weather_text(text.starts_with("LOCATION,") ? text : "LOCATION," + text);
    if (!text.starts_with("LOCATION,"))
        check_weather_text("LOCATION,Town,ST,USA,invented,000000,40.0,-90.0,-6.0,200.0\nDATA PERIODS,1,1,Data,Sunday,1/1,12/31\n" + text);
    return 0;
}
