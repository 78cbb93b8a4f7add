// Typical years against the measured hours of the eight stations: exposure and damage of roof and walls.

#include "typical_year_errors.hpp"

#include <cstdio>
#include <optional>

#include "libseal/climate/read.hpp"
#include "libseal/climate/typical_year.hpp"
#include "support/catch.hpp"
#include "support/data.hpp"
#include "support/published.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

struct Place {
    const char* id;
    const char* file;
    const char* name;
};
constexpr std::array<Place, 8> places{{{"725350", "725350_IN_South_Bend", "South Bend"},
                                       {"722020", "722020_FL_Miami", "Miami"},
                                       {"722780", "722780_AZ_Phoenix_Sky_Harbor", "Phoenix"},
                                       {"724666", "724666_CO_Golden_NREL", "Golden"},
                                       {"725090", "725090_MA_Boston", "Boston"},
                                       {"725300", "725300_IL_Chicago_OHare", "Chicago"},
                                       {"726580", "726580_MN_Minneapolis", "Minneapolis"},
                                       {"727930", "727930_WA_Seattle", "Seattle"}}};
constexpr int seeds = 3;

// Limits: what the default weather has to be good for.
constexpr double roof_dose_limit = 2, wall_dose_limit = 5;       // [%]
constexpr double temperature_limit = 1;                          // [K]
constexpr std::array<double, 2> damage_limit{5, 10};             // [%] at absorptance 0.35 and 0.8

std::optional<Weather> measured(const Place& place) {
    const auto path = outside_file(std::string("weather/") + place.file + "_TMY3.csv");
    if (!path) return std::nullopt;
    return read_weather(path->string());
}

double percent(double made, double real) { return 100 * (made / real - 1); }

/// The error that is largest in size.
double worse(double a, double b) { return std::abs(b) > std::abs(a) ? b : a; }

/// One line of the documentation's tables: the worst of the seeds on each plane.
struct Row {
    std::array<double, 5> dose{};
    std::array<std::array<double, 5>, 2> temperature{}, damage{};
};

void add(Row& row, const YearExposure& made, const YearExposure& real, const YearExposure& reference,
         const std::vector<Clock>& clocks) {
    for (std::size_t p = 0; p < planes.size(); ++p) {
        row.dose[p] = worse(row.dose[p], percent(made[p][0].dose, real[p][0].dose));
        for (std::size_t a = 0; a < absorptances.size(); ++a) {
            row.temperature[a][p] = worse(row.temperature[a][p], made[p][a].dose_temperature - real[p][a].dose_temperature);
            for (std::size_t c = 0; c < clocks.size(); ++c)
                row.damage[a][p] = worse(row.damage[a][p], percent(damage(made[p][a], reference, clocks[c], c),
                                                                   damage(real[p][a], reference, clocks[c], c)));
        }
    }
}

std::string cells(const std::array<double, 5>& values) {
    std::string text;
    for (const double v : values) {
        char cell[32];
        std::snprintf(cell, sizeof cell, " %+.1f", v);
        text += cell;
    }
    return text + " |";
}

}  // namespace

TEST_CASE("a typical year ages every sealant on roof and walls as the measured hours do", "[reference][climate]") {
    const auto reference_weather = measured(places[0]);
    if (!reference_weather) return;
    const auto clocks = clocks_of(Catalogue::built_in());
    REQUIRE(clocks.size() >= 10);
    const YearExposure reference = exposure_of(*reference_weather, clocks);
    for (const Place& place : places) {
        const auto weather = measured(place);
        if (!weather) continue;
        const YearExposure real = exposure_of(*weather, clocks);
        const Station station = find_station(place.id);
        for (int seed = 0; seed < seeds; ++seed) {
            const YearExposure made = exposure_of(typical_year(station, static_cast<std::uint64_t>(seed)), clocks);
            for (std::size_t p = 0; p < planes.size(); ++p) {
                INFO(place.name << ", " << planes[p].name << ", seed " << seed);
                CHECK(std::abs(percent(made[p][0].dose, real[p][0].dose)) <= (p == 0 ? roof_dose_limit : wall_dose_limit));
                for (std::size_t a = 0; a < absorptances.size(); ++a) {
                    INFO("absorptance " << absorptances[a]);
                    CHECK(std::abs(made[p][a].dose_temperature - real[p][a].dose_temperature) <= temperature_limit);
                    for (std::size_t c = 0; c < clocks.size(); ++c) {
                        INFO(clocks[c].family);
                        CHECK(std::abs(percent(damage(made[p][a], reference, clocks[c], c),
                                               damage(real[p][a], reference, clocks[c], c))) <= damage_limit[a]);
                    }
                }
            }
        }
        count_published("NREL TMY3", static_cast<int>(5 + 10 + 10 * clocks.size()));
    }
}

