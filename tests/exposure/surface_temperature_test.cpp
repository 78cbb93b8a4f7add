#include "libseal/exposure/surface_temperature.hpp"

#include <cmath>
#include <limits>

#include "climate/record.hpp"
#include "libseal/climate/read.hpp"
#include "libseal/core/error.hpp"
#include "support/catch.hpp"
#include "support/data.hpp"
#include "support/published.hpp"

using namespace libseal;
using libseal_test::check_and_record;
using libseal_test::count_published;
using libseal_test::outside_file;

namespace {

constexpr double any = std::numeric_limits<double>::quiet_NaN();
constexpr double sigma = 5.670374419e-8;

/// Synthetic hours that span what weather does.
Weather synthetic_hours() {
    Weather w;
    w.site.latitude = 35;
    w.time_utc.resize(240);
    for (Eigen::Index i = 0; i < 240; ++i) w.time_utc[i] = make_instant(2001, 7, 1) + (i + 1) * 3600;
    const SunHours sun = sun_hours(w);
    w.ghi = w.dni = w.dhi = w.air_temperature = w.dew_point = w.wind_speed = w.opaque_sky_cover = Column::Zero(240);
    for (Eigen::Index i = 0; i < 240; ++i) {
        const double k = static_cast<double>(i);
        w.ghi[i] = haurwitz_clear(sun.zenith[i]);
        w.dhi[i] = 0.15 * w.ghi[i];
        w.dni[i] = sun.cos_zenith[i] > 0 ? 0.85 * w.ghi[i] / sun.cos_zenith[i] : 0;
        w.air_temperature[i] = 25 + 20 * std::sin(k / 3.8) - k / 8;
        w.dew_point[i] = w.air_temperature[i] - 5 - 10 * std::pow(std::sin(k), 2);
        w.wind_speed[i] = 4 + 4 * std::sin(k / 5);
        w.opaque_sky_cover[i] = 5 + 5 * std::sin(k / 17);
    }
    return w;
}

}  // namespace

TEST_CASE("the clear sky shines as Clark and Allen say", "[published][exposure]") {
    // EnergyPlus engineering documentation's example by way of climate.onebuilding.org: air 293 K, dew point 283 K, no
    // cloud: emissivity 0.815, 340.6 W/m2 with sigma 5.6697e-8 (printed from a rounded emissivity: 0.5 %).
    const double e = sky_emissivity(283 - 273.15, 0);
    check_and_record("sky emissivity, 283 K dew point", 0.8145, e, 0.00005, 5);
    check_and_record("sky long-wave [W/m2]", 340.6, e * 5.6697e-8 * std::pow(293.0, 4), 1.7, 2);
    CHECK(sky_emissivity(283 - 273.15, 10) == Approx(0.93992).margin(5e-6));
    CHECK(sky_emissivity(35, 10) == 1);  // where the fit would pass a black body
    count_published("Walton 1983 / Clark & Allen 1978", 3);
}

TEST_CASE("solar reflectance indices are those of the published list", "[published][exposure]") {
    // Lawrence Berkeley National Laboratory cool-roof list; ASTM E1980. Three: the list rounds reflectance to 0.01.
    struct Roof {
        const char* name;
        double reflectance, emittance, index;
    };
    const Roof roofs[] = {{"black rubber membrane", 0.06, 0.86, -1}, {"white granular bitumen", 0.26, 0.92, 28},
                          {"light gravel", 0.34, 0.90, 37},          {"white vinyl membrane", 0.83, 0.92, 104},
                          {"white coating", 0.83, 0.90, 104},        {"white painted metal", 0.67, 0.85, 82},
                          {"coated white", 0.87, 0.95, 108}};
    for (const Roof& r : roofs)
        check_and_record(std::string("reflectance index, ") + r.name, r.index,
                         solar_reflectance_index(r.reflectance, r.emittance), 3, 2);
    CHECK(solar_reflectance_index(0.05, 0.90) == Approx(0).margin(1e-9));
    CHECK(solar_reflectance_index(0.80, 0.90) == Approx(100).margin(1e-9));
    count_published("LBNL cool roof list; ASTM E1980", 7);
}

TEST_CASE("the balance of the standard gives its surface temperatures", "[reference][exposure]") {
    // ASTM E1980 conditions (1000 W/m2, air 310 K, sky 300 K), solved independently for three films.
    const double films[] = {5, 12, 30}, black[] = {103.69, 82.46, 61.07}, white[] = {49.25, 44.61, 40.77};
    for (int i = 0; i < 3; ++i) {
        CHECK(panel_balance(950, 0.9, 300, 310, films[i]) - 273.15 == Approx(black[i]).margin(0.005));
        CHECK(panel_balance(200, 0.9, 300, 310, films[i]) - 273.15 == Approx(white[i]).margin(0.005));
    }
    count_published("ASTM E1980 arithmetic", 6);
}

