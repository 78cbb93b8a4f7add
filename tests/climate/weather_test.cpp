#include "support/catch.hpp"

#include <cmath>

#include "climate/read_samples.hpp"
#include "libseal/climate/read.hpp"
#include "libseal/core/error.hpp"
#include "support/problems.hpp"

using namespace libseal;

TEST_CASE("columns are reached by name, and a wrong name by its nearest", "[climate]") {
    Weather w = read_weather_text(libseal_test::epw(2022, 1), "day.epw");
    REQUIRE(weather_column_names().size() == 11);
    CHECK(&weather_column(w, "dew_point") == &w.dew_point);
    CHECK(&weather_column(w, weather_column_names().front()) == &w.ghi);
    CHECK(&weather_column(w, weather_column_names().back()) == &w.precipitation);
    const auto problems = libseal_test::problems_of([&] { weather_column(w, "dewpoint"); });
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].hint.find("dew_point") != std::string::npos);
}

TEST_CASE("a series that no weather can have is refused, naming the place", "[bad_input][climate]") {
    const Weather sound = read_weather_text(libseal_test::epw(2022, 1), "day.epw");
    CHECK_NOTHROW(check_weather(sound));
    struct Fault {
        const char* field;
        void (*change)(Weather&);
    };
    const Fault faults[] = {
        {"air_temperature[3]", [](Weather& w) { w.air_temperature[3] = 200; }},
        {"relative_humidity[0]", [](Weather& w) { w.relative_humidity[0] = 150; }},
        {"ghi[23]", [](Weather& w) { w.ghi[23] = -6; }},
        {"pressure", [](Weather& w) { w.pressure.conservativeResize(5); }},
        {"time_utc[7]", [](Weather& w) { w.time_utc[7] += 1; }},
        {"step", [](Weather& w) { w.step = 0; }},
        {"site.latitude", [](Weather& w) { w.site.latitude = 91; }},
        {"site.longitude", [](Weather& w) { w.site.longitude = std::nan(""); }},
        {"sun_offset", [](Weather& w) { w.sun_offset = std::nan(""); }},
        {"time_utc", [](Weather& w) { w = Weather{}; }},
    };
    for (const Fault& fault : faults) {
        Weather w = sound;
        fault.change(w);
        const auto problems = libseal_test::problems_of([&] { check_weather(w); });
        INFO(fault.field);
        REQUIRE(problems.size() == 1);
        CHECK(problems[0].field == fault.field);
    }
    Weather unknown = sound;
    unknown.wind_speed.setConstant(std::nan(""));
    CHECK_NOTHROW(check_weather(unknown));
}
