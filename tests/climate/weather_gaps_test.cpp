#include "support/catch.hpp"

#include <cmath>
#include <limits>

#include "libseal/climate/moisture.hpp"
#include "libseal/climate/read.hpp"
#include "libseal/climate/sun.hpp"
#include "support/problems.hpp"

using namespace libseal;

namespace {

constexpr double unknown = std::numeric_limits<double>::quiet_NaN();

/// Synthetic: three days on the equator under one clearness of the sky, with round figures otherwise.
Weather even_days() {
    Weather w;
    w.site = {"Even", 0, 0, 0, 0};
    const Eigen::Index n = 72;
    w.time_utc.resize(n);
    for (Eigen::Index i = 0; i < n; ++i) w.time_utc[i] = make_instant(2024, 7, 1) + (i + 1) * 3600;
    for (const auto& name : weather_column_names()) weather_column(w, name) = Column::Constant(n, unknown);
    const SunHours sun = sun_hours(w);
    const auto up = sun.cos_zenith > 0;
    w.ghi = up.select(0.6 * sun.extraterrestrial * sun.cos_zenith, 0.0);
    w.dhi = up.select(0.2 * sun.extraterrestrial * sun.cos_zenith, 0.0);
    w.dni = up.select(0.4 * sun.extraterrestrial, 0.0);
    w.air_temperature = Column::Constant(n, 20);
    w.dew_point = Column::Constant(n, 10);
    w.wind_speed = Column::Constant(n, 3);
    w.wind_direction = Column::Constant(n, 90);
    w.precipitation = Column::Zero(n);
    return w;
}

Weather read_again(const Weather& weather, const std::string& gaps, int longest = 6) {
    ReadWeatherOptions options;
    options.gaps = gaps;
    options.longest_fill = longest;
    return read_weather_text(weather_csv(weather), "days.csv", options);
}

/// What was done with the run of `column` that begins at `first`; "" if there is none.
std::string rule_of(const Weather& weather, const std::string& column, Eigen::Index first, Eigen::Index count) {
    for (const Gap& gap : weather.gaps)
        if (gap.column == column && gap.first == first && gap.count == count) return gap.filled;
    return "";
}

}  // namespace

TEST_CASE("short gaps are filled on a straight line, directions the short way around, rain never", "[law][climate]") {
    Weather w = even_days();
    const auto hole = [](Column& c, Eigen::Index first, double before, double after) {
        c[first - 1] = before;
        c.segment(first, 2).setConstant(unknown);
        c[first + 2] = after;
    };
    hole(w.air_temperature, 10, 21, 27);   // a third of the way each: 23 and 25
    hole(w.wind_direction, 20, 350, 20);   // 30 degrees through north: 0 and 10
    hole(w.wind_direction, 30, 40, 310);   // 90 degrees back through north: 10 and 340
    hole(w.precipitation, 40, 0, 0);
    w.wind_speed.head(2).setConstant(unknown);
    w.wind_speed.tail(1).setConstant(unknown);
    w.wind_speed.segment(30, 6).setConstant(unknown);
    w.wind_speed.segment(50, 7).setConstant(unknown);
    const Weather filled = read_again(w, "interpolate");
    CHECK(filled.air_temperature[10] == Approx(23));
    CHECK(filled.air_temperature[11] == Approx(25));
    CHECK(rule_of(filled, "air_temperature", 10, 2) == "linear");
    CHECK(std::remainder(filled.wind_direction[20], 360) == Approx(0).margin(1e-9));
    CHECK(filled.wind_direction[21] == Approx(10));
    CHECK(filled.wind_direction[30] == Approx(10));
    CHECK(filled.wind_direction[31] == Approx(340));
    CHECK(filled.precipitation.segment(40, 2).isNaN().all());
    CHECK(rule_of(filled, "precipitation", 40, 2) == "no");
    // Six hours are filled, seven are too many, and the ends have a neighbour on one side only.
    CHECK((filled.wind_speed.segment(30, 6) == 3).all());
    CHECK(filled.wind_speed.segment(50, 7).isNaN().all());
    CHECK(filled.wind_speed.isNaN().count() == 7 + 3);
    CHECK(rule_of(filled, "wind_speed", 50, 7) == "no");
    CHECK(rule_of(filled, "wind_speed", 71, 1) == "no");
    // Nothing is filled where gaps are only reported.
    const Weather open = read_again(w, "report");
    CHECK(open.air_temperature.isNaN().count() == 2);
    CHECK(rule_of(open, "air_temperature", 10, 2) == "no");
}

