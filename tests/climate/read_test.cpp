#include <algorithm>
#include <cmath>

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

TEST_CASE("amounts of an interval become rates and rates amounts, when the interval is known", "[climate]") {
    // Half hours: 450 Wh/m2 or 1.62 MJ/m2 in one are 900 W/m2; 3 mm/h through one are 1.5 mm.
    for (const std::string heading : {"ghi_wh_m2", "ghi_j_m2"}) {
        INFO(heading);
        const std::string scale = heading == "ghi_j_m2" ? "1620000" : "450", twice = heading == "ghi_j_m2" ? "3240000" : "900";
        const Weather weather = read_weather_text("time_utc," + heading + ",precipitation_mm_h\n2024-07-01T12:00Z," + scale + ",3\n2024-07-01T12:30Z,,0\n2024-07-01T13:00Z," +
                                                      twice + ",\n", "a.csv");
        CHECK(weather.step == 1800);
        CHECK(weather.ghi[0] == Approx(900));
        CHECK(std::isnan(weather.ghi[1]));
        CHECK(weather.ghi[2] == Approx(1800));
        CHECK(weather.precipitation[0] == Approx(1.5));
        CHECK(weather.precipitation[1] == 0);
        CHECK(std::isnan(weather.precipitation[2]));
    }
    // 1100 Wh/m2 fit an hour, not a half.
    const auto faults = libseal_test::problems_of([] { read_weather_text("time_utc,ghi_wh_m2\n2024-07-01T12:00Z,1\n2024-07-01T12:30Z,1100\n", "a.csv"); });
    REQUIRE(faults.size() == 1);
    CHECK(faults[0].line == 3);
    CHECK(faults[0].field == "ghi");
    CHECK(faults[0].expected == "a value from -5 to 2000 w_m2");
    CHECK(faults[0].got.find("2200") != std::string::npos);
    CHECK(read_weather_text("time_utc,ghi_wh_m2\n2024-07-01T12:00Z,1\n2024-07-01T13:00Z,1100\n", "a.csv").ghi[1] == Approx(1100));
}

TEST_CASE("a stamp may lie in another day of universal time", "[climate]") {
    const Weather west = read_weather_text("time_utc,ghi_w_m2\n2024-06-30T23:00-05:00,1\n2024-07-01T00:00-05:00,2\n", "a.csv");
    CHECK(west.time_utc[0] == make_instant(2024, 7, 1, 4));
    CHECK(west.time_utc[1] == make_instant(2024, 7, 1, 5));
    const Weather east = read_weather_text("time_utc,ghi_w_m2\n2024-07-01T01:00+05:30,1\n2024-07-01T02:00+05:30,2\n", "a.csv");
    CHECK(east.time_utc[0] == make_instant(2024, 6, 30, 19) + 1800);
}

TEST_CASE("local time needs the site's offset, and stamps that agree with it", "[climate][bad_input]") {
    const std::string rows = "time_local,ghi_w_m2\n2024-07-01T12:00-06:00,1\n2024-07-01T13:00,2\n";
    const Weather weather = read_weather_text("# utc_offset_h: -6\n" + rows, "a.csv");
    CHECK(weather.time_utc[0] == make_instant(2024, 7, 1, 18));
    CHECK(weather.time_utc[1] == make_instant(2024, 7, 1, 19));
    const auto unknown = libseal_test::problems_of([&] { read_weather_text("time_local,ghi_w_m2\n2024-07-01T12:00,1\n2024-07-01T13:00,2\n", "a.csv"); });
    REQUIRE(unknown.size() == 1);
    CHECK(unknown[0].field == "time_local");
    CHECK(unknown[0].line == 1);
    CHECK(unknown[0].hint == "write \"# utc_offset_h: -6\"");
    const auto other = libseal_test::problems_of([&] { read_weather_text("# utc_offset_h: -5\n" + rows, "a.csv"); });
    REQUIRE(other.size() == 1);
    CHECK(other[0].line == 3);
    CHECK(other[0].column == 1);
    CHECK(other[0].got == "\"2024-07-01T12:00-06:00\"");
    CHECK(other[0].hint.find("time_utc") != std::string::npos);
    // A row that ends before its time.
    const auto shorter = libseal_test::problems_of([] { read_weather_text("ghi_w_m2,time_utc\n1,2024-07-01T12:00Z\n2\n3,2024-07-01T13:00Z\n", "a.csv"); });
    REQUIRE(shorter.size() == 1);
    CHECK(shorter[0].line == 3);
    CHECK(shorter[0].expected == "at least 2 fields");
}

