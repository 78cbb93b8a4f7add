#include "support/catch.hpp"

#include <limits>

#include "libseal/climate/typical_year.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/core/error.hpp"
#include "libseal/forecast/forecast.hpp"
#include "support/problems.hpp"

using namespace libseal;

namespace {

const Date as_of = parse_date("2026-11-25");

Coach trailer(const std::string& cover) {
    LayoutOptions options;
    options.id = "t1";
    options.installed_from = options.installed_to = parse_date("2022-05-01");
    Coach coach = travel_trailer(8.0, options);
    Stay stay;
    stay.from = parse_date("2022-05-01");
    stay.to = make_date(9999, 12, 31);
    stay.place = "home";
    stay.station = "725350";
    stay.cover = cover;
    stay.heading = 180;
    coach.stays = {stay};
    return coach;
}

/// The typical year of South Bend as the year 2025, five degrees warmer. Synthetic.
Weather warm_2025() {
    Weather weather = typical_year(find_station("725350"));
    weather.typical = false;
    weather.time_utc += (make_date(2025, 1, 1) - make_date(2001, 1, 1)) * Instant{86400};
    weather.air_temperature += 5;
    return weather;
}

ForecastOptions with(const PlaceWeather& weather) {
    ForecastOptions options;
    options.weather["home"] = weather;
    return options;
}

}  // namespace

TEST_CASE("a warm dated year makes every layer age faster, in that year alone", "[law][forecast]") {
    const Coach coach = trailer("open");
    const Forecast usual = forecast(coach, as_of, 5), warm = forecast(coach, as_of, 5, with(warm_2025()));
    const Forecast before = forecast(coach, parse_date("2025-01-01"), 5, with(warm_2025()));
    const Forecast usual_before = forecast(coach, parse_date("2025-01-01"), 5);
    for (Eigen::Index i = 0; i < usual.size(); ++i) {
        INFO(usual.joint[static_cast<std::size_t>(i)] << " " << usual.layer[static_cast<std::size_t>(i)]);
        CHECK(warm.effective_age[i] > usual.effective_age[i]);
        CHECK(warm.due_50[i] <= usual.due_50[i]);
        CHECK(before.effective_age[i] == Approx(usual_before.effective_age[i]).epsilon(1e-12));
    }
    CHECK(warm.flag == usual.flag);
}

TEST_CASE("where a coach stands is known from its own weather, and far from all stations that is said", "[law][forecast]") {
    Coach coach = trailer("open");
    const Forecast named = forecast(coach, as_of, 5, with(warm_2025()));
    coach.stays[0].station.clear();
    // Own dated hours come with their site: its nearest station serves for all other days.
    const Forecast by_site = forecast(coach, as_of, 5, with(warm_2025()));
    CHECK((by_site.effective_age == named.effective_age).all());
    CHECK((by_site.due_50 == named.due_50).all());
    const auto refusal = libseal_test::problems_of([&] { forecast(coach, as_of, 5); });
    REQUIRE(refusal.size() == 1);
    CHECK(refusal[0].field == "t1.stays");
    CHECK(refusal[0].expected == "a station, a latitude and longitude, or own weather for the place");
    // In the middle of the South Pacific no station is near.
    coach.stays[0].latitude = -40;
    coach.stays[0].longitude = -120;
    const std::string far = "nearest station is ";
    const Forecast bare = forecast(coach, as_of, 5);
    CHECK(bare.flag[0].find(far) != std::string::npos);
    CHECK(bare.flag[0].find("give own weather") != std::string::npos);
    // A whole year of own hours: its monthly means stand for the other days, not the far station.
    Weather whole = warm_2025();
    whole.site.latitude = -40;
    whole.site.longitude = -120;
    const Forecast own_year = forecast(coach, as_of, 5, with(whole));
    CHECK(own_year.flag[0].find("days beyond the own weather are its monthly means") != std::string::npos);
    CHECK((own_year.effective_age != bare.effective_age).any());
    // Half a year is not enough for that.
    Weather half = whole;
    for (Column* column : {&half.air_temperature, &half.dew_point, &half.ghi, &half.dni, &half.dhi, &half.wind_speed})
        column->tail(4000).setConstant(std::numeric_limits<double>::quiet_NaN());
    CHECK(forecast(coach, as_of, 5, with(half)).flag[0].find("give a typical year too") != std::string::npos);
}

TEST_CASE("dated weather without light or wind is said on the coach, and serves under a cover", "[bad_input][forecast]") {
    constexpr double unknown = std::numeric_limits<double>::quiet_NaN();
    Weather dark = warm_2025();
    for (Column* column : {&dark.ghi, &dark.dni, &dark.dhi}) column->setConstant(unknown);
    CHECK(PlaceWeather(dark).missing_columns() == "ghi");
    const Forecast open = forecast(trailer("open"), as_of, 5, with(dark)), usual = forecast(trailer("open"), as_of, 5);
    CHECK(open.flag[0].find("own weather without ghi: what stands in the open ages by typical days") == 0);
    CHECK((open.effective_age == usual.effective_age).all());
    CHECK((forecast(trailer("covered"), as_of, 5, with(dark)).effective_age > forecast(trailer("covered"), as_of, 5).effective_age).all());
    dark.wind_speed.setConstant(unknown);
    CHECK(PlaceWeather(dark).missing_columns() == "ghi and wind_speed");
    CHECK(PlaceWeather({dark, warm_2025()}).missing_columns().empty());
    CHECK(PlaceWeather(typical_year(find_station("725350"))).missing_columns().empty());
    dark.dew_point.setConstant(unknown);
    try {
        forecast(trailer("open"), as_of, 5, with(dark));
        FAIL("must throw");
    } catch (const ValueError& error) {
        CHECK(error.problems().front().field == "weather[\"home\"]");
        CHECK(error.problems().front().hint == "dew_point_from_humidity gives the dew point");
    }
}
