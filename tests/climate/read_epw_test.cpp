// Rows of EPW that are wrong in one place: what is reported, and where.

#include <algorithm>
#include <string>

#include "libseal/climate/read.hpp"
#include "libseal/core/error.hpp"
#include "support/catch.hpp"

using namespace libseal;

namespace {

/// Synthetic: two days that are all alike.
std::string two_days() {
    std::string text = "LOCATION,Nowhere,-,-,invented,000000,41.50,-86.30,-5.0,230.0\nDATA PERIODS,1,1,Data,Sunday, 1/ 1, 1/ 2\n";
    for (int day = 1; day <= 2; ++day)
        for (int hour = 1; hour <= 24; ++hour)
            text += "1999,1," + std::to_string(day) + "," + std::to_string(hour) +
                    ",60,?9?9?9,-3.0,-6.0,80,98000,0,0,280,12,34,5,0,0,0,0,200,4.1,9,8,16.0,77777,9,999999999,10,0.1000,0,88,0.2,0.5,1.0\n";
    return text;
}

/// The first problem of the text with `from`, which stands in it from `behind` on, made `to`.
Problem problem_of(const std::string& behind, const std::string& from, const std::string& to) {
    std::string text = two_days();
    const std::size_t at = text.find(from, text.find(behind));
    REQUIRE(at != std::string::npos);
    text.replace(at, from.size(), to);
    try {
        read_weather_text(text, "a.epw");
    } catch (const ValueError& error) {
        return error.problems().front();
    }
    return {};
}

}  // namespace

TEST_CASE("rows of one date are checked hour by hour", "[climate][bad_input]") {
    const Weather weather = read_weather_text(two_days(), "a.epw");
    REQUIRE(weather.size() == 48);
    CHECK((weather.air_temperature == -3).all());
    CHECK((weather.precipitation == 0.5).all());

    const auto check = [](const Problem& problem, int line, int column, const char* field, const char* got) {
        CHECK(problem.file == "a.epw");
        CHECK(problem.line == line);
        CHECK(problem.column == column);
        CHECK(problem.field == field);
        CHECK(problem.got == got);
    };
    check(problem_of("1999,1,1,7,", "1,7,", "1,25,"), 9, 10, "hour", "\"25\"");
    check(problem_of("1999,1,1,7,", "1,7,", "1,7.5,"), 9, 10, "hour", "\"7.5\"");
    check(problem_of("1999,1,1,7,", "7,60", "7,61"), 9, 12, "minute", "\"61\"");
    check(problem_of("1999,1,1,7,", "1999,1,1,7", "1999,1,1"), 9, 10, "hour", "\"60\"");
    check(problem_of("1999,1,1,7,", "1999,1,1,7", "1999,1,32,7"), 9, 8, "day", "\"32\"");
    check(problem_of("1999,1,1,7,", "1999,1,1,7", "1999,2,30,7"), 9, 1, "date", "1999-2-30");
    check(problem_of("1999,1,1,7,", "1999,1,1,7", "1999,x,1,7"), 9, 6, "month", "\"x\"");
    check(problem_of("1999,1,1,7,", "-3.0", "-3..0"), 9, 22, "dry bulb temperature", "\"-3..0\"");
    check(problem_of("1999,1,1,7,", "-3.0", "71.5"), 9, 22, "dry bulb temperature", "\"71.5\"");
    check(problem_of("1999,1,1,7,", "1999,1,1,7", "1999,1,1,6"), 9, 1, "time", "0 s after it");
    // A good date after a bad one is found again.
    std::string text = two_days();
    text.replace(text.find("1999,1,1,7"), 10, "1999,0,1,7");
    CHECK_THROWS_AS(read_weather_text(text, "a.epw"), ValueError);
    // Numbers in quotes, with blanks and without a value take the longer way.
    for (const char* same : {"\"-3.0\"", " -3.0", "-3.0 ", "-3", "-3.", "-3.00000000", "-3e0"}) {
        INFO(same);
        std::string written = two_days();
        written.replace(written.find("-3.0"), 4, same);
        CHECK(read_weather_text(written, "a.epw").air_temperature[0] == -3);
    }
}

