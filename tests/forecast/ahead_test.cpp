#include "support/catch.hpp"

#include "libseal/core/error.hpp"
#include "libseal/forecast/ahead.hpp"
#include "libseal/coach/layouts.hpp"

using namespace libseal;

TEST_CASE("looking ahead agrees with the columns of the forecast, and its spread lies round them", "[law]") {
    // Synthetic: a camper van of 2020 at South Bend.
    LayoutOptions options = layout_options("camper_van");
    options.id = "v";
    options.installed_from = options.installed_to = Date{18383};  // 2020-05-01
    Coach coach = camper_van(6.0, options);
    Stay stay;
    stay.from = Date{18383};
    stay.to = Date{2932532};
    stay.station = "725350";
    coach.stays = {stay};
    const Date as_of{20454};  // 2026-01-01
    const Forecast f = forecast(coach, as_of, 5);
    const ForecastAhead ahead = look_ahead(f, {}, {as_of, as_of + 365});
    REQUIRE(ahead.due.rows() == f.size());
    for (Eigen::Index i = 0; i < f.size(); ++i) {
        CHECK(ahead.due(i, 0) == Approx(f.due_now[i]).margin(1e-12));
        CHECK(ahead.open(i, 0) == Approx(f.open_now[i]).margin(1e-12));
        CHECK(ahead.condition_10(i, 1) <= ahead.condition_50(i, 1));
        CHECK(ahead.condition_50(i, 1) <= ahead.condition_90(i, 1));
        CHECK(ahead.condition_50(i, 0) <= ahead.condition_50(i, 1) + 1e-9);
        // The chance of being due is that of a worn share above 1, grade 2.5: the quantiles must agree with it.
        if (ahead.due(i, 1) < 0.099) CHECK(ahead.condition_90(i, 1) < 2.501);
        if (ahead.due(i, 1) > 0.101) CHECK(ahead.condition_90(i, 1) > 2.499);
        if (ahead.due(i, 1) > 0.501) CHECK(ahead.condition_50(i, 1) > 2.499);
    }
    const ForecastAhead plain = look_ahead(f, {0}, {as_of + 365}, false);
    CHECK(plain.due(0, 0) == ahead.due(0, 1));
    CHECK(plain.condition_50.size() == 0);
    CHECK_THROWS_AS(look_ahead(f, {0}, {as_of - 1}), ValueError);
    CHECK_THROWS_AS(look_ahead(f, {f.size()}, {as_of}), ValueError);
}
