#include "libseal/climate/typical_year.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

#include "libseal/climate/moisture.hpp"
#include "libseal/climate/sun.hpp"
#include "libseal/core/error.hpp"
#include "support/catch.hpp"

using namespace libseal;

namespace {

constexpr int month_days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

/// 42 stations: every 26th of the table, and the far north and the tropics by name.
std::vector<Station> sample() {
    std::vector<Station> stations;
    // Kotzebue: in December hardly any sun clears the horizon.
    for (const char* id : {"700260", "701330", "702610", "911820"}) stations.push_back(find_station(std::string(id)));
    for (std::size_t k = 0; k < station_count() && stations.size() < 42; k += 26) stations.push_back(station_at(k));
    return stations;
}

/// Invented: a mild place south of the equator. Nothing outside is compared with it.
Station invented_south() {
    Station s;
    s.site = {"invented, south", -35.0, 149.0, 600, 10};
    s.id = "synthetic";
    for (int m = 0; m < 12; ++m) {
        const double summer = std::cos(2 * 3.14159265358979 * m / 12);  // 1 in January
        MonthNormals& n = s.months[m];
        n.air_temperature = 13 + 7 * summer;
        n.daily_maximum = n.air_temperature + 7;
        n.daily_minimum = n.air_temperature - 7;
        n.highest = n.daily_maximum + 9;
        n.lowest = n.daily_minimum - 7;
        n.dew_point = n.air_temperature - 7;
        n.relative_humidity = 66;
        n.wind_speed = 3;
        n.ghi = 4.7 + 2.6 * summer;
        n.dni = 5.2 + 1.6 * summer;
        n.dhi = 1.6 + 0.6 * summer;
        n.cloud = 5;
        n.wind_when_sunny = 3.8;
        n.temperature_when_sunny = n.air_temperature + 3;
    }
    s.rain_hours = 450;
    s.annual_precipitation = 640;
    s.wind_daytime_cv = 0.5;
    s.sun_centroid = 12.1;
    return s;
}

}  // namespace

TEST_CASE("monthly means of a typical year are the station's", "[law][climate]") {
    for (const Station& station : sample()) {
        INFO(station.id << " " << station.site.name);
        const Weather year = typical_year(station);
        REQUIRE(year.size() == 8760);
        int first = 0;
        for (int m = 0; m < 12; ++m) {
            INFO("month " << m + 1);
            const MonthNormals& month = station.months[m];
            const auto mean = [&](const Column& c) { return c.segment(first, 24 * month_days[m]).mean(); };
            CHECK(mean(year.air_temperature) == Approx(month.air_temperature).margin(1e-9));
            CHECK(mean(year.relative_humidity) == Approx(month.relative_humidity).margin(1e-3));
            CHECK(mean(year.wind_speed) == Approx(month.wind_speed).margin(1e-9));
            CHECK(mean(year.ghi) * 0.024 == Approx(month.ghi).margin(1e-6));
            CHECK(mean(year.dhi) * 0.024 == Approx(month.dhi).margin(1e-6));
            // Below 0.1 kWh/m2 of global a day the sun hardly clears the horizon and beam has no place to be.
            if (month.ghi > 0.1) CHECK(mean(year.dni) * 0.024 == Approx(month.dni).margin(1e-3));
            first += 24 * month_days[m];
        }
    }
}

TEST_CASE("a typical year is weather that can be", "[law][climate]") {
    for (const Station& station : sample()) {
        INFO(station.id << " " << station.site.name);
        const Weather year = typical_year(station, 3);
        CHECK_NOTHROW(check_weather(year));
        CHECK(year.typical);
        CHECK(year.step == 3600);
        CHECK(year.sun_offset == -1800);
        const auto offset = static_cast<Instant>(std::llround(3600 * station.site.utc_offset));
        CHECK(year.time_utc[0] == make_instant(2001, 1, 1, 1) - offset);
        CHECK(year.time_utc[8759] == make_instant(2002, 1, 1) - offset);
        const SunHours sun = sun_hours(year);
        for (const auto& name : weather_column_names()) CHECK(weather_column(year, name).isFinite().all());
        CHECK((year.dew_point <= year.air_temperature + 1e-9).all());
        CHECK(year.ghi.minCoeff() >= 0);
        CHECK(year.dhi.minCoeff() >= 0);
        CHECK(year.dni.minCoeff() >= 0);
        CHECK((sun.cos_zenith < 0).select(year.dni, 0).maxCoeff() == 0);
        CHECK(year.wind_speed.minCoeff() >= 0);
        CHECK(year.precipitation.minCoeff() >= 0);
    }
}

