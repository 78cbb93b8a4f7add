#include "support/catch.hpp"

#include <cmath>
#include <string>

#include "climate/read_samples.hpp"
#include "libseal/climate/read.hpp"
#include "libseal/core/error.hpp"
#include "support/problems.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

bool has_note(const Weather& weather, const std::string& words) {
    for (const auto& note : weather.notes)
        if (note.find(words) != std::string::npos) return true;
    return false;
}

}  // namespace

TEST_CASE("a real leap year keeps its 29 February and its year", "[climate]") {
    const Weather w = read_weather_text(epw(2024, 366), "leap.epw");
    CHECK(w.size() == 8784);
    CHECK_FALSE(w.typical);
    CHECK(w.time_utc[0] == make_instant(2023, 12, 31, 15));  // 01:00 at UTC+10
    CHECK(w.time_utc[8783] == make_instant(2024, 12, 31, 14));
    CHECK(w.site.latitude == -35.5);
    CHECK(w.site.name == "Nowhere");
    CHECK(w.gaps.empty());
}

TEST_CASE("a leap year written without its 29 February has a gap of a day", "[climate]") {
    std::string text = epw_head();
    for (int day : {27, 28}) text += epw_day(2024, 2, day);
    text += epw_day(2024, 3, 1);
    const Weather w = read_weather_text(text, "no leap day.epw");
    REQUIRE(w.size() == 96);
    REQUIRE(w.gaps.size() == weather_column_names().size());
    for (const Gap& gap : w.gaps) {
        CHECK(gap.first == 48);
        CHECK(gap.count == 24);
        CHECK(gap.filled == "no");
    }
}

TEST_CASE("a year composed of several is set on 2001", "[climate]") {
    const Weather w = read_weather_text(epw(2023, 365, 1, 1995), "composed.epw");
    CHECK(w.typical);
    CHECK(w.size() == 8760);
    CHECK(w.time_utc[0] == make_instant(2000, 12, 31, 15));
    CHECK(w.time_utc[8759] == make_instant(2001, 12, 31, 14));
    CHECK(has_note(w, "from 1995 to 2023"));
}

TEST_CASE("a composed year loses its 29 February", "[climate]") {
    std::string text = epw_head();
    for (int day = 1; day <= 29; ++day) text += epw_day(1996, 2, day);
    text += epw_day(1983, 3, 1);
    const Weather w = read_weather_text(text, "leap month.epw");
    CHECK(w.typical);
    CHECK(w.size() == 29 * 24);
    CHECK(w.gaps.empty());
    CHECK(w.time_utc[w.size() - 1] == make_instant(2001, 3, 1, 14));
    CHECK(has_note(w, "24 rows of 29 February"));
}

TEST_CASE("a series across the turn of a real year is dated, not composed", "[climate]") {
    const Weather w =
        read_weather_text(epw_head() + epw_day(2022, 12, 31) + epw_day(2023, 1, 1), "winter.epw");
    CHECK_FALSE(w.typical);
    CHECK(w.size() == 48);
    CHECK(w.time_utc[47] == make_instant(2023, 1, 1, 14));
}

TEST_CASE("TMY3 years are composed even if all months are of one year", "[climate]") {
    const Weather w = read_weather_text(tmy3(48), "short.csv");
    CHECK(w.typical);
    CHECK(w.size() == 48);
    CHECK(w.time_utc[0] == make_instant(2001, 1, 1, 7));
    CHECK(w.time_utc[23] == make_instant(2001, 1, 2, 6));  // stamped 24:00 of the first day
    CHECK(w.pressure[0] == 99000);
    CHECK(has_note(w, "precipitation"));
    ReadWeatherOptions utc;
    utc.hours = "utc";
    CHECK(read_weather_text(tmy3(48), "short.csv", utc).time_utc[0] == make_instant(2001, 1, 1, 1));
}

TEST_CASE("several records an hour are read whichever end of the interval they mark", "[climate]") {
    const bool starts = GENERATE(false, true);
    const Weather w = read_weather_text(
        epw_head(2) + epw_day(2022, 1, 1, 2, starts) + epw_day(2022, 1, 2, 2, starts), "half.epw");
    CHECK(w.step == 1800);
    CHECK(w.size() == 96);
    CHECK(w.sun_offset == -900);
    CHECK(w.time_utc[0] == make_instant(2021, 12, 31, 14, 30));
    CHECK(has_note(w, "stamped at the start") == starts);
    CHECK(has_note(w, "mean power"));
}

