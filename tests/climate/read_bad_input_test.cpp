#include "support/catch.hpp"

#include <string>
#include <vector>

#include "climate/read_samples.hpp"
#include "libseal/climate/read.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "support/problems.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

struct Fault {
    const char* from;
    const char* to;
    int line;
    const char* words;  ///< what the text of the error says
};

/// Each fault, put into a sound text, is told with its line and these words.
void check_faults(const std::string& sound, const std::vector<Fault>& faults) {
    REQUIRE_NOTHROW(read_weather_text(sound, "sound"));
    for (const Fault& fault : faults) {
        INFO(fault.from << " -> " << fault.to);
        const std::string text = replaced(sound, fault.from, fault.to);
        REQUIRE_FALSE(text.empty());
        const auto problems = problems_of([&] { read_weather_text(text, "w.txt"); });
        REQUIRE_FALSE(problems.empty());
        INFO(to_text(problems.front()));
        CHECK(problems.front().file == "w.txt");
        CHECK(problems.front().line == fault.line);
        CHECK_FALSE(problems.front().expected.empty());
        CHECK_FALSE(problems.front().got.empty());
        CHECK(to_text(problems.front()).find(fault.words) != std::string::npos);
    }
}

}  // namespace

TEST_CASE("each fault of an EPW is told with its place and what was expected", "[bad_input][climate]") {
    check_faults(epw(2022, 2),
                 {
                     {"LOCATION,Nowhere,-,XX,made up,000000,", "LOCATION,Nowhere,", 1, "10 fields"},
                     {"-35.5,149.0,10.0", "-95.5,149.0,10.0", 1, "-90 to 90"},
                     {"149.0,10.0", "949.0,10.0", 1, "longitude"},
                     {"149.0,10.0", "149.0,east", 1, "hours from UTC"},
                     {"DATA PERIODS,1,1", "DATA PERIODS,1,7", 8, "divide 60"},
                     {"DATA PERIODS,1,1", "PERIODS,1,1", 9, "DATA PERIODS before the first row"},
                     {"15.5,9.0", "warm,9.0", 9, "dry bulb temperature: expected a number, got \"warm\""},
                     {"15.5,9.0", "200,9.0", 9, "-95 to 70"},
                     {"9.0,65,94000", "9.0,150,94000", 9,
                      "relative humidity: expected a value from 0 to 110 percent, got \"150\""},
                     {"0,0,300,0,0,0", "0,0,300,-50,0,0", 9, "-5 to 2000"},
                     {"94000", "940", 9, "30000 to 120000"},
                     {"2022,1,1,1,", "2022,13,1,1,", 9, "month"},
                     {"2022,1,1,1,", "2022,1,1,25,", 9, "1 to 24"},
                     {"2022,1,1,1,", "2022,1,1,0,", 9, "1 to 24"},
                     {"2022,1,1,1,", "2022,2,30,1,", 9, "a day of the calendar"},
                     {"2022,1,1,1,", "22,1,1,1,", 9, "year"},
                     {"2022,1,1,2,", "2022,1,1,1,", 10, "the row may stand twice"},
                     {"2022,1,1,2,", "2022,1,1,5,", 11, "a time after that of the row before"},
                     {"2022,1,1,2,60,?,15.5,9.0,", "2022,1,1,2,60,?,15.5,", 10, "relative humidity"},
                     {"2022,1,1,2,60,?,", "2022,1,1,2,60,?,?,", 10, "dry bulb temperature"},
                     {"2022,1,1,1,60,?,15.5,9.0,65,94000,0,0,300,0,0,", "2022,1,1,1,60,?,15.5,9.0,65,", 9,
                      "35 fields"},
                 });
    // The column points at the field.
    const auto problems =
        problems_of([] { read_weather_text(replaced(epw(2022, 2), "15.5,9.0", "15.5,dry"), "w"); });
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].column == 22);
    CHECK(problems[0].context.find("^") != std::string::npos);
}

