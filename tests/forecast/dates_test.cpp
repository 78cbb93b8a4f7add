// A forecast of dates alone says what the whole one says.

#include "forecast/dates.hpp"

#include "libseal/climate/station.hpp"
#include "libseal/coach/layouts.hpp"
#include "support/catch.hpp"

using namespace libseal;

TEST_CASE("a forecast of dates alone has the bits of the whole one", "[forecast][law]") {
    // Synthetic: two layouts, one joint looked at.
    Fleet fleet;
    for (const std::string name : {"travel_trailer", "camper_van"}) {
        LayoutOptions options = layout_options(name);
        options.id = name;
        options.model_line = "synthetic";
        options.installed_from = make_date(2019, 3, 1);
        options.installed_to = make_date(2019, 9, 1);
        fleet.coaches.push_back(name == std::string("camper_van") ? camper_van(6.0, options) : travel_trailer(8.0, options));
        Stay stay;
        stay.from = options.installed_from;
        stay.to = make_date(9999, 1, 1);
        stay.place = "home";
        stay.station = find_station("south bend").id;
        stay.cover = "open";
        fleet.coaches.back().stays = {stay};
    }
    ForecastOptions options;
    Finding finding;
    finding.coach = fleet.coaches[0].id;
    finding.joint = fleet.coaches[0].joints[0].id;
    finding.sign = "skin_cracks";
    finding.size = "clear";
    finding.share = 0.2;
    finding.date = make_date(2026, 5, 1);
    options.findings = {finding};
    const Date day = make_date(2026, 11, 25);
    const Forecast whole = forecast(fleet, day, 3, options);
    const Forecast dates = detail::forecast_of(fleet, day, 3, options, detail::Columns::dates);
    REQUIRE(dates.size() == whole.size());
    REQUIRE(whole.size() > 50);
    for (const auto column : {&Forecast::age, &Forecast::effective_age, &Forecast::due_now, &Forecast::due_90_days, &Forecast::due_1_year, &Forecast::due_2_years})
        CHECK(((dates.*column) == (whole.*column)).all());
    for (const auto column : {&Forecast::due_10, &Forecast::due_50, &Forecast::due_90, &Forecast::inspect_by})
        CHECK(((dates.*column) == (whole.*column)).all());
    CHECK(dates.coach == whole.coach);
    CHECK(dates.joint == whole.joint);
    CHECK(dates.layer == whole.layer);
    CHECK(dates.condition.size() == 0);
    CHECK(dates.flag.empty());
}
