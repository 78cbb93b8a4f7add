#include "libseal/climate/moisture.hpp"

#include <cmath>
#include <filesystem>
#include <limits>

#include "climate/record.hpp"
#include "climate/reference_table.hpp"
#include "libseal/climate/read.hpp"
#include "libseal/core/error.hpp"
#include "libseal/exposure/surface_temperature.hpp"
#include "support/catch.hpp"
#include "support/data.hpp"
#include "support/published.hpp"

using namespace libseal;
using libseal_test::check_and_record;
using libseal_test::check_worst_and_record;
using libseal_test::count_published;
using libseal_test::number;
using libseal_test::outside_file;

namespace {

constexpr double any = std::numeric_limits<double>::quiet_NaN();

Weather synthetic_hours(Eigen::Index n) {
    Weather w;
    w.time_utc.resize(n);
    for (Eigen::Index i = 0; i < n; ++i) w.time_utc[i] = make_instant(2001, 1, 1) + (i + 1) * 3600;
    w.air_temperature = w.dew_point = w.relative_humidity = w.wind_speed = w.wind_direction = w.precipitation = Column::Zero(n);
    return w;
}

}  // namespace

TEST_CASE("humidity and dew point belong together as in the reference library", "[published][climate]") {
    // Alduchov & Eskridge 1996 by way of pvlib's tests. A whole unit of the last digit: some figures there are cut off,
    // not rounded (74.628205 is printed as 74.62820).
    const double t[] = {20, 25, 30, 15, 10}, td[] = {15, 20, 25, 12, 8};
    const double rh[] = {72.93877, 73.80251, 74.62820, 82.26135, 87.38324};
    for (int i = 0; i < 5; ++i) {
        check_and_record("humidity [%] at " + number_text(t[i]) + ", dew point " + number_text(td[i]), rh[i],
                         humidity_from_dew_point(t[i], td[i]), 1e-5, 5);
        CHECK(dew_point_from_humidity(t[i], rh[i]) == Approx(td[i]).margin(1e-5));
    }
    CHECK(saturation_pressure(0) == Approx(6.1094).margin(5e-5));
    CHECK(100 * saturation_pressure(15) / saturation_pressure(20) == Approx(rh[0]).margin(1e-5));
    count_published("Alduchov & Eskridge 1996", 5);
}

TEST_CASE("Chicago's time of wetness is the same in two file formats", "[reference][climate]") {
    // Two independent conversions of the same year: 2844 hours above 80 %, of them 2294 above freezing.
    const std::string name = GENERATE("weather/725300_IL_Chicago_OHare_TMY3.csv",
                                      "weather/USA_IL_Chicago-OHare.Intl.AP.725300_TMY3.epw");
    const auto file = outside_file(name);
    if (!file) return;
    const Weather w = read_weather(file->string());
    CHECK((w.relative_humidity > 80).count() == 2844);
    check_and_record("Chicago time of wetness [h], " + file->extension().string(), 2294, time_of_wetness(w), 0, 0);
    CHECK(wetness_class(time_of_wetness(w)) == 3);
    CHECK(w.ghi.sum() / 1000 == Approx(1407).margin(0.5));
    CHECK(w.air_temperature.mean() == Approx(9.99).margin(0.005));
    count_published("Time of wetness, NREL TMY3 Chicago", 4);
}

TEST_CASE("wetness classes change at the limits of the standard", "[published][climate]") {
    // ISO 9223:2012; limits of classes 4 and 5 from memory.
    CHECK(wetness_class(10) == 1);
    CHECK(wetness_class(10.5) == 2);
    CHECK(wetness_class(250) == 2);
    CHECK(wetness_class(2500) == 3);
    CHECK(wetness_class(5500) == 4);
    CHECK(wetness_class(5501) == 5);
    count_published("ISO 9223:2012", 3);
}