TEST_CASE("several records an hour are read by their minutes, whether these name the ends or the beginnings", "[climate]") {
    // Synthetic: one day of quarters of an hour, the temperature counts them.
    for (const bool ends : {true, false}) {
        std::string text = "LOCATION,Nowhere,-,-,invented,000000,41.50,-86.30,-5.0,230.0\nDATA PERIODS,1,4,Data,Sunday, 1/ 1, 1/ 1\n";
        for (int quarter = 0; quarter < 96; ++quarter)
            text += "1999,1,1," + std::to_string(quarter / 4 + 1) + "," + std::to_string(quarter % 4 * 15 + (ends ? 15 : 0)) + ",?9?9?9," + std::to_string(quarter % 30) +
                    ",-6.0,80,98000,0,0,280,12,34,5,0,0,0,0,200,4.1,9,8,16.0,77777,9,999999999,10,0.1000,0,88,0.2,0.5,0.25\n";
        const Weather weather = read_weather_text(text, "a.epw");
        INFO((ends ? "ends" : "beginnings"));
        REQUIRE(weather.size() == 96);
        CHECK(weather.step == 900);
        for (int quarter = 0; quarter < 96; ++quarter) {
            REQUIRE(weather.time_utc[quarter] - weather.time_utc[0] == 900 * quarter);
            REQUIRE(weather.air_temperature[quarter] == quarter % 30);
        }
        const auto second = (weather.time_utc[0] + static_cast<Instant>(weather.site.utc_offset * 3600)) % 86400;
        CHECK(second == 900);
    }
}

TEST_CASE("a year composed of months loses its leap day, and what follows keeps its values", "[climate]") {
    // Synthetic: 28 and 29 February of 2004, then 1 March of 1987; the temperature counts the rows.
    std::string text = "LOCATION,Nowhere,-,-,invented,000000,41.50,-86.30,-5.0,230.0\nDATA PERIODS,1,1,Data,Sunday, 2/28, 3/ 1\n";
    int row = 0;
    for (const char* day : {"2004,2,28,", "2004,2,29,", "1987,3,1,"})
        for (int hour = 1; hour <= 24; ++hour)
            text += day + std::to_string(hour) + ",60,?9?9?9," + std::to_string(row++ % 60) + ",-6.0,80,98000,0,0,280,12,34,5,0,0,0,0,200,4.1,9,8,16.0,77777,9,999999999,10,0.1000,0,88,0.2,0.5,1.0\n";
    const Weather weather = read_weather_text(text, "a.epw");
    CHECK(weather.typical);
    REQUIRE(weather.size() == 48);
    for (int hour = 0; hour < 48; ++hour) {
        REQUIRE(weather.air_temperature[hour] == (hour < 24 ? hour : hour + 24) % 60);
        REQUIRE(weather.time_utc[hour] == make_instant(2001, 2, 28, 6) + 3600 * hour);  // five hours behind universal time
    }
    const auto has = [&](const std::string& note) { return std::count(weather.notes.begin(), weather.notes.end(), note) == 1; };
    CHECK(has("a year composed of months from 1987 to 2004; its dates carry 2001"));
    CHECK(has("24 rows of 29 February were left out of the composed year"));
}

TEST_CASE("the comment that shifts the irradiance is read, and refused at its place where it cannot be", "[climate]") {
    const auto with = [](const std::string& hours) {
        std::string text = two_days();
        return text.insert(text.find("DATA PERIODS"), "COMMENTS 1,Irradiance Time Offset (h):" + hours + "\n");
    };
    // Half an hour after the stamp of the row.
    CHECK(read_weather_text(with(" -0.5"), "a.epw").sun_offset == read_weather_text(with(" 0.5"), "a.epw").sun_offset - 3600);
    for (const char* wrong : {" 2.1", " noon", ""}) {
        INFO(wrong);
        try {
            read_weather_text(with(wrong), "a.epw");
            FAIL("accepted");
        } catch (const ValueError& error) {
            const Problem& problem = error.problems().front();
            CHECK(problem.field == "Irradiance Time Offset");
            CHECK(problem.line == 2);
            CHECK(problem.column == 39);
            CHECK(problem.got == "\"" + std::string(wrong) + "\"");
        }
    }
}