TEST_CASE("codes for missing values become gaps, not numbers", "[climate]") {
    const std::string good =
                          ",?,15.5,9.0,65,94000,0,0,300,0,0,0,0,0,0,0,180,3.2,5,4,10,77777,9,999999999,0,0.1,"
                          "0,88,0.2,0.4,1.0",
                      bad =
                          ",?,99.9,99.9,999,999999,9999,9999,9999,9999,9999,9999,0,0,0,0,999,999,99,99,10,"
                          "77777,9,999999999,0,0.1,0,88,"
                          "0.2,999,99";
    const Weather w = read_weather_text(replaced(epw(2022, 2), good, bad), "codes.epw");
    for (const auto& name : weather_column_names()) {
        INFO(name);
        CHECK(std::isnan(weather_column(w, name)[0]));
        CHECK_FALSE(std::isnan(weather_column(w, name)[1]));
    }
    CHECK(w.gaps.size() == 11);
    const Weather t =
        read_weather_text(replaced(tmy3(48), ",-7.8,-11.1,77,", ",-9900,-9900,-9999,"), "codes.csv");
    CHECK(std::isnan(t.air_temperature[0]));
    CHECK(std::isnan(t.relative_humidity[0]));
    CHECK(t.air_temperature[1] == -7.8);
    CHECK(t.gaps.size() == 3);
}

TEST_CASE("an older EPW without rain columns has no rain, not zero rain", "[climate]") {
    std::string text = epw_head();
    for (int hour = 1; hour <= 3; ++hour)
        text += "2022,1,1," + std::to_string(hour) +
                ",60,?,15.5,9.0,65,94000,0,0,300,0,0,0,0,0,0,0,180,3.2,5,4,10,77777,9,999999999,0,0.1,0,88\n";
    const Weather w = read_weather_text(text, "old.epw");
    CHECK(w.precipitation.isNaN().all());
    CHECK(w.wind_speed[2] == 3.2);
    ReadWeatherOptions refuse;
    refuse.gaps = "refuse";
    CHECK_NOTHROW(read_weather_text(text, "old.epw", refuse));  // a column that is not there is no hole
}

TEST_CASE("an instant of irradiance in the comments moves the sun and tells a clock in UTC", "[climate]") {
    const std::string text = epw_head(1, "Irradiance Time Offset (h):0.25") + epw_day(2022, 1, 1);
    const Weather w = read_weather_text(text, "instant.epw");
    CHECK(w.sun_offset == 900);
    CHECK(w.time_utc[0] == make_instant(2022, 1, 1, 1));
    CHECK(has_note(w, "counted in UTC"));
    ReadWeatherOptions local;
    local.hours = "local";
    CHECK(read_weather_text(text, "instant.epw", local).time_utc[0] == make_instant(2021, 12, 31, 15));
}

TEST_CASE("values hardly outside their range are set to its end, with a note", "[climate]") {
    const Weather w = read_weather_text(
        replaced(epw(2022, 2), "9.0,65,94000,0,0,300,0,", "9.0,104,94000,0,0,300,-3,"), "night.epw");
    CHECK(w.ghi[0] == 0);
    CHECK_FALSE(std::signbit(w.ghi[0]));
    CHECK(w.relative_humidity[0] == 100);
    CHECK(has_note(w, "ghi: 1 values"));
    CHECK(has_note(w, "relative_humidity: 1 values"));
}

TEST_CASE("line ends of any system and a byte order mark do not matter", "[climate]") {
    std::string text = epw(2022, 2), crlf = "\xEF\xBB\xBF";
    for (const char c : text) crlf += c == '\n' ? std::string("\r\n") : std::string(1, c);
    text.pop_back();  // no line end at the end
    const Weather a = read_weather_text(text, "a"), b = read_weather_text(crlf, "b");
    CHECK(a.size() == 48);
    CHECK((a.time_utc == b.time_utc).all());
    CHECK((a.precipitation == b.precipitation).all());
}
