#include "support/catch.hpp"

#include <cctype>
#include <cmath>
#include <map>
#include <string>

#include "libseal/climate/station.hpp"
#include "libseal/core/csv.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "support/data.hpp"
#include "support/published.hpp"

using namespace libseal;

namespace {

/// Rows of a CSV file as name-to-text maps.
std::vector<std::map<std::string, std::string>> rows_of(const std::string& path) {
    const std::string text = read_text_file(path);
    CsvReader csv(text, path);
    std::vector<CsvField> head, record;
    REQUIRE(csv.next(head));
    std::vector<std::map<std::string, std::string>> rows;
    while (csv.next(record)) {
        REQUIRE(record.size() == head.size());
        auto& row = rows.emplace_back();
        for (std::size_t i = 0; i < head.size(); ++i) row[csv_text(head[i])] = csv_text(record[i]);
    }
    return rows;
}

/// The value is exactly the printed number; an empty field is NaN.
bool same(double value, const std::string& printed) {
    double number = 0;
    if (printed.empty()) return std::isnan(value);
    return try_parse_number(printed, number) && value == number;
}

struct Figure {
    const char* key;
    double MonthNormals::*member;
};
constexpr Figure figures[] = {
    {"t_mean_c", &MonthNormals::air_temperature},
    {"t_daily_max_mean_c", &MonthNormals::daily_maximum},
    {"t_daily_min_mean_c", &MonthNormals::daily_minimum},
    {"t_abs_min_c", &MonthNormals::lowest},
    {"t_abs_max_c", &MonthNormals::highest},
    {"tdew_mean_c", &MonthNormals::dew_point},
    {"rh_mean_pct", &MonthNormals::relative_humidity},
    {"wind_mean_m_s", &MonthNormals::wind_speed},
    {"ghi_kwh_m2_day", &MonthNormals::ghi},
    {"dni_kwh_m2_day", &MonthNormals::dni},
    {"dhi_kwh_m2_day", &MonthNormals::dhi},
    {"hours_rh_gt80", &MonthNormals::humid_hours},
    {"tow_h", &MonthNormals::wet_hours},
    {"days_min_lt0_max_gt0", &MonthNormals::freeze_thaw_days},
    {"total_cloud_tenths", &MonthNormals::cloud},
    {"wind_when_sunny_m_s", &MonthNormals::wind_when_sunny},
    {"t_when_sunny_c", &MonthNormals::temperature_when_sunny},
};

std::string hint_of(const std::string& name) {
    try {
        const Station station = find_station(name);
        FAIL("found " << station.site.name);
    } catch (const ValueError& error) {
        return error.problems().front().hint;
    }
    return "";
}

}  // namespace

TEST_CASE("the built-in table equals its files to their last digit", "[reference][climate]") {
    const auto annual = libseal_test::outside_file("weather/us_tmy3_station_annual.csv");
    const auto monthly = libseal_test::outside_file("weather/us_tmy3_station_monthly.csv");
    if (!annual || !monthly) return;
    const auto stations = rows_of(annual->string());
    const auto months = rows_of(monthly->string());
    REQUIRE(station_count() == stations.size());
    REQUIRE(months.size() == 12 * stations.size());
    int wrong = 0;
    for (std::size_t i = 0; i < stations.size(); ++i) {
        auto row = stations[i];
        const Station station = station_at(i);
        wrong += station.id != row["usaf"] || station.site.name != row["name"] || station.state != row["state"] ||
                 station.quality_flags != row["qc_flags"];
        wrong += !same(station.site.latitude, row["lat_deg"]) + !same(station.site.longitude, row["lon_deg"]) +
                 !same(station.site.elevation, row["elev_m"]) + !same(station.site.utc_offset, row["tz_h"]) +
                 !same(station.rain_hours, row["present_weather_liquid_rain_hours"]) +
                 !same(station.annual_precipitation, row["norm9120_prcp_mm"]) +
                 !same(station.wind_daytime_cv, row["wind_daytime_cv"]) +
                 !same(station.sun_centroid, row["sun_centroid_local_standard_h"]);
        for (std::size_t m = 0; m < 12; ++m) {
            auto month = months[12 * i + m];
            REQUIRE(month["usaf"] == station.id);
            for (const auto& [key, member] : figures) wrong += !same(station.months[m].*member, month[key]);
        }
    }
    CHECK(wrong == 0);
}

