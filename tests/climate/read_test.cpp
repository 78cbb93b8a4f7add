#include "support/catch.hpp"

#include "libseal/climate/read.hpp"
#include "support/data.hpp"
#include "support/published.hpp"

using namespace libseal;

TEST_CASE("the eight TMY3 files have every hour of every used column", "[reference][climate]") {
    const auto name = GENERATE(as<std::string>{}, "722020_FL_Miami", "722780_AZ_Phoenix_Sky_Harbor", "724666_CO_Golden_NREL",
                               "725090_MA_Boston", "725300_IL_Chicago_OHare", "725350_IN_South_Bend", "726580_MN_Minneapolis",
                               "727930_WA_Seattle");
    const auto path = libseal_test::outside_file("weather/" + name + "_TMY3.csv");
    if (!path) return;
    const Weather weather = read_weather(path->string());
    CHECK(weather.size() == 8760);
    CHECK(weather.typical);
    CHECK(weather.gaps.empty());
    CHECK(weather.step == 3600);
    CHECK(weather.sun_offset == -1800);
    const auto offset = static_cast<Instant>(weather.site.utc_offset * 3600);
    CHECK(weather.time_utc[0] == make_instant(2001, 1, 1, 1) - offset);
    CHECK(weather.time_utc[8759] == make_instant(2002, 1, 1) - offset);
    CHECK_NOTHROW(check_weather(weather));
}
