#include "support/catch.hpp"

#include <cmath>
#include <string>

#include "climate/read_samples.hpp"
#include "libseal/climate/moisture.hpp"
#include "libseal/climate/read.hpp"
#include "libseal/climate/sun.hpp"
#include "libseal/climate/typical_year.hpp"
#include "libseal/core/error.hpp"
#include "support/published.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

bool same(double a, double b) { return a == b || (std::isnan(a) && std::isnan(b)); }

/// Everything that a Weather holds is equal.
void check_equal(const Weather& a, const Weather& b) {
    REQUIRE(a.size() == b.size());
    CHECK((a.time_utc == b.time_utc).all());
    CHECK(a.step == b.step);
    CHECK(a.sun_offset == b.sun_offset);
    CHECK(a.typical == b.typical);
    CHECK(a.site.name == b.site.name);
    CHECK(a.site.latitude == b.site.latitude);
    CHECK(a.site.longitude == b.site.longitude);
    CHECK(a.site.elevation == b.site.elevation);
    CHECK(a.site.utc_offset == b.site.utc_offset);
    CHECK(a.notes == b.notes);
    for (const auto& name : weather_column_names()) {
        Eigen::Index different = 0;
        for (Eigen::Index i = 0; i < a.size(); ++i)
            different += !same(weather_column(a, name)[i], weather_column(b, name)[i]);
        INFO(name);
        CHECK(different == 0);
    }
    REQUIRE(a.gaps.size() == b.gaps.size());
    for (std::size_t i = 0; i < a.gaps.size(); ++i) {
        CHECK(a.gaps[i].column == b.gaps[i].column);
        CHECK(a.gaps[i].first == b.gaps[i].first);
        CHECK(a.gaps[i].count == b.gaps[i].count);
        CHECK(a.gaps[i].filled == b.gaps[i].filled);
    }
}

Weather one_value(const std::string& heading, const std::string& value) {
    return read_weather_text(std::string(site_lines) + "time_utc," + heading + "\n2024-06-01T01:00Z," +
                                 value + "\n2024-06-01T02:00Z," + value + "\n",
                             "unit.csv");
}

const Gap* gap_of(const Weather& weather, const std::string& column, Eigen::Index first) {
    for (const Gap& gap : weather.gaps)
        if (gap.column == column && gap.first == first) return &gap;
    return nullptr;
}

}  // namespace

TEST_CASE("a plain table is read in the units of its headings", "[climate]") {
    const Weather w = read_weather_text(own_units, "own.csv");
    REQUIRE(w.size() == 3);
    CHECK_FALSE(w.typical);
    CHECK(w.site.name == "shed roof");
    CHECK(w.site.latitude == -33.9);
    CHECK(w.site.elevation == 40);
    CHECK(w.time_utc[0] == make_instant(2024, 12, 31, 13));
    CHECK(w.time_utc[1] == make_instant(2024, 12, 31, 14));
    CHECK(w.air_temperature[0] == Approx(20));
    CHECK(w.air_temperature[2] == Approx(0).margin(1e-12));
    CHECK(w.wind_speed[0] == Approx(4.4704));
    CHECK(w.pressure[0] == Approx(101000));
    CHECK(w.precipitation[1] == Approx(2.54));
    CHECK(w.dew_point[0] == dew_point_from_humidity(w.air_temperature[0], 50));
    REQUIRE(gap_of(w, "dew_point", 0));
    CHECK(gap_of(w, "dew_point", 0)->filled.find("relative humidity") != std::string::npos);
    CHECK(std::isnan(w.dew_point[1]));
    CHECK(std::isnan(w.relative_humidity[1]));
    REQUIRE(gap_of(w, "relative_humidity", 1));
    CHECK(gap_of(w, "relative_humidity", 1)->filled == "no");
    CHECK(std::isnan(w.dni[0]));
}

