#include "support/catch.hpp"

#include <cmath>

#include "libseal/climate/read.hpp"
#include "libseal/climate/typical_year.hpp"
#include "libseal/core/error.hpp"

using namespace libseal;

namespace {

/// Synthetic: a few hours south of the equator in the user's own units.
const char* const own_units = R"(# name: shed roof
# latitude_deg: -33.9
# longitude_deg: 151.2
# elevation_m: 40
# utc_offset_h: 10
time_local,ghi [W/m2],air_temperature (°F),relative_humidity_percent,wind_speed_mph,pressure_hPa,precipitation_in
2024-12-31T23:00,0,68,50,10,1010,0
2024-12-31T24:00,0,50,,0,1011,0.1
2025-01-01 01:00,0,32,100,5,1012,0
)";

std::string with(std::string text, const std::string& from, const std::string& to) {
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

}  // namespace

TEST_CASE("a plain table is read in the units of its headings", "[climate]") {
    const Weather w = read_weather_text(own_units, "own.csv");
    REQUIRE(w.size() == 3);
    CHECK_FALSE(w.typical);
    CHECK(w.site.latitude == -33.9);
    CHECK(w.time_utc[0] == make_instant(2024, 12, 31, 13));
    CHECK(w.time_utc[1] == make_instant(2024, 12, 31, 14));
    CHECK(w.air_temperature[0] == Approx(20));
    CHECK(w.air_temperature[2] == Approx(0).margin(1e-12));
    CHECK(w.wind_speed[0] == Approx(4.4704));
    CHECK(w.pressure[0] == Approx(101000));
    CHECK(w.precipitation[1] == Approx(2.54));
    CHECK(w.dew_point[0] == Approx(9.26).margin(0.02));  // Magnus, 20 degC at 50 %
    CHECK(std::isnan(w.dew_point[1]));
    CHECK(std::isnan(w.relative_humidity[1]));
    CHECK(std::isnan(w.dni[0]));
    bool told = false;
    for (const auto& gap : w.gaps) told = told || (gap.column == "relative_humidity" && gap.first == 1 && gap.count == 1 && gap.filled == "no");
    CHECK(told);
}

TEST_CASE("what is written reads back equal", "[law][climate]") {
    Weather w = typical_year(find_station("725350"), 3);
    w.wind_speed[17] = std::nan("");
    const Weather back = read_weather_text(weather_csv(w), "again.csv");
    REQUIRE(back.size() == w.size());
    CHECK((back.time_utc == w.time_utc).all());
    CHECK(back.step == w.step);
    CHECK(back.sun_offset == w.sun_offset);
    CHECK(back.typical == w.typical);
    CHECK(back.site.longitude == w.site.longitude);
    for (const auto& name : weather_column_names()) {
        const Column& a = weather_column(w, name);
        const Column& b = weather_column(back, name);
        for (Eigen::Index i = 0; i < w.size(); ++i)
            if (!(a[i] == b[i] || (std::isnan(a[i]) && std::isnan(b[i])))) {
                INFO(name << " " << i << ": " << a[i] << " became " << b[i]);
                FAIL();
            }
    }
}

TEST_CASE("stamps with a zone, half hours and missing rows find their place", "[climate]") {
    const std::string text =
        "# latitude_deg: 40\n# longitude_deg: -105\n# utc_offset_h: -7\ntime_utc,ghi_w_m2\n"
        "2024-02-28T16:30:00-07:00,100\n2024-02-29T00:00:00Z,110\n2024-02-29T00:30Z,120\n2024-02-29T01:30Z,130\n";
    const Weather w = read_weather_text(text, "t.csv");
    REQUIRE(w.size() == 5);
    CHECK(w.step == 1800);
    CHECK(w.sun_offset == -900);
    CHECK(w.time_utc[0] == make_instant(2024, 2, 28, 23, 30));
    CHECK(w.time_utc[4] == make_instant(2024, 2, 29, 1, 30));
    CHECK(w.ghi[2] == 120);
    CHECK(std::isnan(w.ghi[3]));
    CHECK(w.ghi[4] == 130);
}