TEST_CASE("the same seed gives the same bits, another seed other weather of the same means", "[law][climate]") {
    const Station station = find_station("725350");
    const Weather a = typical_year(station, 7), b = typical_year(station, 7), c = typical_year(station, 8);
    for (const auto& name : weather_column_names()) {
        INFO(name);
        CHECK((weather_column(a, name) == weather_column(b, name)).all());
        if (name != "pressure") CHECK((weather_column(a, name) != weather_column(c, name)).any());
    }
    CHECK(a.air_temperature.mean() == Approx(c.air_temperature.mean()).margin(1e-9));
    CHECK(a.ghi.sum() == Approx(c.ghi.sum()).epsilon(1e-9));
}

TEST_CASE("rain falls in the hours reported and sums to the annual normal", "[law][climate]") {
    for (const Station& station : sample()) {
        INFO(station.id << " " << station.site.name);
        const Weather year = typical_year(station, 1);
        const auto wet = year.precipitation > 0;
        if (std::isfinite(station.annual_precipitation)) {
            CHECK(year.precipitation.sum() == Approx(station.annual_precipitation).epsilon(1e-9));
            // Where the table has fewer hours than 3 mm/h would fill, the source did not report rain.
            const double hours = std::max(station.rain_hours, station.annual_precipitation / 3);
            CHECK(static_cast<double>((wet && year.air_temperature > 0.5).count()) == Approx(hours).margin(0.5));
        }
        // Wet hours come in spells, under cloud.
        const auto n = static_cast<double>(wet.count());
        if (n < 200) continue;
        const auto pairs = static_cast<double>((wet.head(8759) && wet.tail(8759)).count());
        CHECK(pairs / n > 2 * n / 8760);
        CHECK(wet.select(year.opaque_sky_cover, 0).sum() / n > year.opaque_sky_cover.mean());
    }
}

TEST_CASE("humidity, dew point and temperature of a typical year agree", "[law][climate]") {
    const Weather year = typical_year(find_station("722780"));
    for (Eigen::Index i = 0; i < year.size(); i += 7)
        CHECK(year.relative_humidity[i] ==
              Approx(humidity_from_dew_point(year.air_temperature[i], year.dew_point[i])).epsilon(1e-9));
}

TEST_CASE("a typical year can be made without the figures that few stations have", "[law][climate]") {
    Station s = invented_south();
    const double unknown = std::numeric_limits<double>::quiet_NaN();
    for (MonthNormals& month : s.months) month.wind_when_sunny = month.temperature_when_sunny = unknown;
    s.wind_daytime_cv = s.sun_centroid = s.annual_precipitation = unknown;
    const Weather year = typical_year(s);
    CHECK_NOTHROW(check_weather(year));
    for (const auto& name : weather_column_names()) CHECK(weather_column(year, name).isFinite().all());
    CHECK(year.precipitation.sum() > 0);
    CHECK(year.notes.size() > 2);
}

TEST_CASE("a typical year works south of the equator", "[law][climate]") {
    const Weather year = typical_year(invented_south());
    const SunHours sun = sun_hours(year);
    // The sun of southern noon stands in the north, and summer is in January.
    Eigen::Index noon = 0;
    sun.cos_zenith.segment(0, 24).maxCoeff(&noon);
    CHECK(std::cos(sun.azimuth[noon] * 3.14159265358979 / 180) > 0.5);
    CHECK(year.ghi.segment(0, 744).mean() > 2 * year.ghi.segment(4344, 744).mean());
    CHECK(year.air_temperature.segment(0, 744).mean() == Approx(20).margin(1e-9));
    CHECK(year.precipitation.sum() == Approx(640).epsilon(1e-9));
}

