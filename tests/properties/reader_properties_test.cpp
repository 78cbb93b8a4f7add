#include <cmath>

#include "climate/weather_store.hpp"
#include "coach/layout_table.hpp"
#include "libseal/catalogue/catalogue.hpp"
#include "libseal/climate/read.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/coach/read.hpp"
#include "libseal/core/error.hpp"
#include "libseal/survey/read.hpp"
#include "libseal/work/shop.hpp"
#include "support/property.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

Date day_between(Date first, Date last) { return {*rc::gen::inRange(first.days, last.days + 1)}; }
std::string name_of(const char* stem) { return stem + std::to_string(*rc::gen::inRange(0, 5)); }
double share_of(double low, double high) { return low + (high - low) * *rc::gen::inRange(0, 1001) / 1000.0; }

/// A layout with options anywhere in their ranges.
Coach any_coach() {
    const std::string layout = *rc::gen::elementOf(layout_names());
    LayoutOptions options = layout_options(layout);
    options.id = name_of("coach");
    options.installed_from = day_between(make_date(1990, 1, 1), make_date(2026, 1, 1));
    options.installed_to = options.installed_from + *rc::gen::inRange(0, 400);
    for (const auto& option : detail::count_options()) {
        const auto range = detail::option_range(layout, option.name);
        options.*option.field = *rc::gen::inRange(static_cast<int>(range.low), static_cast<int>(range.high) + 1);
    }
    for (const auto& option : detail::switch_options())
        options.*option.field = detail::option_range(layout, option.name).high >= 1 && *rc::gen::arbitrary<bool>();
    const auto lengths = detail::option_range(layout, "length");
    try {
        return detail::layout_coach(layout, share_of(lengths.low, lengths.high), options);
    } catch (const ValueError& error) {
        for (const Problem& problem : error.problems()) RC_ASSERT(!problem.field.empty() && !problem.expected.empty());
    }
    RC_DISCARD("so much has no room");
}

Finding any_finding(const Coach& coach) {
    Finding finding;
    finding.coach = coach.id;
    const Joint& joint = coach.joints[*rc::gen::inRange<std::size_t>(0, coach.joints.size())];
    finding.joint = joint.id;
    finding.layer = *rc::gen::arbitrary<bool>() ? joint.layers.front().kind : "";
    finding.sign = *rc::gen::elementOf(sign_names());
    finding.date = day_between(make_date(2021, 1, 1), make_date(2026, 11, 25));
    if (*rc::gen::arbitrary<bool>()) finding.value = share_of(0, 20), finding.unit = *rc::gen::element<std::string>("mm", "percent");
    if (*rc::gen::arbitrary<bool>()) finding.share = share_of(0, 1);
    finding.size = *rc::gen::element<std::string>("", "slight", "clear", "severe");
    finding.reaches_fastener = *rc::gen::arbitrary<bool>();
    finding.note = name_of("note \"quoted\", ");
    if (finding.sign == "not_inspected") finding.reason = "snow";
    return finding;
}

Shop any_shop() {
    Shop shop;
    shop.name = name_of("shop ");
    shop.labour_rate_per_h = *rc::gen::inRange(0, 100000);
    shop.tax_percent = share_of(0, 100);
    for (int i = 0, count = *rc::gen::inRange(1, 5); i < count; ++i) {
        const int from = *rc::gen::inRange(0, 900);
        shop.people.push_back({"p" + std::to_string(i), {}, from, from + *rc::gen::inRange(1, 500)});
    }
    shop.open_from = 0;
    shop.open_to = 1440;
    shop.bays = *rc::gen::inRange(1, 20);
    for (bool& works : shop.working_days) works = *rc::gen::arbitrary<bool>();
    shop.working_days[*rc::gen::inRange<std::size_t>(0, 7)] = true;
    for (int left = *rc::gen::inRange(0, 4); left > 0; --left) {
        const Date from = day_between(make_date(2027, 1, 1), make_date(2028, 1, 1));
        shop.closed.push_back({from, from + *rc::gen::inRange(1, 50), name_of("reason ")});
        const std::int64_t begin = std::int64_t{from.days} * 1440 + *rc::gen::inRange(0, 700);
        shop.absences.push_back({shop.people.front().id, begin, begin + *rc::gen::inRange(1, 9000), "away"});
        shop.overtime.push_back({shop.people.back().id, begin, begin + *rc::gen::inRange(1, 700)});
    }
    shop.sealing_months = {1 + *rc::gen::inRange(0, 12)};
    return shop;
}