TEST_CASE("peak rises of roofs are those of the simple linear balance", "[published][exposure]") {
    // LBNL: (1 - R) 1000 = (hc + hr) dT + 10 hr, hr = 6.1 emittance, hc = 12.4 W/m2K, which is a sol-air temperature.
    struct Roof {
        double reflectance, emittance, rise;
    };
    const Roof roofs[] = {{0.05, 0.90, 50.0}, {0.80, 0.90, 8.1}, {0.70, 0.90, 13.7}, {0.61, 0.25, 26.9}, {0.61, 0.04, 30.7}, {0.55, 0.25, 31.2}};
    for (const Roof& r : roofs) {
        const double radiant = 6.1 * r.emittance;
        check_and_record("peak rise [K], R " + number_text(r.reflectance) + ", emittance " + number_text(r.emittance), r.rise,
                         sol_air_temperature(0, 1 - r.reflectance, 1000, 12.4 + radiant, 10 * radiant), 0.1, 2);
    }
    count_published("LBNL simple peak roof temperature", 6);
}

TEST_CASE("sol-air temperatures are those of the handbook's formula", "[reference][exposure]") {
    CHECK(sol_air_temperature(33.3, 0.884, 500, 17, 0) == Approx(59.30).margin(0.005));
    CHECK(sol_air_temperature(32, 0.442, 900, 17, 63) == Approx(51.694).margin(0.0005));
    count_published("ASHRAE sol-air arithmetic", 2);
}

TEST_CASE("a black panel in Arizona is as warm as measured", "[published][exposure]") {
    // SAE 2009-01-0573: irradiance-weighted over a year, air 30 C, black panel 42 C. Free-standing at 45 deg facing
    // south, McAdams' film at station wind. 2 K: another year, another place in the valley.
    const auto file = outside_file("weather/722780_AZ_Phoenix_Sky_Harbor_TMY3.csv");
    if (!file) return;
    const Weather w = read_weather(file->string());
    SurfaceTemperatureOptions free_panel;
    free_panel.two_sided = true;
    free_panel.wind_factor = 1;
    free_panel.film_floor = 0;
    const SunHours sun = sun_hours(w);
    const Column light = plane_total(sun, sky_hours(w, sun), 45, 180, 0.2);
    const Column panel = surface_temperature(w, light, 45, 0.95, 0.9, free_panel);
    // The source does not say which light it weighs by. By horizontal light both figures are met; by the plane's own
    // light the panel is nearer and the air is at 27.8, because the plane sees more of the winter.
    const auto weighted = [](const Column& t, const Column& by) { return (t * by).sum() / by.sum(); };
    check_and_record("Arizona black panel, by horizontal light [degC]", 42, weighted(panel, w.ghi), 2, 2);
    check_and_record("Arizona air, by horizontal light [degC]", 30, weighted(w.air_temperature, w.ghi), 2, 2);
    check_and_record("Arizona black panel, by its own light [degC]", 42, weighted(panel, light), 2, 2);
    CHECK(panel.maxCoeff() == Approx(69).margin(2));  // computed independently
    count_published("SAE 2009-01-0573", 2);
}

TEST_CASE("hottest hours of roofs agree with an independent computation", "[reference][exposure]") {
    // Horizontal, insulated, emittance 0.9, film floored at 10 W/m2K, station wind; black 0.95 and aged white 0.30.
    struct Town {
        const char* file;
        double black, white;
    };
    const Town towns[] = {{"weather/722780_AZ_Phoenix_Sky_Harbor_TMY3.csv", 87.6, 55.5},
                          {"weather/722020_FL_Miami_TMY3.csv", 74.6, 44.6},
                          {"weather/725300_IL_Chicago_OHare_TMY3.csv", 72.4, 42.6},
                          {"weather/724666_CO_Golden_NREL_TMY3.csv", 80.6, 44.7}};
    for (const Town& town : towns) {
        const auto file = outside_file(town.file);
        if (!file) continue;
        const Weather w = read_weather(file->string());
        SurfaceTemperatureOptions options;
        options.wind_factor = 1;
        const double black = surface_temperature(w, 0, 0, 0.95, 0.9, options).maxCoeff();
        const double white = surface_temperature(w, 0, 0, 0.30, 0.9, options).maxCoeff();
        check_and_record(std::string("hottest black roof [degC], ") + town.file, town.black, black, 1.0, 1);
        check_and_record(std::string("hottest white roof [degC], ") + town.file, town.white, white, 1.6, 1);
    }
}