TEST_CASE("each fault of a TMY3 is told with its place and what was expected", "[bad_input][climate]") {
    check_faults(tmy3(48), {
                               {"-6.0,41.0,-90.0,200", "-6.0,41.0", 1, "elevation"},
                               {"41.0,-90.0", "141.0,-90.0", 1, "-90 to 90"},
                               {"Dry-bulb (C)", "Dry-bulb (F)", 2, "a column \"Dry-bulb (C)\""},
                               {"01/01/1986,01:00", "13/01/1986,01:00", 3, "MM/DD/YYYY"},
                               {"01/01/1986,01:00", "1986-01-01,01:00", 3, "MM/DD/YYYY"},
                               {"01/01/1986,01:00", "01/01/1986,1 am", 3, "HH:MM"},
                               {"01/01/1986,01:00", "01/01/1986,24:30", 3, "01:00 to 24:00"},
                               {"-7.8,-11.1", "-780,-11.1", 3, "-95 to 70"},
                               {",990,", ",n/a,", 3, "Pressure (mbar): expected a number"},
                               {"230,4.1,0\n", "230\n", 3, "13 fields"},
                               {"230,4.1,0\n", "230,4.1,0,5\n", 3, "13 fields"},
                               {"01/01/1986,03:00", "01/01/1986,03:20", 5, "a whole number of intervals"},
                           });
}

TEST_CASE("each fault of a table is told with its place and what to do", "[bad_input][climate]") {
    check_faults(
        own_units,
        {
            {"wind_speed_mph", "wind_sped_mph", 6, "did you mean \"wind_speed_mph\"?"},
            {"wind_speed_mph", "wind_speed", 6, "write \"wind_speed_m_s\""},
            {"wind_speed_mph", "wind_speed_furlongs", 6, "a unit: m_s"},
            {"wind_speed_mph", "ghi_w_m2", 6, "each column once"},
            {"wind_speed_mph", "time_utc", 6, "one column of times"},
            {"wind_speed_mph", "lattitude", 6, "did you mean \"latitude\"?"},
            {"time_local", "date", 6, "the name of a known column"},
            {"2024-12-31T24:00", "2024-12-32T24:00", 8, "a time such as"},
            {"2024-12-31T24:00", "31/12/2024", 8, "a time such as"},
            {"2024-12-31T24:00", "2024-12-31T24:01", 8, "a time such as"},
            {"2024-12-31T24:00", "2024-12-31T24:00+99:00", 8, "a time such as"},
            {"2024-12-31T24:00", "2024-12-31T23:00", 8, "the row may stand twice"},
            {"0,68,50,10", "0,68,50,ten", 7, "wind_speed: expected a number, got \"ten\""},
            {"0,68,50,10", "0,680,50,10", 7, "-95 to 70 c, got \"680\" (360"},
            {"0,68,50,10", "0,68,150,10", 7, "0 to 110"},
            {"0,68,50,10", "-50,68,50,10", 7, "-5 to 2000"},
            {"0,68,50,10", "0,68,50,1,0", 7, "a decimal comma"},
            {"latitude_deg: -33.9", "latitude_deg: 91", 2, "-90 to 90"},
            {"latitude_deg: -33.9", "latitud_deg: -33.9", 2, "did you mean \"latitude_deg\"?"},
            {"# latitude_deg: -33.9", "# latitude_deg", 0, "latitude: expected the place of the site"},
            {"# name: shed roof", "# colour: white", 1, "# note:"},
            {"# name: shed roof", "# typical: perhaps", 1, "\"yes\" or \"no\""},
            {"# name: shed roof", "# gap: ghi,1", 1, "first interval"},
            {"# name: shed roof", "# gap: ghi,1,5,linear", 0, "a run within the 3 intervals"},
            {"# utc_offset_h: 10", "# utc_offset_h 10", 7, "the site's offset from UTC"},
            {"1012,0\n", "1012\n", 9, "as many as headings"},
        });
    check_faults(
        "# latitude_deg: 1\n# longitude_deg: "
        "2\ntime_utc,latitude,ghi_w_m2\n2024-01-01T01:00Z,1,0\n2024-01-01T02:00Z,1,0\n",
        {{"02:00Z,1,0", "02:00Z,3,0", 5, "one file is one place"}});
}

