#include "support/catch.hpp"

#include "libseal/climate/read.hpp"
#include "support/data.hpp"
#include "support/problems.hpp"
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

TEST_CASE("a site at the ends of what is allowed is read as it was written", "[climate]") {
    Weather weather = read_weather_text("time_utc,ghi_w_m2\n2024-07-01T12:00Z,1\n2024-07-01T13:00Z,2\n", "a.csv");
    for (const double end : {-1.0, 1.0}) {
        weather.site = {"Town", 90 * end, 180 * end, end < 0 ? -1000.0 : 9000.0, 15 * end};
        check_weather(weather);
        const Site again = read_weather_text(weather_csv(weather), "again.csv").site;
        CHECK(again.latitude == weather.site.latitude);
        CHECK(again.longitude == weather.site.longitude);
        CHECK(again.elevation == weather.site.elevation);
        CHECK(again.utc_offset == weather.site.utc_offset);
    }
}

TEST_CASE("a file of another format is told which formats are read, once", "[climate][bad_input]") {
    // The first lines of other weather formats, which have no heading of ours; the words behind them are left out.
    for (const std::string first : {"Source,Location ID,City,State,Latitude,Longitude", "Latitude (decimal degrees): 45.000", "Year,Month,Day,Hour,DHI", "{\"hourly\": []}",
                                    "PK\x03\x04", "", "# a remark alone"}) {
        const auto problems = libseal_test::problems_of([&] { read_weather_text(first + "\n1,2,3\n", "a.txt"); });
        INFO(first);
        REQUIRE(problems.size() == 1);
        CHECK(problems[0].line == (first.empty() || first[0] == '#' ? 2 : 1));
        for (const char* name : {"EPW", "LOCATION,", "TMY3", "Date (MM/DD/YYYY),", "CSV", "time_utc"}) CHECK(problems[0].expected.find(name) != std::string::npos);
        CHECK(problems[0].hint.find("weather_csv") != std::string::npos);
    }
    // One heading that is ours, or nearly so, and it is a CSV with faults, each at its place.
    const auto faults = libseal_test::problems_of([] { read_weather_text("times_utc,ghi_w_m2,rain_mm\n", "a.csv"); });
    REQUIRE(faults.size() == 3);
    CHECK(faults[0].hint == "did you mean \"time_utc\"?");
    CHECK(faults[1].field == "rain_mm");
    CHECK(faults[2].field == "time");
}

TEST_CASE("time stamps are read to the second, with Z or with what they are ahead of it", "[climate]") {
    // ISO 8601 writes the same instant in each of these ways.
    const Weather half_minutes = read_weather_text("time_utc,ghi_w_m2\n2024-07-01T10:00:30Z,1\n2024-07-01T10:01:00Z,2\n2024-07-01 10:01:30,3\n", "a.csv");
    CHECK(half_minutes.step == 30);
    CHECK(half_minutes.time_utc[0] == make_instant(2024, 7, 1, 10) + 30);
    CHECK(half_minutes.time_utc[2] == make_instant(2024, 7, 1, 10) + 90);
    const Weather ahead = read_weather_text("time_utc,ghi_w_m2\n2024-07-01T15:30:15+05:30,1\n2024-07-01T15:30:30+05:30,2\n", "a.csv");
    CHECK(ahead.time_utc[0] == make_instant(2024, 7, 1, 10) + 15);
    const Weather midnight = read_weather_text("time_utc,ghi_w_m2\n2024-07-01T23:00Z,1\n2024-07-01T24:00Z,2\n", "a.csv");
    CHECK(midnight.time_utc[1] == make_instant(2024, 7, 2));
}

TEST_CASE("headings name their unit in the ways of the trade", "[climate]") {
    // NIST SP 811, appendix B.8, from memory: a mile per hour is 0.44704 m/s.
    const std::string row = "\n2024-07-01T12:00Z,0.9,30,25,10\n2024-07-01T13:00Z,0.8,29,24,10\n";
    for (const std::string heading : {"ghi_w_m2", "ghi [W/m2]", "ghi (W/m^2)", "\"ghi (W / m^2)\"", "ghi [W/m\xC2\xB2]", "ghi_kw_m2"}) {
        INFO(heading);
        const Weather weather = read_weather_text("time_utc," + heading + ",air_temperature [\xC2\xB0" "C],dew_point (deg C),wind_speed_mph" + row, "a.csv");
        CHECK(weather.ghi[0] == (heading == "ghi_kw_m2" ? 900 : 0.9));
        CHECK(weather.air_temperature[1] == 29);
        CHECK(weather.dew_point[1] == 24);
        CHECK_THAT(weather.wind_speed[0], Catch::Matchers::WithinAbs(4.4704, 5e-5));
    }
}