TEST_CASE("every unit means what the standard says", "[published][climate]") {
    // NIST Special Publication 811 (2008), appendix B.8; okta: WMO-No. 8.
    struct Unit {
        const char* heading;
        const char* value;
        const char* column;
        double ours;
    };
    const Unit units[] = {
        {"air_temperature_f", "-40", "air_temperature", -40},
        {"air_temperature [K]", "293.15", "air_temperature", 20},
        {"dew_point [°F]", "50", "dew_point", 10},
        {"wind_speed_mph", "10", "wind_speed", 4.4704},
        {"wind_speed [km/h]", "36", "wind_speed", 10},
        {"wind_speed_kn", "10", "wind_speed", 5.144444},
        {"pressure_inhg", "30", "pressure", 101591.67},
        {"pressure [hPa]", "1013.25", "pressure", 101325},
        {"pressure_mmhg", "760", "pressure", 101325},
        {"pressure_psi", "14.69595", "pressure", 101325},
        {"precipitation_in", "1", "precipitation", 25.4},
        {"precipitation [mm/h]", "3", "precipitation", 3},
        {"opaque_sky_cover_oktas", "8", "opaque_sky_cover", 10},
        {"Opaque Sky Cover [%]", "45", "opaque_sky_cover", 4.5},
        {"relative_humidity [fraction]", "0.5", "relative_humidity", 50},
        {"ghi_kw_m2", "0.8", "ghi", 800},
        {"ghi [Wh/m²]", "500", "ghi", 500},
        {"dhi_mj_m2", "1.8", "dhi", 500},
    };
    for (const Unit& unit : units) {
        INFO(unit.heading);
        const Weather w = one_value(unit.heading, unit.value);
        CHECK(weather_column(w, unit.column)[1] == Approx(unit.ours).epsilon(1e-6));
    }
    count_published("NIST SP 811 (2008)", static_cast<int>(std::size(units)));
}

TEST_CASE("amounts of half an hour become mean irradiance, rates become depths", "[climate]") {
    const std::string text = std::string(site_lines) +
                             "time_utc,ghi_wh_m2,precipitation_mm_h\n2024-06-01T18:00Z,300,4\n"
                             "2024-06-01T18:30Z,400,2\n2024-06-01T19:00Z,350,0\n";
    const Weather w = read_weather_text(text, "half.csv");
    CHECK(w.ghi[0] == Approx(600));
    CHECK(w.precipitation[0] == Approx(2));
}

TEST_CASE("what is written reads back equal", "[law][climate]") {
    SECTION("a typical year with a hole") {
        Weather made = typical_year(find_station("725350"), 3);
        made.wind_speed[17] = std::nan("");
        const Weather w = read_weather_text(weather_csv(made), "once.csv");
        CHECK(std::isnan(w.wind_speed[17]));
        check_equal(w, read_weather_text(weather_csv(w), "twice.csv"));
    }
    SECTION("a half-hourly EPW of the south") {
        const Weather w = read_weather_text(epw(2024, 3, 2), "half.epw");
        check_equal(w, read_weather_text(weather_csv(w), "again.csv"));
    }
    SECTION("a composed year, a clock in UTC, an instant of the sun") {
        const Weather w = read_weather_text(
            epw_head(1, "Irradiance Time Offset (h):-0.8239") + epw_day(1996, 2, 28) + epw_day(2003, 3, 1),
            "typical.epw");
        check_equal(w, read_weather_text(weather_csv(w), "again.csv"));
    }
    SECTION("own units, humidity made from the dew point, and gaps filled") {
        ReadWeatherOptions fill;
        fill.gaps = "interpolate";
        const Weather w = read_weather_text(own_units, "own.csv", fill);
        REQUIRE(gap_of(w, "relative_humidity", 1));
        CHECK(gap_of(w, "relative_humidity", 1)->filled == "linear");
        check_equal(w, read_weather_text(weather_csv(w), "again.csv"));
    }
    SECTION("one interval") {
        const Weather w = read_weather_text(epw_head() + "2022,7,1,12,60" + epw_values, "one.epw");
        REQUIRE(w.size() == 1);
        check_equal(w, read_weather_text(weather_csv(w), "again.csv"));
    }
}