TEST_CASE("freezing, thawing and the cold of the sky are counted exactly", "[reference][climate]") {
    // Independent computation on the same TMY3 files. Boston's 44 thaw days lie below the 50 that Schmidlin & Dethier
    // 1987 print for the coast of the north-east.
    const auto file = outside_file("checks/tmy3_freeze_thaw_and_sky_depression_reference.csv");
    if (!file) return;
    const auto rows = libseal_test::csv_rows(file->string());
    const std::pair<const char*, const char*> stations[] = {
        {"AZ-Phoenix", "722780_AZ_Phoenix_Sky_Harbor_TMY3.csv"}, {"FL-Miami", "722020_FL_Miami_TMY3.csv"},
        {"WA-Seattle", "727930_WA_Seattle_TMY3.csv"},            {"CO-Denver_Centennial", "724666_CO_Golden_NREL_TMY3.csv"},
        {"IL-Chicago", "725300_IL_Chicago_OHare_TMY3.csv"},      {"IN-South_Bend", "725350_IN_South_Bend_TMY3.csv"},
        {"MN-Minneapolis", "726580_MN_Minneapolis_TMY3.csv"},    {"MA-Boston", "725090_MA_Boston_TMY3.csv"}};
    int values = 0;
    double worst_depression = 0;
    for (const auto& [start, name] : stations) {
        const auto weather_file = outside_file(std::string("weather/") + name);
        if (!weather_file) continue;
        for (const auto& row : rows) {
            if (row[0].rfind(start, 0) != 0) continue;
            INFO(row[0]);
            const Weather w = read_weather(weather_file->string());
            const FreezeThaw counts = freeze_thaw(w);
            CHECK(counts.crossings == static_cast<int>(number(row[1])));
            CHECK(counts.mixed_days == static_cast<int>(number(row[2])));
            check_and_record(std::string("thaw days, ") + start, number(row[3]), counts.thaw_days, 0, 0);
            const PanelHours panel = panel_hours(w);
            const double depression = (panel.air - panel.sky_radiant.sqrt().sqrt()).mean();
            worst_depression = std::max(worst_depression, std::abs(depression - number(row[5])));
            values += 4;
        }
    }
    CHECK(values == 32);
    check_worst_and_record("mean sky depression, 8 stations, worst [K]", worst_depression, 0.05);
    count_published("Freeze-thaw and sky depression on NREL TMY3", values);
}

TEST_CASE("driving rain follows the standard's free-field index", "[reference][climate]") {
    // ISO 15927-3 formula, computed independently: v 6 m/s, 4 mm/h, from 210 deg on a wall facing south.
    Weather w = synthetic_hours(5);
    w.wind_speed << 6, 6, 6, 6, any;
    w.wind_direction << 210, 30, 210, any, any;
    w.precipitation << 4, 4, any, 4, 0;
    const Column rain = driving_rain(w, 180);
    check_and_record("driving rain [L/m2 h]", 3.95944, rain[0], 5e-6, 5);
    CHECK(rain[1] == 0);  // from behind
    CHECK(std::isnan(rain[2]));
    CHECK(std::isnan(rain[3]));
    CHECK(rain[4] == 0);  // no rain, whatever the wind
    const double at_3[] = {0.9696, 0.8326, 0.7224, 0.6654}, at_2[] = {0.9007, 0.8326, 0.7224, 0.6654};
    for (int c = 1; c <= 4; ++c) {
        CHECK(rain_roughness(c, 3) == Approx(at_3[c - 1]).margin(5e-5));
        CHECK(rain_roughness(c, 2) == Approx(at_2[c - 1]).margin(5e-5));
    }
    // Without wind no rain is driven, from wherever it does not blow and however much falls.
    Weather calm = synthetic_hours(3);
    calm.wind_direction << any, 180, any;
    calm.precipitation << 4, any, any;
    CHECK((driving_rain(calm, 180) == 0).all());
    // The same rain in half hours: half the hourly amount in each.
    w.step = 1800;
    w.precipitation[0] = 2;
    CHECK(driving_rain(w, 180)[0] == Approx(3.95944 / 2).margin(5e-6));
    CHECK_THROWS_AS(rain_roughness(5, 3), ValueError);
    count_published("ISO 15927-3 arithmetic", 9);
}

TEST_CASE("climates are classed as the rules say", "[published][climate]") {
    // Lebanon NH and Richmond VA from NOAA normals (published classes Dfb and Cfa); synthetic rows for rare classes.
    const auto file = outside_file("checks/koppen_check.csv");
    if (!file) return;
    const auto rows = libseal_test::csv_rows(file->string());
    for (std::size_t i = 1; i < rows.size(); ++i) {
        INFO(rows[i][0]);
        Column t(12), p(12);
        for (std::size_t m = 0; m < 12; ++m) {
            t[static_cast<Eigen::Index>(m)] = number(rows[i][1 + m]);
            p[static_cast<Eigen::Index>(m)] = number(rows[i][13 + m]);
        }
        CHECK(climate_class(t, p) == rows[i][25]);
        CHECK(climate_class(t, p, -3) == rows[i][26]);
    }
    count_published("Peel et al. 2007 / NOAA normals", static_cast<int>(2 * (rows.size() - 1)));
}