TEST_CASE("gaps of the light are filled through the clearness of the sky", "[law][climate]") {
    const Weather whole = even_days();
    const auto without = [&](Eigen::Index first, Eigen::Index count, int longest) {
        Weather w = whole;
        for (Column* c : {&w.ghi, &w.dni, &w.dhi}) c->segment(first, count).setConstant(unknown);
        return read_again(w, "interpolate", longest);
    };
    // Under one clearness every gap of which a neighbour saw the sun gives back what was taken out: about noon, from the night into the
    // morning, from the afternoon into the night, and by night. The sun of the equator rises and sets near 6 and 18 h.
    for (const Eigen::Index first : {10, 3, 16, 21}) {
        INFO("from hour " << first);
        REQUIRE(whole.ghi[first - 1] * whole.ghi[first + 4] == Approx(first == 10 ? whole.ghi[9] * whole.ghi[14] : 0));
        const Weather filled = without(first, 4, 6);
        for (const char* name : {"ghi", "dni", "dhi"}) {
            INFO(name);
            CHECK((weather_column(filled, name) - weather_column(whole, name)).abs().maxCoeff() < 1e-6);
            CHECK(rule_of(filled, name, first, 4) == "clearness");
        }
    }
    // From night to night nobody saw the day: it stays open, whatever length may be filled.
    const Weather day = without(4, 16, 24);
    CHECK(day.ghi.segment(4, 16).isNaN().all());
    CHECK(rule_of(day, "ghi", 4, 16) == "no");
    // Clearness 0.3 before and 0.7 after: 0.5 between.
    Weather w = whole;
    w.ghi[10] *= 0.3 / 0.6;
    w.ghi[11] = unknown;
    w.ghi[12] *= 0.7 / 0.6;
    CHECK(read_again(w, "interpolate").ghi[11] == Approx(whole.ghi[11] * 0.5 / 0.6));
}

TEST_CASE("humidity follows from temperature and dew point, also where the temperature was filled first", "[law][climate]") {
    Weather w = even_days();
    w.air_temperature[5] = unknown;  // between two hours of 20 degC
    w.dew_point.segment(30, 8).setConstant(unknown);
    w.relative_humidity.segment(30, 8).setConstant(50);
    w.relative_humidity[33] = 0;  // dry beyond any dew point
    w.dew_point[60] = 20.5;       // within the errors of two instruments: saturated
    const double humidity = 100 * saturation_pressure(10) / saturation_pressure(20);
    const Weather open = read_again(w, "report"), filled = read_again(w, "interpolate");
    CHECK(open.relative_humidity[4] == Approx(humidity));
    CHECK(std::isnan(open.relative_humidity[5]));
    CHECK(filled.relative_humidity[5] == Approx(humidity));
    for (const Weather* read : {&open, &filled}) {
        CHECK(saturation_pressure(read->dew_point[30]) == Approx(0.5 * saturation_pressure(20)));
        CHECK(read->relative_humidity[60] == 100);
    }
    CHECK(std::isnan(open.dew_point[33]));
    CHECK(rule_of(open, "dew_point", 33, 1) == "no");
    CHECK(rule_of(open, "dew_point", 30, 3) == "from temperature and relative humidity");
    CHECK(rule_of(open, "dew_point", 34, 4) == "from temperature and relative humidity");
    CHECK(rule_of(open, "relative_humidity", 0, 5) == "from temperature and dew point");
}

TEST_CASE("a hole is refused where it is asked for, a column that is not there is none", "[bad_input][climate]") {
    Weather w = even_days();  // no pressure, no cover, no humidity but what follows from the dew point
    CHECK(libseal_test::problems_of([&] { read_again(w, "refuse"); }).empty());
    w.wind_speed.segment(7, 3).setConstant(unknown);
    const auto problems = libseal_test::problems_of([&] { read_again(w, "refuse"); });
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].field == "wind_speed");
    CHECK(problems[0].got.find("none in 3 intervals") == 0);
    CHECK(problems[0].got.find("2024-07-01T08:00") != std::string::npos);
    CHECK(problems[0].got.find("2024-07-01T10:00") != std::string::npos);
}