TEST_CASE("a darker finish is never cooler and a poorer radiator never cooler in the sun", "[law][exposure]") {
    const Weather w = synthetic_hours();
    const double tilt = GENERATE(0.0, 90.0, 180.0);
    Column last = surface_temperature(w, tilt, any, 0.0);
    for (const double absorptance : {0.2, 0.35, 0.6, 0.95}) {
        const Column now = surface_temperature(w, tilt, any, absorptance);
        CHECK((now - last).minCoeff() >= -1e-9);
        CHECK((now - last).maxCoeff() > 0);
        last = now;
    }
    // Warmer than the air is warmer than all that it sees: there a poor radiator keeps more.
    const Column shiny = surface_temperature(w, tilt, any, 0.95, 0.2);
    Eigen::Index warm = 0;
    for (Eigen::Index i = 0; i < w.size(); ++i) {
        if (last[i] <= w.air_temperature[i]) continue;
        ++warm;
        CHECK(shiny[i] >= last[i] - 1e-9);
    }
    CHECK(warm > 50);
}

TEST_CASE("the temperature found closes the balance", "[law][exposure]") {
    const Weather w = synthetic_hours();
    SurfaceTemperatureOptions options;
    options.two_sided = GENERATE(false, true);
    options.film_floor = GENERATE(0.0, 10.0);
    const double tilt = GENERATE(0.0, 60.0, 90.0);
    const Column light = Column::LinSpaced(w.size(), 0, 1300);
    const Column surface = surface_temperature(w, light, tilt, 0.95, 0.9, options) + 273.15;
    const double view = (1 + std::cos(tilt * 3.14159265358979323846 / 180)) / 2;
    double worst = 0;
    for (Eigen::Index i = 0; i < w.size(); ++i) {
        const double air = w.air_temperature[i] + 273.15;
        const double sky = sky_emissivity(w.dew_point[i], w.opaque_sky_cover[i]) * std::pow(air, 4);
        const double film = std::max(options.film_floor, 5.7 + 3.8 * 0.7 * w.wind_speed[i]);
        const double front = 0.9 * sigma * (std::pow(surface[i], 4) - view * sky - (1 - view) * std::pow(air, 4)) + film * (surface[i] - air);
        const double back = 0.9 * sigma * (std::pow(surface[i], 4) - (1 - view) * sky - view * std::pow(air, 4)) + film * (surface[i] - air);
        worst = std::max(worst, std::abs(0.95 * light[i] - front - (options.two_sided ? back : 0)));
    }
    CHECK(worst < 1e-7);  // W/m2
    const double one = panel_balance(0.95 * light[200], 0.9, 280, 300, 12);
    CHECK(0.9 * sigma * (std::pow(one, 4) - std::pow(280.0, 4)) + 12 * (one - 300) == Approx(0.95 * light[200]).margin(1e-8));
}

TEST_CASE("without light, under an overcast sky and in wind, a panel is as warm as the air", "[law][exposure]") {
    Weather w = synthetic_hours();
    w.wind_speed.setConstant(40);
    const Column surface = surface_temperature(w, Column::Zero(w.size()), 90, 0.9, 0.9, {});
    CHECK((surface - w.air_temperature).maxCoeff() <= 0);
    CHECK((surface - w.air_temperature).minCoeff() > -1.0);
    const Column matte = surface_temperature(w, Column::Zero(w.size()), 90, 0.9, 0.0, {});
    CHECK((matte - w.air_temperature).abs().maxCoeff() < 1e-9);
}

TEST_CASE("an hour with an unknown input has an unknown temperature, and no other has", "[law][exposure]") {
    const Weather whole = synthetic_hours();
    Weather w = whole;
    w.air_temperature[10] = any;
    w.wind_speed[20] = any;
    w.dew_point[30] = any;
    w.ghi[36] = w.dni[36] = w.dhi[36] = any;
    const Column a = surface_temperature(whole, 45, 180, 0.6), b = surface_temperature(w, 45, 180, 0.6);
    for (Eigen::Index i = 0; i < w.size(); ++i) {
        if (i == 10 || i == 20 || i == 30 || i == 36)
            CHECK(std::isnan(b[i]));
        else
            CHECK(b[i] == a[i]);
    }
    // Sky cover alone is filled, by rule: the temperature stays known and near.
    w = whole;
    w.opaque_sky_cover[60] = any;
    const Column c = surface_temperature(w, 45, 180, 0.6);
    CHECK(c[60] == Approx(a[60]).margin(6));
    CHECK(c[61] == a[61]);
}

TEST_CASE("finishes and films that cannot be are refused", "[bad_input][exposure]") {
    const Weather w = synthetic_hours();
    CHECK_THROWS_AS(surface_temperature(w, 0, 0, 1.1), ValueError);
    CHECK_THROWS_AS(surface_temperature(w, 0, 0, 0.5, any), ValueError);
    CHECK_THROWS_AS(surface_temperature(w, Column::Zero(5), 0, 0.5, 0.9, {}), ValueError);
    SurfaceTemperatureOptions options;
    options.film_floor = options.film_base = 0;
    CHECK_THROWS_AS(surface_temperature(w, 0, 0, 0.5, 0.9, options), ValueError);
    CHECK_THROWS_AS(panel_balance(900, 0.9, 280, 300, 0), ValueError);
}