TEST_CASE("gaps are reported, filled or refused as asked", "[climate]") {
    std::string text = "# latitude_deg: 40\n# longitude_deg: -105\n# utc_offset_h: -7\ntime_utc,air_temperature_c\n";
    const char* values[] = {"10", "", "14", "", "", "", "20"};
    for (int i = 0; i < 7; ++i) text += "2024-06-01T0" + std::to_string(i + 1) + ":00Z," + values[i] + "\n";
    const Weather open = read_weather_text(text, "t.csv");
    CHECK(std::isnan(open.air_temperature[1]));
    ReadWeatherOptions fill;
    fill.gaps = "interpolate";
    fill.longest_fill = 2;
    const Weather filled = read_weather_text(text, "t.csv", fill);
    CHECK(filled.air_temperature[1] == Approx(12));
    CHECK(std::isnan(filled.air_temperature[4]));  // too long a run
    bool told = false;
    for (const auto& gap : filled.gaps) told = told || (gap.column == "air_temperature" && gap.first == 1 && gap.filled != "no");
    CHECK(told);
    ReadWeatherOptions refuse;
    refuse.gaps = "refuse";
    CHECK_THROWS_AS(read_weather_text(text, "t.csv", refuse), ValueError);
}

TEST_CASE("each fault of a table is told with line, column and what to do", "[bad_input][climate]") {
    struct Fault {
        const char* from;
        const char* to;
        int line;
        const char* words;
    };
    const Fault faults[] = {
        {"wind_speed_mph", "wind_sped_mph", 6, "did you mean \"wind_speed\"?"},
        {"wind_speed_mph", "wind_speed", 6, "write \"wind_speed_m_s\""},
        {"wind_speed_mph", "wind_speed_furlongs", 6, "a unit of"},
        {"wind_speed_mph", "ghi_w_m2", 6, "stands once"},
        {"time_local", "date", 6, "time_utc"},
        {"2024-12-31T24:00", "2024-12-32T24:00", 8, "a time such as"},
        {"2024-12-31T24:00", "31/12/2024", 8, "a time such as"},
        {"2024-12-31T24:00", "2024-12-31T23:00", 8, "after that of the row before"},
        {"2024-12-31T24:00", "2024-12-31T23:17", 8, "intervals"},
        {"0,68,50,10", "0,68,50,ten", 7, "a number"},
        {"0,68,50,10", "0,680,50,10", 7, "a value from"},
        {"0,68,50,10", "0,68,150,10", 7, "a value from"},
        {"0,68,50,10", "-50,68,50,10", 7, "a value from"},
        {"latitude_deg: -33.9", "latitude_deg: 91", 2, "-90 to 90"},
        {"latitude_deg: -33.9", "latitud_deg: -33.9", 2, "did you mean \"latitude_deg\"?"},
        {"utc_offset_h: 10\n", "remark\n", 6, "utc_offset_h"},
        {"1012,0\n", "1012\n", 9, "shorter"},
    };
    for (const Fault& fault : faults) {
        INFO(fault.from << " -> " << fault.to);
        try {
            read_weather_text(with(own_units, fault.from, fault.to), "own.csv");
            FAIL("accepted");
        } catch (const ValueError& error) {
            CHECK(error.problems().front().file == "own.csv");
            CHECK(error.problems().front().line == fault.line);
            CHECK(std::string(error.what()).find(fault.words) != std::string::npos);
        }
    }
    CHECK_THROWS_AS(read_weather_text("", "empty"), ValueError);
    CHECK_THROWS_AS(read_weather_text("hello", "no table"), ValueError);
    CHECK_THROWS_AS(read_weather("/no/such/file.epw"), FileError);
    ReadWeatherOptions wrong;
    wrong.gaps = "guess";
    CHECK_THROWS_AS(read_weather_text(own_units, "t", wrong), ValueError);
}
