#include "libseal/climate/place_weather.hpp"

#include <limits>

#include "support/catch.hpp"
#include "support/problems.hpp"

using namespace libseal;

namespace {

constexpr double unknown = std::numeric_limits<double>::quiet_NaN();

/// Synthetic: hours of whole days in one place; only temperature and dew point are known.
Weather days(const std::string& from, int count, double latitude = 40) {
    Weather w;
    w.site = {"invented", latitude, -90, 100, -6};
    const Eigen::Index n = 24 * count;
    w.time_utc.resize(n);
    for (Eigen::Index i = 0; i < n; ++i)
        w.time_utc[i] = static_cast<Instant>(parse_date(from).days) * 86400 + 6 * 3600 + (i + 1) * 3600;
    for (const auto& name : weather_column_names()) weather_column(w, name) = Column::Constant(n, unknown);
    w.air_temperature.setConstant(10);
    w.dew_point.setConstant(5);
    return w;
}

std::string refused_field(const Weather& weather) {
    const auto problems = libseal_test::problems_of([&] { check_place_weather(weather, "home"); });
    return problems.empty() ? "" : problems[0].field;
}

}  // namespace

TEST_CASE("a month is known from 27 of its days, of any years and parts, each day counted once", "[law][climate]") {
    const Weather spring = days("2023-02-28", 307), last = days("2024-01-01", 28);  // 28 February to 31 December
    CHECK_FALSE(PlaceWeather(spring).knows_every_month());
    // 27 days of January; of February one day of 2023 and the first days of 2024.
    CHECK_FALSE(PlaceWeather({spring, last}).knows_every_month());
    CHECK_FALSE(PlaceWeather({spring, days("2024-01-01", 31 + 25)}).knows_every_month());
    CHECK(PlaceWeather({spring, days("2024-01-01", 31 + 26)}).knows_every_month());
    // Two instruments over the same fourteen days know fourteen days.
    const Weather half = days("2024-02-01", 14);
    CHECK_FALSE(PlaceWeather({spring, days("2024-01-01", 31), half, half}).knows_every_month());
    CHECK(PlaceWeather({spring, days("2024-01-01", 31), half, days("2024-02-15", 12)}).knows_every_month());
    // A recorder read out at noon: two parts make one day.
    Weather morning = days("2024-02-26", 1), evening = morning;
    morning.dew_point.tail(12).setConstant(unknown);
    evening.air_temperature.head(12).setConstant(unknown);
    CHECK_FALSE(PlaceWeather({spring, days("2024-01-01", 31 + 25), morning}).knows_every_month());
    CHECK(PlaceWeather({spring, days("2024-01-01", 31 + 25), morning, evening}).knows_every_month());
}

TEST_CASE("small values are taken for another unit only where they cannot be real", "[law][climate]") {
    // Two months of darkness are an error of the unit at 40 degrees and a winter at 65; shorter spells say nothing.
    const auto light = [](int count, double latitude, double most) {
        Weather w = days("2024-11-15", count, latitude);
        w.ghi.setConstant(most);
        return refused_field(w);
    };
    CHECK(light(60, 40, 0.9) == "home.ghi");
    CHECK(light(60, -40, 2) == "home.ghi");
    CHECK(light(60, 40, 2.1).empty());
    CHECK(light(60, 40, 0).empty());  // a sensor that was never on is not one in kilowatts
    CHECK(light(59, 40, 0.9).empty());
    CHECK(light(60, 65, 0.9).empty());
    CHECK(light(60, -65, 0.9).empty());
    const auto damp = [](Eigen::Index hours, double most) {
        Weather w = days("2024-11-15", 2);
        w.relative_humidity.head(hours).setConstant(most);
        return refused_field(w);
    };
    CHECK(damp(24, 1) == "home.relative_humidity");
    CHECK(damp(23, 1).empty());
    CHECK(damp(24, 1.1).empty());
    CHECK(damp(48, 0).empty());
    // A dew point over the air: two instruments may differ by 2 K, and half of the hours may be wrong.
    const auto above = [](Eigen::Index hours, double by) {
        Weather w = days("2024-11-15", 2);
        w.dew_point.head(hours).setConstant(10 + by);
        return refused_field(w);
    };
    CHECK(above(25, 2.1) == "home.dew_point");
    CHECK(above(24, 2.1).empty());
    CHECK(above(48, 2).empty());
}

TEST_CASE("steps of dated weather fit into hours or into days", "[bad_input][climate]") {
    const auto with_step = [](double step) {
        Weather w = days("2024-05-01", 2);
        w.step = step;
        for (Eigen::Index i = 0; i < w.size(); ++i) w.time_utc[i] = w.time_utc[0] + static_cast<Instant>(step) * i;
        return refused_field(w);
    };
    for (const double step : {60, 600, 900, 1800, 3600, 7200, 10800, 14400, 21600}) CHECK(with_step(step).empty());
    // 7 minutes; 90 minutes, which fit into a day and not on hours; 5 hours; 8 hours are too coarse for a day's course.
    for (const double step : {420, 5400, 18000, 28800}) CHECK(with_step(step) == "home.step");
}
