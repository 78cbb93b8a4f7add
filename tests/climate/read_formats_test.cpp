#include "support/catch.hpp"

#include <chrono>
#include <string>

#include "libseal/climate/read.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"

using namespace libseal;

namespace {

/// Synthetic EPW: `days` days from 1 January of a year, `records` an hour.
std::string epw(int year, int days, int records = 1, int second_month_year = 0) {
    std::string text =
        "LOCATION,Nowhere,-,XX,made up,000000,-35.5,149.0,10.0,600.0\nDESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\n"
        "GROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVING,No,0,0,0\nCOMMENTS 1,synthetic\nCOMMENTS 2,\nDATA PERIODS,1," +
        std::to_string(records) + ",Data,Monday,1/1,12/31\n";
    const Date start = make_date(year, 1, 1);
    for (int d = 0; d < days; ++d) {
        const YearMonthDay day = year_month_day(start + d);
        const int written = second_month_year && day.month == 2 ? second_month_year : day.year;
        for (int r = 0; r < 24 * records; ++r) {
            const int hour = r / records + 1, minute = records == 1 ? 60 : (r % records + 1) * 60 / records;
            text += std::to_string(written) + "," + std::to_string(day.month) + "," + std::to_string(day.day) + "," +
                    std::to_string(hour) + "," + std::to_string(minute) + ",?,";
            text += "15.5,9.0,65,94000,0,0,300," + std::to_string(hour > 7 && hour < 18 ? 400 : 0) +
                    ",300,150,0,0,0,0,180,3.2,5,4,10,77777,9,999999999,0,0.1,0,88,0.2,0.4,1.0\n";
        }
    }
    return text;
}

std::string tmy3(int rows) {
    std::string text = "000000,\"NOWHERE\",XX,-6.0,41.0,-90.0,200\nDate (MM/DD/YYYY),Time (HH:MM)";
    for (int i = 2; i < 68; ++i) text += ",c" + std::to_string(i);
    text += '\n';
    for (int r = 0; r < rows; ++r) {
        char stamp[32];
        std::snprintf(stamp, sizeof stamp, "01/%02d/1986,%02d:00", r / 24 + 1, r % 24 + 1);
        text += std::string(stamp) + ",0,0,100,1,0,0,1,0,100,1,0,0,1,0,0,1,0,0,1,0,0,1,0,10,A,7,10,A,7,-7.8,A,7,-11.1,A,7,77,A,7,990,A,7,"
                "230,A,7,4.1,A,7,11300,B,7,700,A,7,0.6,E,8,0.0,?,0,0.0,?,0,0,1,D,9,85,C,8\n";
    }
    return text;
}

}  // namespace

TEST_CASE("a real leap year keeps its 29 February and its year", "[climate]") {
    const Weather w = read_weather_text(epw(2024, 366), "leap.epw");
    CHECK(w.size() == 8784);
    CHECK_FALSE(w.typical);
    CHECK(w.time_utc[0] == make_instant(2023, 12, 31, 15));  // 01:00 at UTC+10
    CHECK(w.time_utc[8783] == make_instant(2024, 12, 31, 14));
    CHECK(w.site.latitude == -35.5);
    CHECK(w.gaps.empty());
}

TEST_CASE("a year composed of several is set on 2001 and loses its 29 February", "[climate]") {
    const Weather w = read_weather_text(epw(2023, 365, 1, 1996), "composed.epw");
    CHECK(w.typical);
    CHECK(w.size() == 8760);
    CHECK(w.time_utc[8759] == make_instant(2001, 12, 31, 14));
}

TEST_CASE("several records an hour and a part of a year are read as they are", "[climate]") {
    const Weather w = read_weather_text(epw(2022, 40, 2), "half.epw");
    CHECK(w.step == 1800);
    CHECK(w.size() == 40 * 48);
    CHECK(w.sun_offset == -900);
    CHECK(w.time_utc[0] == make_instant(2021, 12, 31, 14, 30));
}