TEST_CASE("dry, tropical and Mediterranean climates are told apart by their rules", "[law][climate]") {
    // Synthetic months made so that one rule of Peel et al. 2007 decides.
    const Column hot = Column::Constant(12, 27);
    Column rain = Column::Constant(12, 100);
    CHECK(climate_class(hot, rain) == "Af");
    rain[0] = 50;  // driest below 60, above 100 - 1150 / 25 = 54? no: 50 < 54
    CHECK(climate_class(hot, rain) == "Aw");
    rain = Column::Constant(12, 200), rain[0] = 30;  // 100 - 2230 / 25 = 10.8
    CHECK(climate_class(hot, rain) == "Am");
    CHECK(climate_class(hot, Column::Constant(12, 5)) == "BWh");
    CHECK(climate_class(Column::Constant(12, 12), Column::Constant(12, 22)) == "BSk");
    Column t(12), p(12);
    t << 8, 9, 11, 14, 18, 22, 25, 25, 21, 17, 12, 9;
    p << 110, 90, 70, 50, 30, 10, 5, 5, 30, 70, 100, 110;
    CHECK(climate_class(t, p) == "Csa");
    Column t_south(12), p_south(12);  // the same place in the other hemisphere
    t_south << t.tail(6), t.head(6);
    p_south << p.tail(6), p.head(6);
    CHECK(climate_class(t_south, p_south) == "Csa");
    CHECK_THROWS_AS(climate_class(Column::Constant(11, 1), p), ValueError);
    t[3] = any;
    CHECK_THROWS_AS(climate_class(t, p), ValueError);
}

TEST_CASE("unknown hours count neither as wet, nor as frost, nor as dew", "[law][climate]") {
    Weather w = synthetic_hours(24);
    w.air_temperature.setConstant(any);
    w.relative_humidity.setConstant(95);
    CHECK(time_of_wetness(w) == 0);
    CHECK(freeze_thaw(w).mixed_days == 0);
    CHECK(freeze_thaw(w).thaw_days == 0);
    w.air_temperature.setConstant(5);
    CHECK(time_of_wetness(w) == 24);
    w.dew_point.setConstant(4);
    Column surface = Column::Constant(24, 4.5);
    surface.head(6).setConstant(4), surface[20] = any;
    CHECK(dew_hours(w, surface) == 6);
    CHECK_THROWS_AS(dew_hours(w, Column::Zero(3)), ValueError);
}

TEST_CASE("a dew point from humidity gives the humidity back", "[law][climate]") {
    const double t = GENERATE(-30.0, 0.0, 21.5, 45.0), rh = GENERATE(1.0, 40.0, 80.0, 100.0);
    CHECK(humidity_from_dew_point(t, dew_point_from_humidity(t, rh)) == Approx(rh).epsilon(1e-12));
    CHECK(std::isnan(dew_point_from_humidity(t, any)));
    CHECK_THROWS_AS(dew_point_from_humidity(t, 0), ValueError);
}

TEST_CASE("frost is counted by the site's own days and by its exact limits", "[law][climate]") {
    // Two days; synthetic. The limits of Schmidlin & Dethier: a maximum of 0 and a minimum of -2.2 are in.
    Weather w = synthetic_hours(48);
    w.air_temperature.head(24).setConstant(0);
    w.air_temperature[3] = -2.2;
    w.air_temperature.tail(24).setConstant(5);
    FreezeThaw counts = freeze_thaw(w);
    CHECK(counts.thaw_days == 1);
    CHECK(counts.mixed_days == 0);  // 0 is neither above nor below
    CHECK(counts.crossings == 0);
    w.air_temperature[3] = -2.1;
    CHECK(freeze_thaw(w).thaw_days == 0);
    // A frost from 22 to 2 h belongs to both days; five hours further west the clock says 17 to 21 h, one day.
    w.air_temperature.setConstant(5);
    w.air_temperature.segment(22, 4).setConstant(-3);
    counts = freeze_thaw(w);
    CHECK(counts.crossings == 1);
    CHECK(counts.mixed_days == 2);
    CHECK(counts.thaw_days == 2);
    w.site.utc_offset = -5;
    CHECK(freeze_thaw(w).mixed_days == 1);
    CHECK(freeze_thaw(w).crossings == 1);
}