TEST_CASE("the light of a month without a sun lies in the hour of its highest sun, all of it diffuse", "[law][climate]") {
    // Invented: 80 deg north, where the sun stays down from the end of October to the middle of February; the twilight has a little light.
    Station s = invented_south();
    s.site = {"invented, polar", 80, 15, 20, 1};
    s.sun_centroid = std::numeric_limits<double>::quiet_NaN();
    for (int m = 0; m < 12; ++m) {
        MonthNormals& n = s.months[m];
        const bool dark = m == 0 || m >= 10;
        n.ghi = dark ? 0.02 : m == 1 || m == 9 ? 0.2 : 3;
        n.dhi = dark ? 0.02 : m == 1 || m == 9 ? 0.15 : 1.5;
        n.dni = dark ? 0 : m == 1 || m == 9 ? 0.3 : 3;
        if (m == 11) n.ghi = n.dhi = 0;
        if (m == 11) n.wind_speed = n.wind_when_sunny = 0;
    }
    const Weather year = typical_year(s);
    CHECK_NOTHROW(check_weather(year));
    for (const auto& name : weather_column_names()) CHECK(weather_column(year, name).isFinite().all());
    const SunHours sun = sun_hours(year);
    int first = 0;
    for (int m = 0; m < 12; ++m) {
        INFO("month " << m + 1);
        const int hours = 24 * month_days[m];
        CHECK(year.ghi.segment(first, hours).sum() == Approx(s.months[m].ghi * 1000 * month_days[m]).margin(1e-6));
        CHECK(year.wind_speed.segment(first, hours).mean() == Approx(s.months[m].wind_speed).margin(1e-9));
        if (m == 0 || m == 10)
            for (int day = first; day < first + hours; day += 24) {
                Eigen::Index highest = 0, light = 0;
                sun.cos_zenith.segment(day, 24).maxCoeff(&highest);
                REQUIRE(sun.cos_zenith[day + highest] < 0.003);
                year.ghi.segment(day, 24).maxCoeff(&light);
                REQUIRE(light == highest);
                REQUIRE((year.ghi.segment(day, 24) > 0).count() == 1);
                REQUIRE(year.ghi[day + light] == 20);  // 0.02 kWh/m2 in one hour
                REQUIRE(year.dhi[day + light] == 20);
            }
        if (s.months[m].ghi <= 0.02) CHECK((year.dni.segment(first, hours) == 0).all());
        first += hours;
    }
    CHECK((year.wind_speed.tail(24 * 31) == 0).all());
    CHECK((year.ghi.tail(24 * 31) == 0).all());
}

TEST_CASE("more beam than a sun can give is cut to what it can", "[law][climate]") {
    // Invented: 16 kWh/m2 a day of beam in June, which has under ten hours of sun at 35 deg south; 0.8 of the sun above the air is the most
    // that any measured hour has.
    Station s = invented_south();
    s.months[5].dni = 16;
    const Weather year = typical_year(s);
    const SunHours sun = sun_hours(year);
    const int june = 24 * 151, hours = 24 * 30;
    const Column beam = year.dni.segment(june, hours), most = 0.8 * sun.extraterrestrial.segment(june, hours);
    CHECK((beam <= most * (1 + 1e-6)).all());
    CHECK(((beam > 0) == (sun.cos_zenith.segment(june, hours) > 0.003)).all());
    CHECK((beam > 0).select(beam / most, 1.0).minCoeff() == Approx(1).epsilon(1e-6));
    CHECK(beam.sum() < 16e3 * 30);
    CHECK(year.ghi.segment(june, hours).sum() == Approx(s.months[5].ghi * 1000 * 30));
    CHECK(year.dhi.segment(june, hours).sum() == Approx(s.months[5].dhi * 1000 * 30));
    CHECK(year.dni.segment(0, 744).sum() == Approx(s.months[0].dni * 1000 * 31).epsilon(1e-4));
}