TEST_CASE("months of the table are those of the published statistics", "[published][climate]") {
    // Monthly means of the EnergyPlus .stat file of Chicago O'Hare TMY3 (725300), tables "Average Daily Solar
    // Radiation" and "Dry Bulb Temperatures": an independent conversion of the same hours.
    const double ghi[] = {1764, 2493, 3440, 4394, 5976, 6294, 6177, 5161, 4193, 2941, 1819, 1504};
    const double temperature[] = {-4.6, -2.5, 3.8, 10.0, 15.3, 21.1, 24.1, 21.8, 18.1, 11.0, 4.7, -3.7};
    const Station chicago = find_station("725300");
    for (std::size_t m = 0; m < 12; ++m) {
        // The table prints 1 Wh; its last digit and that of the source may round apart.
        CHECK(chicago.months[m].ghi * 1000 == Approx(ghi[m]).margin(1));
        // Table and source round separately: half a unit of each.
        CHECK(chicago.months[m].air_temperature == Approx(temperature[m]).margin(0.05 + 0.005));
    }
    libseal_test::count_published("EnergyPlus .stat Chicago TMY3", 24);
}

TEST_CASE("the nearest station is found anywhere on the globe", "[climate]") {
    SECTION("Elkhart lies beside South Bend") {
        const Station station = find_station(41.68, -85.98);
        CHECK(station.id == "725350");
        // By the spherical law of cosines, computed by hand from both positions.
        const double radian = std::acos(-1.0) / 180;
        const double angle = std::acos(std::sin(41.68 * radian) * std::sin(41.7 * radian) +
                                       std::cos(41.68 * radian) * std::cos(41.7 * radian) * std::cos((86.333 - 85.98) * radian));
        CHECK(station.distance_km == Approx(6371.0088 * angle).epsilon(1e-6));
        CHECK_FALSE(station.far);
    }
    SECTION("across the antimeridian the short way counts") {
        // Shemya stands at 174 E, Adak at 177 W: a point at 178.5 W is nearer to Adak, one at 177 E to Shemya.
        CHECK(find_station(52.0, 177.0).state == "AK");
        const Station west = find_station(52.0, 180.0), east = find_station(52.0, -180.0);
        CHECK(west.id == east.id);
        CHECK(west.distance_km == Approx(east.distance_km).margin(1e-9));
        CHECK(west.site.name == "ADAK NAS");
        CHECK(west.distance_km < 300);
    }
    SECTION("at a pole longitude does not matter") {
        const Station a = find_station(90, 0), b = find_station(90, 135);
        CHECK(a.id == b.id);
        CHECK(a.distance_km == Approx(b.distance_km).margin(1e-6));
        CHECK(a.distance_km == Approx(6371.0088 * (90 - a.site.latitude) * std::acos(-1.0) / 180).epsilon(1e-9));
        CHECK(a.far);
        CHECK(find_station(-90, 10).far);
    }
    SECTION("the other side of the world is far, not an error") {
        const Station station = find_station(-33.95, 151.18);
        CHECK(station.far);
        CHECK(station.distance_km > 4000);
    }
    SECTION("no other station is nearer than the one found") {
        const double latitude = GENERATE(-60.0, 14.0, 33.1, 47.9, 71.0), longitude = GENERATE(-179.0, -95.5, -68.0, 0.0, 145.0);
        const Station nearest = find_station(latitude, longitude);
        for (std::size_t i = 0; i < station_count(); i += 7) {
            const Station other = station_at(i);
            // Chord of the unit sphere: an independent measure of the same order.
            const auto chord = [&](const Site& site) {
                const double r = std::acos(-1.0) / 180;
                const double x = std::cos(latitude * r) * std::cos(longitude * r) - std::cos(site.latitude * r) * std::cos(site.longitude * r);
                const double y = std::cos(latitude * r) * std::sin(longitude * r) - std::cos(site.latitude * r) * std::sin(site.longitude * r);
                const double z = std::sin(latitude * r) - std::sin(site.latitude * r);
                return std::sqrt(x * x + y * y + z * z);
            };
            CHECK(chord(nearest.site) <= chord(other.site) + 1e-12);
        }
    }
    CHECK_THROWS_AS(find_station(91, 0), ValueError);
    CHECK_THROWS_AS(find_station(0, 181), ValueError);
    CHECK_THROWS_AS(find_station(std::nan(""), 0), ValueError);
}