TEST_CASE("a typical year has the station's sun, wind and warmth in sunshine", "[reference][climate]") {
    // The station table's figures are computed from the TMY3 hours; the made hours have to give them back.
    // Known misses of the temperature in sunshine: Chicago April -0.39 K, Golden November -0.17 K. There warm and sunny
    // days go together more closely than the course of the day and the link of days can be bent.
    int months = 0, close_months = 0;
    for (const Place& place : places) {
        INFO(place.name);
        const Station station = find_station(place.id);
        const Weather year = typical_year(station);
        double light = 0, light_time = 0, sun_hours_count = 0, wind = 0, wind_squares = 0;
        for (Eigen::Index i = 0; i < year.size(); ++i) {
            light += year.ghi[i];
            light_time += year.ghi[i] * (static_cast<double>(i % 24) + 0.5);
            if (year.ghi[i] <= 20) continue;
            sun_hours_count += 1;
            wind += year.wind_speed[i];
            wind_squares += year.wind_speed[i] * year.wind_speed[i];
        }
        CHECK(light_time / light == Approx(station.sun_centroid).margin(0.01));
        CHECK(std::sqrt(wind_squares * sun_hours_count / (wind * wind) - 1) == Approx(station.wind_daytime_cv).margin(0.005));
        int first = 0;
        for (int m = 0; m < 12; ++m) {
            INFO("month " << m + 1);
            const int hours = 24 * std::array{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}[static_cast<std::size_t>(m)];
            const auto ghi = year.ghi.segment(first, hours);
            const MonthNormals& month = station.months[static_cast<std::size_t>(m)];
            CHECK((ghi * year.wind_speed.segment(first, hours)).sum() / ghi.sum() == Approx(month.wind_when_sunny).margin(0.01));
            const double warmth = (ghi * year.air_temperature.segment(first, hours)).sum() / ghi.sum();
            CHECK(warmth == Approx(month.temperature_when_sunny).margin(0.40));
            ++months;
            close_months += std::abs(warmth - month.temperature_when_sunny) <= 0.15;
            first += hours;
        }
        count_published("NREL TMY3", 26);
    }
    CHECK(close_months >= months - 2);
}

// Hidden: `libseal_tests "[.error-table]"` prints the tables of docs/typical_year.md.
TEST_CASE("errors of typical years, as tables", "[.error-table]") {
    const auto reference_weather = measured(places[0]);
    if (!reference_weather) return;
    const auto clocks = clocks_of(Catalogue::built_in());
    const YearExposure reference = exposure_of(*reference_weather, clocks);
    std::vector<std::array<double, 4>> by_family(clocks.size());  // worst and squares at each absorptance
    std::printf("| station | dose %% | temperature K, 0.35 | K, 0.8 | damage %%, 0.35 | damage %%, 0.8 |\n|---|---|---|---|---|---|\n");
    int runs = 0;
    for (const Place& place : places) {
        const auto weather = measured(place);
        REQUIRE(weather);
        const YearExposure real = exposure_of(*weather, clocks);
        Row row;
        for (int seed = 0; seed < seeds; ++seed, ++runs) {
            const auto made = exposure_of(typical_year(find_station(place.id), static_cast<std::uint64_t>(seed)), clocks);
            add(row, made, real, reference, clocks);
            for (std::size_t c = 0; c < clocks.size(); ++c)
                for (std::size_t p = 0; p < planes.size(); ++p)
                    for (std::size_t a = 0; a < 2; ++a) {
                        const double e = percent(damage(made[p][a], reference, clocks[c], c), damage(real[p][a], reference, clocks[c], c));
                        by_family[c][2 * a] += e * e;
                        by_family[c][2 * a + 1] = worse(by_family[c][2 * a + 1], e);
                    }
        }
        std::printf("| %s |%s%s%s%s%s\n", place.name, cells(row.dose).c_str(), cells(row.temperature[0]).c_str(),
                    cells(row.temperature[1]).c_str(), cells(row.damage[0]).c_str(), cells(row.damage[1]).c_str());
    }
    std::printf("\n| family | rms %%, 0.35 | worst | rms %%, 0.8 | worst |\n|---|---|---|---|---|\n");
    for (std::size_t c = 0; c < clocks.size(); ++c)
        std::printf("| %s | %.2f | %+.1f | %.2f | %+.1f |\n", clocks[c].family.c_str(), std::sqrt(by_family[c][0] / (5 * runs)),
                    by_family[c][1], std::sqrt(by_family[c][2] / (5 * runs)), by_family[c][3]);
    CHECK(runs == static_cast<int>(places.size()) * seeds);
}