TEST_CASE("figures that no weather can have are refused by name", "[bad_input][climate]") {
    const auto refused = [](auto spoil, const std::string& field) {
        Station s = invented_south();
        spoil(s);
        try {
            typical_year(s);
            FAIL("accepted: " << field);
        } catch (const ValueError& error) {
            CHECK(error.problems().front().field == field);
        }
    };
    refused([](Station& s) { s.months[3].relative_humidity = 140; }, "station.months[3].relative_humidity");
    refused([](Station& s) { s.months[0].daily_maximum = s.months[0].air_temperature - 1; }, "station.months[0].daily_maximum");
    refused([](Station& s) { s.months[11].ghi = -1; }, "station.months[11].ghi");
    refused([](Station& s) { s.months[5].dhi = 9; }, "station.months[5].dhi");
    refused([](Station& s) { s.months[5].air_temperature = std::numeric_limits<double>::quiet_NaN(); },
            "station.months[5].air_temperature");
    refused([](Station& s) { s.site.latitude = 91; }, "station.site.latitude");
    // What a station may lack is NaN; a number that stands for "missing" elsewhere is none.
    constexpr double infinite = std::numeric_limits<double>::infinity();
    for (const double wrong : {-9999.0, infinite}) {
        refused([&](Station& s) { s.annual_precipitation = wrong; }, "station.annual_precipitation");
        refused([&](Station& s) { s.wind_daytime_cv = wrong; }, "station.wind_daytime_cv");
        refused([&](Station& s) { s.sun_centroid = wrong; }, "station.sun_centroid");
        refused([&](Station& s) { s.months[4].wind_when_sunny = wrong; }, "station.months[4].wind_when_sunny");
        refused([&](Station& s) { s.months[4].temperature_when_sunny = wrong; }, "station.months[4].temperature_when_sunny");
    }
}

TEST_CASE("a desert without rain has none, and a frozen place has all of its water as snow", "[law][climate]") {
    Station s = invented_south();
    s.annual_precipitation = 0;  // known, and nothing, whatever hours are reported
    CHECK((typical_year(s).precipitation == 0).all());
    s.rain_hours = 0;
    s.annual_precipitation = std::numeric_limits<double>::quiet_NaN();
    const Weather unheard = typical_year(s);
    CHECK((unheard.precipitation == 0).all());
    CHECK(unheard.notes.back().find("no hours of rain are reported: the year has none") != std::string::npos);
    s.rain_hours = 200;  // 1.9 mm/h, docs/typical_year.md
    const Weather usual = typical_year(s);
    CHECK(usual.precipitation.sum() == Approx(1.9 * static_cast<double>((usual.precipitation > 0).count())));
    CHECK((usual.precipitation > 0 && usual.air_temperature > 0.5).count() == 200);
    CHECK(usual.notes.back().find("a usual intensity was assumed") != std::string::npos);
    s.rain_hours = 0;
    s.annual_precipitation = 300;  // no hours reported: 3 mm/h, so 100 liquid ones
    const Weather unreported = typical_year(s);
    CHECK(unreported.precipitation.sum() == Approx(300));
    CHECK((unreported.precipitation > 0 && unreported.air_temperature > 0.5).count() == 100);
    for (MonthNormals& n : s.months)  // 50 K colder: never above freezing
        for (double* t : {&n.air_temperature, &n.daily_maximum, &n.daily_minimum, &n.highest, &n.lowest, &n.dew_point, &n.temperature_when_sunny}) *t -= 50;
    const Weather frozen = typical_year(s);
    CHECK(frozen.air_temperature.maxCoeff() < 0.5);
    CHECK(frozen.precipitation.sum() == Approx(300));
}

TEST_CASE("a month of which no light is reported although the sun is up is dark, not unknown", "[law][climate]") {
    Station s = invented_south();
    for (MonthNormals& n : s.months) n.ghi = n.dni = n.dhi = 0;
    s.months[0] = invented_south().months[0];
    const Weather year = typical_year(s, 3);
    CHECK(year.ghi.segment(24 * 31, 24 * 334).maxCoeff() == 0);
    for (const std::string& name : weather_column_names()) {
        INFO(name);
        CHECK(weather_column(year, name).isFinite().all());
    }
    for (int m = 0, first = 0; m < 12; first += 24 * month_days[m++])
        CHECK(year.air_temperature.segment(first, 24 * month_days[m]).mean() == Approx(s.months[m].air_temperature).margin(1e-9));
}