TEST_CASE("stamps with a zone, half hours and missing rows find their place", "[climate]") {
    const std::string text =
        std::string(site_lines) +
        "time_utc,ghi_w_m2\n2024-02-28T16:30:00-07:00,100\n2024-02-29T00:00:00.000Z,110\n"
        "2024-02-29T00:30Z,120\n2024-02-29 01:30,130\n";
    const Weather w = read_weather_text(text, "t.csv");
    REQUIRE(w.size() == 5);
    CHECK(w.step == 1800);
    CHECK(w.sun_offset == -900);
    CHECK(w.time_utc[0] == make_instant(2024, 2, 28, 23, 30));
    CHECK(w.time_utc[4] == make_instant(2024, 2, 29, 1, 30));
    CHECK(w.ghi[2] == 120);
    CHECK(std::isnan(w.ghi[3]));
    CHECK(w.ghi[4] == 130);
    REQUIRE(gap_of(w, "ghi", 3));
}

TEST_CASE("local times may carry their offset, also daylight time", "[climate]") {
    const std::string text =
        "# latitude: 52\n# longitude: 13\n# elevation: 35\ntime_local,air_temperature_c\n"
        "2024-03-31T01:00+01:00,1\n2024-03-31T03:00+02:00,2\n2024-03-31T04:00+0200,3\n2024-03-31T04:00+01,"
        "4\n";
    const Weather w = read_weather_text(text, "summer.csv");
    REQUIRE(w.size() == 4);
    CHECK(w.site.utc_offset == 1);
    CHECK(w.time_utc[0] == make_instant(2024, 3, 31, 0));
    CHECK(w.time_utc[3] == make_instant(2024, 3, 31, 3));
    CHECK(w.gaps.size() == 10);  // all but the temperature
}

TEST_CASE("the site may stand in columns, and what is not said of it is told", "[climate]") {
    const Weather w = read_weather_text(
        "time_utc,latitude,longitude,elevation_ft,ghi_w_m2\n"
        "2024-06-01T01:00Z,-17.5,178,1000,0\n2024-06-01T02:00Z,-17.5,178,1000,5\n",
        "columns.csv");
    CHECK(w.site.latitude == -17.5);
    CHECK(w.site.longitude == 178);
    CHECK(w.site.elevation == Approx(304.8));
    CHECK(w.site.utc_offset == 12);
    REQUIRE(w.notes.size() == 1);
    CHECK(w.notes[0].find("utc_offset") != std::string::npos);
}

TEST_CASE("a composed year in a table is typical, in local time and in UTC", "[climate]") {
    const std::string head =
        "# latitude_deg: 40\n# longitude_deg: -105\n# elevation_m: 1600\n# utc_offset_h: -7\n";
    const Weather local = read_weather_text(
        head + "time_local,ghi_w_m2\n2003-01-31T23:00,1\n2003-01-31T24:00,2\n2010-02-01T01:00,3\n", "l.csv");
    CHECK(local.typical);
    CHECK(local.size() == 3);
    CHECK(local.time_utc[2] == make_instant(2001, 2, 1, 8));
    // In UTC the last hours of the local year belong to the next: they follow, they do not jump to the front.
    std::string text = head + "time_utc,ghi_w_m2\n2003-11-30T23:00Z,1\n2003-12-01T00:00Z,1\n";
    for (int day = 1; day <= 31; ++day)
        for (int hour = 1; hour <= 24; ++hour)
            text += "1998-12-" + std::to_string(day / 10) + std::to_string(day % 10) + "T" +
                    std::to_string(hour / 10) + std::to_string(hour % 10) + ":00Z,0\n";
    text += "1999-01-01T01:00Z,7\n";
    const Weather utc = read_weather_text(text, "u.csv");
    CHECK(utc.typical);
    CHECK(utc.size() == 2 + 31 * 24 + 1);
    CHECK(utc.time_utc[0] == make_instant(2001, 11, 30, 23));
    CHECK(utc.time_utc[utc.size() - 1] == make_instant(2002, 1, 1, 1));
    CHECK(utc.ghi[utc.size() - 1] == 7);
}