TEST_CASE("a station is found by number, name, state or part of its name", "[climate]") {
    CHECK(find_station("725350").site.name == "SOUTH BEND MICHIANA RGNL AP");
    CHECK(find_station("south bend").id == "725350");
    CHECK(find_station("South Bend Michiana Rgnl AP").id == "725350");
    CHECK(find_station("Phoenix, AZ").id == "722780");
    CHECK(find_station("phoenix sky harbor intl ap, az").id == "722780");
    CHECK(find_station("Portland, ME").id == "726060");
    CHECK(find_station("golden, co").id == "724666");
    CHECK(find_station(" st louis lambert ").state == "MO");
    CHECK(find_station("725350").distance_km == 0);
    for (std::size_t i = 0; i < station_count(); i += 11) {
        const Station station = station_at(i);
        CHECK(find_station(station.site.name).id == station.id);
        CHECK(find_station(station.site.name + ", " + station.state).id == station.id);
    }
}

TEST_CASE("a name of several stations or of none is an error with candidates", "[bad_input][climate]") {
    const std::string portland = hint_of("Portland");
    CHECK(portland.find("PORTLAND INTL JETPORT, ME (726060)") != std::string::npos);
    CHECK(portland.find("PORTLAND INTERNATIONAL AP, OR") != std::string::npos);
    CHECK(hint_of("Golden").find("[GOLDEN - NREL], CO") != std::string::npos);
    CHECK(hint_of("Phenix").find("PHOENIX SKY HARBOR INTL AP, AZ (722780)") != std::string::npos);
    CHECK(hint_of("Miammi, FL").find("MIAMI") != std::string::npos);
    CHECK_FALSE(hint_of("qwxzqwxz").empty());
    CHECK_THROWS_AS(find_station(""), ValueError);
    CHECK_THROWS_AS(find_station(" ,,"), ValueError);
    CHECK_THROWS_AS(find_station(std::string(100000, 'x')), ValueError);
    CHECK_THROWS_AS(station_at(station_count()), ValueError);
}

TEST_CASE("a state after a comma is never read as the beginning of a word", "[bad_input][climate]") {
    // "Miami, IN" is no way to write MIAMI INTL AP in Florida, nor "Denver, IN" the airport in Colorado.
    CHECK(hint_of("Miami, IN").find("MIAMI INTL AP, FL") != std::string::npos);
    CHECK(hint_of("Denver, in").find("DENVER") != std::string::npos);
    CHECK(find_station("Miami Intl").state == "FL");
    CHECK(find_station("Miami Intl AP, FL").site.name == "MIAMI INTL AP");
    // Whatever is found with a state lies in it.
    int found = 0;
    for (std::size_t i = 0; i < station_count(); i += 3) {
        const std::string name = station_at(i).site.name, first = name.substr(0, name.find_first_of(" /-"));
        for (const std::string state : {"IN", "CO", "AR", "ME"}) {
            try {
                const Station station = find_station(first + ", " + state);
                INFO(first << ", " << state << ": " << station.site.name);
                REQUIRE(station.state == state);
                ++found;
            } catch (const ValueError&) {  // no or several such names in the state
            }
        }
    }
    CHECK(found > 20);
    // What follows a comma and is no state belongs to the name.
    CHECK(find_station("Miami, Intl AP").state == "FL");
    CHECK_THROWS_AS(find_station(", IN"), ValueError);
}

TEST_CASE("a name that fits many stations lists twelve of them and counts the rest", "[bad_input][climate]") {
    std::size_t fits = 0;
    for (std::size_t i = 0; i < station_count(); ++i) {
        std::string name = ' ' + station_at(i).site.name + ' ';
        for (char& c : name)
            if (std::isalnum(static_cast<unsigned char>(c)) == 0) c = ' ';
        fits += name.find(" COUNTY ") != std::string::npos;
    }
    REQUIRE(fits > 12);
    const std::string hint = hint_of("county");
    std::size_t listed = 0;
    for (const char c : hint) listed += c == '(';
    CHECK(listed == 12);
    CHECK(hint.find("and " + std::to_string(fits - 12) + " more") != std::string::npos);
}