TEST_CASE("codes for missing values become gaps, not numbers", "[climate]") {
    std::string text = epw(2022, 2);
    const std::string good = "15.5,9.0,65,94000,0,0,300,0,", bad = "99.9,99.9,999,999999,0,0,300,9999,";
    text.replace(text.find(good), good.size(), bad);
    const Weather w = read_weather_text(text, "codes.epw");
    CHECK(std::isnan(w.air_temperature[0]));
    CHECK(std::isnan(w.pressure[0]));
    CHECK(std::isnan(w.ghi[0]));
    CHECK(w.air_temperature[1] == 15.5);
    CHECK(w.gaps.size() >= 4);
}

TEST_CASE("faults of EPW and TMY3 files are told with their place", "[bad_input][climate]") {
    struct Fault {
        bool is_epw;
        const char* from;
        const char* to;
        int line;
    };
    const Fault faults[] = {{true, "15.5,9.0", "warm,9.0", 9},      {true, "15.5,9.0", "200,9.0", 9},
                            {true, "2022,1,1,1,", "2022,13,1,1,", 9}, {true, "2022,1,1,1,", "2022,1,1,25,", 9},
                            {true, "DATA PERIODS,1,1", "DATA PERIODS,1,7", 8}, {true, "149.0,10.0", "949.0,10.0", 1},
                            {false, "01/01/1986,01:00", "13/01/1986,01:00", 3}, {false, "01/01/1986,01:00", "01/01/1986,1 am", 3},
                            {false, "-7.8,A", "-780,A", 3},           {false, "41.0,-90.0", "141.0,-90.0", 1}};
    for (const Fault& fault : faults) {
        INFO(fault.from << " -> " << fault.to);
        std::string text = fault.is_epw ? epw(2022, 2) : tmy3(48);
        text.replace(text.find(fault.from), std::string(fault.from).size(), fault.to);
        try {
            read_weather_text(text, "w");
            FAIL("accepted");
        } catch (const ValueError& error) {
            CHECK(error.problems().front().line == fault.line);
            CHECK_FALSE(error.problems().front().expected.empty());
        }
    }
    // A cut last row.
    std::string cut = epw(2022, 2);
    cut.resize(cut.size() - 120);
    CHECK_THROWS_AS(read_weather_text(cut, "w"), ValueError);
}

TEST_CASE("no more than fifty problems are told", "[bad_input][climate]") {
    std::string text = epw(2022, 30);
    for (std::size_t at = 0; (at = text.find("15.5,9.0", at)) != std::string::npos; at += 4) text.replace(at, 4, "warm");
    try {
        read_weather_text(text, "w");
        FAIL("accepted");
    } catch (const ValueError& error) {
        CHECK(error.problems().size() == 50);
    }
}

TEST_CASE("damaged files give a series or an error of the library, nothing else", "[bad_input][climate]") {
    const std::string sound[] = {epw(2022, 3), tmy3(72),
                                 "# latitude_deg: 1\n# longitude_deg: 2\n# utc_offset_h: 0\ntime_utc,ghi_w_m2,air_temperature_c\n"
                                 "2024-01-01T01:00Z,1,2\n2024-01-01T02:00Z,1,2\n2024-01-01T03:00Z,1,2\n"};
    RandomStream random(5);
    int read = 0, refused = 0;
    for (int i = 0; i < 3000; ++i) {
        std::string text = sound[i % 3];
        for (int k = 0; k < 1 + i % 4; ++k) {
            const std::size_t at = random.below(text.size());
            switch (random.below(4)) {
                case 0: text[at] = static_cast<char>(random.below(256)); break;
                case 1: text.resize(at + 1); break;
                case 2: text.erase(at, random.below(40)); break;
                default: text.insert(at, text.substr(random.below(text.size()), 30));
            }
        }
        try {
            const Weather w = read_weather_text(text, "damaged");
            CHECK(w.ghi.size() == w.size());
            CHECK(w.size() < 100000);
            ++read;
        } catch (const Error&) {
            ++refused;
        }
    }
    CHECK(read > 100);
    CHECK(refused > 100);
}