TEST_CASE("what is no weather file says what one looks like", "[bad_input][climate]") {
    const auto words = [](const std::string& text) {
        const auto problems = problems_of([&] { read_weather_text(text, "w"); });
        return problems.empty() ? std::string() : to_text(problems.front());
    };
    CHECK(words("").find("time_utc,ghi_w_m2") != std::string::npos);
    CHECK(words("# only: remarks\n").find("expected") != std::string::npos);
    CHECK(words("hello,world\n1,2\n").find("expected the name of a known column") != std::string::npos);
    CHECK(words("time_utc;ghi_w_m2\n2024-01-01T01:00Z;1\n").find("comma-separated") != std::string::npos);
    CHECK(words(std::string(site_lines) + "time_utc,ghi_w_m2\n").find("rows of weather") !=
          std::string::npos);
    CHECK(words(std::string(site_lines) + "time_utc,ghi_w_m2\n2024-01-01T01:00Z,1\n")
              .find("at least two rows") != std::string::npos);
    CHECK(words(std::string(site_lines) + "time_utc,ghi_w_m2\n2024-01-01T01:00Z,1\n2024-01-01T02:00Z,1\n2024-"
                                          "01-01T02:20Z,1\n2024-01-01T03:20Z,1\n")
              .find("a whole number of intervals of 3600 s") != std::string::npos);
    CHECK(words(std::string(site_lines) +
                "time_utc,ghi_w_m2\n2024-01-01T00:01Z,1\n2024-01-01T00:02Z,1\n2024-12-01T00:00Z,1\n")
              .find("check the years") != std::string::npos);
    CHECK_THROWS_AS(read_weather("/no/such/file.epw"), FileError);
    CHECK_THROWS_AS(read_weather("/"), FileError);
    for (const char* field : {"gaps", "hours"}) {
        ReadWeatherOptions wrong;
        (std::string(field) == "gaps" ? wrong.gaps : wrong.hours) = "guess";
        const auto problems = problems_of([&] { read_weather_text(own_units, "t", wrong); });
        REQUIRE(problems.size() == 1);
        CHECK(problems[0].field == field);
    }
    ReadWeatherOptions negative;
    negative.longest_fill = -1;
    CHECK_THROWS_AS(read_weather_text(own_units, "t", negative), ValueError);
}

TEST_CASE("all problems up to fifty are told at once", "[bad_input][climate]") {
    std::string text = epw(2022, 30);
    int wrong = 0;
    for (std::size_t at = 0; (at = text.find("15.5,9.0", at)) != std::string::npos && wrong < 7;
         at += 4, ++wrong)
        text.replace(at, 4, "warm");
    CHECK(problems_of([&] { read_weather_text(text, "w"); }).size() == 7);
    for (std::size_t at = 0; (at = text.find("15.5,9.0", at)) != std::string::npos; at += 4)
        text.replace(at, 4, "warm");
    CHECK(problems_of([&] { read_weather_text(text, "w"); }).size() == 50);
}

TEST_CASE("damaged files give a sound series or an error of the library, nothing else",
          "[bad_input][climate]") {
    const std::string table = weather_csv(read_weather_text(own_units, "own.csv"));
    const std::string sound[] = {epw(2022, 2), tmy3(48), own_units, table};
    RandomStream random(5);
    int read = 0, refused = 0;
    for (std::size_t i = 0; i < 4000; ++i) {
        std::string text = sound[i % 4];
        for (std::size_t k = 0; k < 1 + i / 4 % 4 && !text.empty(); ++k) {
            const std::size_t at = random.below(text.size());
            const std::size_t line = text.rfind('\n', at) + 1;
            switch (random.below(5)) {
                case 0:
                    text[at] = static_cast<char>(random.below(256));
                    break;
                case 1:
                    text[at] = "0123456789,.-\n\"#:"[random.below(17)];
                    break;
                case 2:
                    text.resize(at + 1);
                    break;
                case 3:
                    text.erase(at, random.below(40));
                    break;
                default:
                    text.insert(line, text.substr(line, text.find('\n', at) - line + 1));  // a line twice
            }
        }
        ReadWeatherOptions options;
        options.gaps = i % 3 == 0 ? "interpolate" : "report";
        try {
            const Weather w = read_weather_text(text, "damaged", options);
            REQUIRE(w.size() > 0);
            REQUIRE(w.size() < 20000);
            REQUIRE_NOTHROW(check_weather(w));
            ++read;
        } catch (const Error& error) {
            REQUIRE_FALSE(error.problems().empty());
            REQUIRE(error.problems().size() <= 50);
            ++refused;
        }
    }
    CHECK(read > 200);
    CHECK(refused > 1000);
}