TEST_CASE("gaps are reported, filled or refused as asked", "[climate]") {
    std::string text =
        std::string(site_lines) + "time_utc,air_temperature_c,wind_direction_deg,precipitation_mm\n";
    const char* values[] = {"10,350,1", ",,", "14,20,1", ",0,0", ",0,0", ",0,0", "20,0,0"};
    for (int i = 0; i < 7; ++i) text += "2024-06-01T0" + std::to_string(i + 1) + ":00Z," + values[i] + "\n";
    const Weather open = read_weather_text(text, "t.csv");
    CHECK(std::isnan(open.air_temperature[1]));
    REQUIRE(gap_of(open, "air_temperature", 3));
    CHECK(gap_of(open, "air_temperature", 3)->count == 3);
    ReadWeatherOptions fill;
    fill.gaps = "interpolate";
    fill.longest_fill = 2;
    const Weather filled = read_weather_text(text, "t.csv", fill);
    CHECK(filled.air_temperature[1] == Approx(12));
    CHECK(filled.wind_direction[1] == Approx(5));  // the short way through north
    CHECK(std::isnan(filled.precipitation[1]));    // rain is not made up
    CHECK(std::isnan(filled.air_temperature[4]));  // too long a run
    REQUIRE(gap_of(filled, "air_temperature", 1));
    CHECK(gap_of(filled, "air_temperature", 1)->filled == "linear");
    CHECK(gap_of(filled, "air_temperature", 3)->filled == "no");
    ReadWeatherOptions refuse;
    refuse.gaps = "refuse";
    try {
        read_weather_text(text, "t.csv", refuse);
        FAIL("accepted");
    } catch (const ValueError& error) {
        CHECK(error.problems().size() == 4);  // two runs of temperature, one of direction, one of rain
        CHECK(error.problems().front().field == "air_temperature");
        CHECK(std::string(error.what()).find("2024-06-01T02:00:00Z") != std::string::npos);
    }
}

TEST_CASE("irradiance is filled through the clearness of the sky around it", "[law][climate]") {
    // Synthetic: a day of constant clearness. A hole in it is filled with what was taken out; night is filled
    // with 0.
    Weather day = read_weather_text(epw_head() + epw_day(2022, 1, 1), "day.epw");
    const SunHours sun = sun_hours(day);
    for (Eigen::Index i = 0; i < day.size(); ++i) {
        const double outside = std::max(0.0, sun.cos_zenith[i]) * sun.extraterrestrial[i];
        day.ghi[i] = 0.6 * outside;
        day.dni[i] = outside > 0 ? 0.5 * sun.extraterrestrial[i] : 0;
    }
    Weather holed = day;
    Eigen::Index noon = 0, midnight = 0;
    sun.cos_zenith.segment(2, 20).maxCoeff(&noon);
    sun.cos_zenith.segment(2, 20).minCoeff(&midnight);
    for (const Eigen::Index i : {noon + 2, noon + 3, midnight + 2}) {
        holed.ghi[i] = std::nan("");
        holed.dni[i] = std::nan("");
    }
    ReadWeatherOptions fill;
    fill.gaps = "interpolate";
    const Weather filled = read_weather_text(weather_csv(holed), "holed.csv", fill);
    for (Eigen::Index i = 0; i < day.size(); ++i) {
        INFO(i);
        CHECK(filled.ghi[i] == Approx(day.ghi[i]).margin(1e-9));
        CHECK(filled.dni[i] == Approx(day.dni[i]).margin(1e-9));
    }
    CHECK(day.ghi[noon + 2] > 500);
    REQUIRE(gap_of(filled, "ghi", noon + 2));
    CHECK(gap_of(filled, "ghi", noon + 2)->filled == "clearness");
}