TEST_CASE("rows years apart are a wrong year, not millions of empty hours", "[climate][bad_input]") {
    // 9000 intervals and four a row may be empty: 9011 hours lie between the second and the last of these rows, then 9012.
    const auto file = [](int hours) {
        const Instant last = make_instant(2024, 7, 1, 13) + 3600 * hours;
        const Date day{static_cast<std::int32_t>(last / 86400)};
        const std::string hour = std::to_string(last % 86400 / 3600);
        return "time_utc,ghi_w_m2\n2024-07-01T12:00Z,1\n2024-07-01T13:00Z,2\n" + to_text(day) + "T" + (hour.size() < 2 ? "0" : "") + hour + ":00Z,3\n";
    };
    const Weather weather = read_weather_text(file(9010), "a.csv");
    CHECK(weather.size() == 9012);
    CHECK(weather.ghi[9011] == 3);
    CHECK(std::isnan(weather.ghi[9010]));
    const auto faults = libseal_test::problems_of([&] { read_weather_text(file(9011), "a.csv"); });
    REQUIRE(faults.size() == 1);
    CHECK(faults[0].line == 4);
    CHECK(faults[0].got == "3 rows over 9013 intervals");
}

TEST_CASE("values a little outside what can be are set to the limit, with a note", "[climate]") {
    const Weather weather = read_weather_text("time_utc,ghi_w_m2,relative_humidity_percent\n2024-07-01T01:00Z,-4,104\n2024-07-01T02:00Z,-0.5,99\n2024-07-01T03:00Z,0,100\n", "a.csv");
    CHECK((weather.ghi == 0).all());
    CHECK(weather.relative_humidity[0] == 100);
    CHECK(weather.relative_humidity[1] == 99);
    CHECK(std::count(weather.notes.begin(), weather.notes.end(), "ghi: 2 values just outside 0 to 2000 were set to the limit") == 1);
    CHECK(std::count(weather.notes.begin(), weather.notes.end(), "relative_humidity: 1 values just outside 0 to 100 were set to the limit") == 1);
}

TEST_CASE("options that there are not are refused by name before anything is read", "[climate][bad_input]") {
    const auto field_of = [](const ReadWeatherOptions& options) {
        const auto problems = libseal_test::problems_of([&] { read_weather_text("", "a.csv", options); });
        return problems.size() == 1 ? problems[0].field : "";
    };
    ReadWeatherOptions options;
    options.gaps = "repot";
    CHECK(field_of(options) == "gaps");
    options = {};
    options.hours = "winter";
    CHECK(field_of(options) == "hours");
    options = {};
    options.longest_fill = -1;
    CHECK(field_of(options) == "longest_fill");
    CHECK_THROWS_AS(read_weather("/no/such/file.csv", options), ValueError);  // before the file is missed
}

TEST_CASE("a weather that does not fit itself is refused with its place", "[climate][bad_input]") {
    const Weather good = read_weather_text("time_utc,ghi_w_m2,pressure_pa\n2024-07-01T12:00Z,1,100000\n2024-07-01T13:00Z,2,100000\n2024-07-01T14:00Z,2,100000\n", "a.csv");
    CHECK_NOTHROW(check_weather(good));
    const auto problem_of = [&](auto spoil) {
        Weather weather = good;
        spoil(weather);
        const auto problems = libseal_test::problems_of([&] { check_weather(weather); });
        REQUIRE(problems.size() == 1);
        return problems[0];
    };
    const Problem jump = problem_of([](Weather& w) { w.time_utc[2] += 1; });
    CHECK(jump.field == "time_utc[2]");
    CHECK(jump.expected == "a time 3600 s after the one before");
    CHECK(jump.got == "3601 s after it");
    const Problem fewer = problem_of([](Weather& w) { w.wind_speed.conservativeResize(2); });
    CHECK(fewer.field == "wind_speed");
    CHECK(fewer.expected == "3 values, as many as times");
    CHECK(fewer.got == "2");
    const Problem kpa = problem_of([](Weather& w) { w.pressure[1] = 101.3; });
    CHECK(kpa.field == "pressure[1]");
    CHECK(kpa.hint == "this looks like kPa: multiply by 1000");
    CHECK(problem_of([](Weather& w) { w.pressure[1] = 1013; }).hint == "this looks like hPa: multiply by 100");
    const auto unknown = libseal_test::problems_of([&] { weather_column(good, "wind_sped"); });
    REQUIRE(unknown.size() == 1);
    CHECK(unknown[0].hint == "did you mean \"wind_speed\"?");
    CHECK(libseal_test::problems_of([&] { weather_column(good, "xyzzy"); }).at(0).hint.empty());
}