Weather any_weather() {
    Weather weather;
    weather.site.latitude = share_of(-90, 90);
    weather.site.longitude = share_of(-180, 180);
    weather.site.elevation = share_of(-1000, 9000);
    weather.site.utc_offset = share_of(-15, 15);  // all that check_weather allows
    const Eigen::Index rows = *rc::gen::inRange(2, 50);
    weather.step = *rc::gen::element(60.0, 900.0, 3600.0, 10800.0);
    weather.sun_offset = -weather.step / 2;
    weather.time_utc.resize(rows);
    const Instant first = make_instant(*rc::gen::inRange(1970, 2100), 1 + *rc::gen::inRange(0, 12), 1);
    for (Eigen::Index i = 0; i < rows; ++i) weather.time_utc[i] = first + i * static_cast<Instant>(weather.step);
    for (const std::string& name : weather_column_names()) {
        Column& column = weather_column(weather, name);
        column.resize(rows);
        const bool pressure = name == "pressure";
        for (Eigen::Index i = 0; i < rows; ++i)
            column[i] = *rc::gen::inRange(0, 10) == 0 ? std::nan("") : pressure ? share_of(30000, 120000) : share_of(0, 10);
    }
    return weather;
}

bool same(const Column& a, const Column& b) { return a.size() == b.size() && ((a == b) || (a.isNaN() && b.isNaN())).all(); }

}  // namespace

TEST_CASE("readers take what writers give", "[property]") {
    check_property("a coach of any layout is sound, and read as it was written", 60, [] {
        const Coach coach = any_coach();
        check_coach(coach, Catalogue::built_in());
        const std::string text = coach_json(coach);
        const Coach again = read_coach_text(text, "f.json");
        RC_ASSERT(coach_json(again) == text);
        RC_ASSERT(fleet_json(read_fleet_text(fleet_json(fleet_of(coach)), "f.json")) == fleet_json(fleet_of(again)));
    });
    check_property("findings of a coach are read as they were written", 60, [] {
        const Coach coach = any_coach();
        std::vector<Finding> findings;
        for (int left = *rc::gen::inRange(0, 8); left > 0; --left) findings.push_back(any_finding(coach));
        const std::string text = findings_json(findings);
        try {
            RC_ASSERT(findings_json(read_findings_text(text, "f.json")) == text);
        } catch (const ValueError& error) {
            // Only one sign of a place and day twice is refused.
            for (const Problem& problem : error.problems()) RC_ASSERT(problem.expected.find("once") != std::string::npos);
        }
    });
    check_property("a shop is read as it was written", 150, [] {
        const Shop shop = any_shop();
        check_shop(shop);
        const std::string text = shop_json(shop);
        RC_ASSERT(shop_json(read_shop_text(text, "f.json")) == text);
    });
    check_property("weather is kept with all its bits, and read as it was written", 60, [] {
        const Weather weather = any_weather();
        check_weather(weather);
        const auto kept = detail::unpacked(detail::packed(weather, "name"), "name");
        RC_ASSERT(kept.has_value());
        for (const std::string& name : weather_column_names()) RC_ASSERT(same(weather_column(*kept, name), weather_column(weather, name)));
        const Weather again = read_weather_text(weather_csv(weather), "f.csv");
        RC_ASSERT(again.size() == weather.size());
        RC_ASSERT((again.time_utc == weather.time_utc).all());
        for (const std::string& name : weather_column_names())
            if (name != "dew_point" && name != "relative_humidity")  // completed from each other
                RC_ASSERT(same(weather_column(again, name), weather_column(weather, name)));
    });
}
