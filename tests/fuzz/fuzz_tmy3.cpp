// Any bytes as a TMY3 file, and as the rows of one.

#include "weather_target.hpp"

using namespace libseal_fuzz;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string text = text_of(data, size);
    if (text.find("Date (") != std::string::npos) check_weather_text(text);
    else
        check_weather_text(
            "000000,\"Town\",ST,-6.0,40.000,-90.000,200\n"
            "Date (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),DNI (W/m^2),DHI (W/m^2),TotCld (tenths),OpqCld (tenths),Dry-bulb (C),Dew-point (C),"
            "RHum (%),Pressure (mbar),Wdir (degrees),Wspd (m/s),Lprecip depth (mm)\n" + text);
    return 0;
}
