#include "support/catch.hpp"

#include <cmath>

#include "libseal/climate/typical_year.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/core/error.hpp"
#include "libseal/forecast/forecast.hpp"
#include "support/trailers.hpp"

using namespace libseal;

namespace {

const Date as_of = make_date(2026, 11, 25);

Coach trailer(const std::string& station, const std::string& installed = "2022-05-01") {
    return libseal_test::standing(libseal_test::trailer_of(8.0, parse_date(installed)), libseal_test::stay_since(make_date(2015, 1, 1), station));
}

/// A joint of the coach whose cap is of a family.
std::string joint_with(const Coach& coach, const std::string& family, const std::string& surface) {
    for (const auto& joint : coach.joints)
        if (joint.surface == surface)
            if (const Layer* cap = layer_of(joint, "cap_bead"); cap && cap->family == family) return joint.id;
    return "";
}

Finding look(const std::string& joint, const char* date, const std::string& sign) {
    Finding finding;
    finding.coach = "t1";
    finding.joint = joint;
    finding.layer = "cap_bead";
    finding.sign = sign;
    finding.date = parse_date(date);
    return finding;
}

}  // namespace

TEST_CASE("every layer of a coach has a forecast in order", "[forecast]") {
    const Coach coach = trailer("725350");
    const Forecast result = forecast(coach, as_of, 5);
    std::size_t layers = 0;
    for (const auto& joint : coach.joints) layers += joint.layers.size();
    REQUIRE(result.size() == static_cast<Eigen::Index>(layers));
    for (Eigen::Index i = 0; i < result.size(); ++i) {
        INFO(result.joint[static_cast<std::size_t>(i)] << " " << result.layer[static_cast<std::size_t>(i)]);
        CHECK(result.due_10[i] < result.due_50[i]);
        CHECK(result.due_50[i] < result.due_90[i]);
        CHECK(result.due_now[i] <= result.due_90_days[i]);
        CHECK(result.due_90_days[i] <= result.due_1_year[i]);
        CHECK(result.due_1_year[i] <= result.due_2_years[i]);
        CHECK(result.due_2_years[i] <= result.due_5_years[i]);
        CHECK(result.share_light[i] + result.share_heat[i] + result.share_moisture[i] + result.share_movement[i] +
                  result.share_workmanship[i] + result.share_shared[i] ==
              Approx(1));
        CHECK(result.open_now[i] <= result.open_1_year[i]);
        CHECK(result.inspect_by[i] >= as_of.days);
        CHECK(result.condition[i] >= 0);
        CHECK(result.condition[i] <= 5);
        CHECK(result.age[i] == Approx(years_between(parse_date("2022-05-01"), as_of)));
    }
}

TEST_CASE("lap sealant on the reference roof comes due after its life in the catalogue", "[forecast]") {
    Coach coach = trailer("725350", "2026-11-25");
    for (auto& surface : coach.surfaces) surface.finish = "white_gelcoat";
    const Catalogue catalogue = Catalogue::built_in();
    const std::string overlay = R"({"schema":"libseal/catalogue/1","values":{"finish/white_gelcoat/absorptance":
        {"value":0.35,"unit":"-","low":0.1,"high":0.95,"source":"synthetic","mark":"judgement"}}})";
    ForecastOptions options;
    options.catalogue = catalogue.with_overlay(overlay, "test");
    const std::string joint = joint_with(coach, "self_levelling_lap", "roof");
    REQUIRE_FALSE(joint.empty());
    const Forecast result = forecast(coach, as_of, 5, options);
    const Eigen::Index row = result.row("t1", joint, "cap_bead");
    REQUIRE(row >= 0);
    // Four years at the reference; the day of the year at the start shifts it by less than a season.
    CHECK(years_between(as_of, Date{result.due_50[row]}) == Approx(4.0).margin(0.3));
    CHECK(years_between(as_of, Date{result.due_10[row]}) == Approx(4.0 * 0.465).margin(0.3));
}

TEST_CASE("a warmer, sunnier place brings the date forward and a roof over the coach puts it off", "[law]") {
    const Coach north = trailer("725350"), south = trailer("722780");
    Coach covered = north;
    covered.stays[0].cover = "covered";
    const std::string joint = joint_with(north, "self_levelling_lap", "roof");
    const auto due = [&](const Coach& coach) {
        const Forecast f = forecast(coach, as_of, 5);
        return f.due_50[f.row("t1", joint, "cap_bead")];
    };
    CHECK(due(south) < due(north));
    CHECK(due(covered) > due(north));
}

TEST_CASE("looks move the date, work starts anew, a declined job changes nothing", "[law]") {
    const Coach coach = trailer("725350");
    const std::string joint = joint_with(coach, "self_levelling_lap", "roof");
    const auto row_of = [&](const ForecastOptions& options) {
        const Forecast f = forecast(coach, as_of, 5, options);
        const Eigen::Index row = f.row("t1", joint, "cap_bead");
        return std::make_pair(f.due_50[row], f.condition[row]);
    };
    const auto [plain, condition] = row_of({});
    ForecastOptions options;
    options.findings = {look(joint, "2026-10-01", "clean_look")};
    CHECK(row_of(options).first > plain);
    CHECK(row_of(options).second < condition);
    options.findings = {look(joint, "2026-10-01", "missing")};
    CHECK(row_of(options).first < plain);

    WorkDone work;
    work.coach = "t1";
    work.joint = joint;
    work.layer = "cap_bead";
    work.date = parse_date("2026-10-02");
    work.action = "cut_out_and_reseal";
    work.family = "self_levelling_lap";
    options.work_done = {work};
    CHECK(row_of(options).first > plain);
    CHECK(row_of(options).second < 0.5);
    options.findings.clear();
    options.work_done[0].declined = true;
    CHECK(row_of(options).first == plain);
}

TEST_CASE("an unknown installation date widens the forecast around the known one", "[law]") {
    Coach known = trailer("725350", "2022-07-02"), unknown = known;
    for (auto& joint : unknown.joints)
        for (auto& layer : joint.layers) {
            layer.installed_from = parse_date("2021-01-01");
            layer.installed_to = parse_date("2024-01-01");
        }
    const Forecast a = forecast(known, as_of, 5), b = forecast(unknown, as_of, 5);
    const Eigen::Index row = a.row("t1", joint_with(known, "self_levelling_lap", "roof"), "cap_bead");
    CHECK(b.due_90[row] - b.due_10[row] > a.due_90[row] - a.due_10[row]);
    CHECK(std::abs(b.due_50[row] - a.due_50[row]) < 120);
}

TEST_CASE("threads, equal stays and the company of other coaches change no bit", "[law]") {
    const Coach coach = trailer("725350");
    Coach cut = coach, other = trailer("722780");
    other.id = "t2";
    cut.stays.push_back(cut.stays[0]);
    cut.stays[0].to = cut.stays[1].from = parse_date("2024-03-09");
    ForecastOptions one, eight;
    one.threads = 1;
    eight.threads = 8;
    const Forecast a = forecast(coach, as_of, 5, one), b = forecast(cut, as_of, 5, eight);
    const Forecast c = forecast(Fleet{{coach, other}}, as_of, 5, eight);
    for (Eigen::Index i = 0; i < a.size(); ++i) {
        REQUIRE(a.due_50[i] == b.due_50[i]);
        REQUIRE(a.condition[i] == c.condition[i]);
        REQUIRE(a.due_1_year[i] == c.due_1_year[i]);
    }
}

TEST_CASE("a user's own weather south of the equator works", "[forecast]") {
    // Synthetic: the South Bend year, half a year later and mirrored to 41.7 S.
    Weather own = typical_year(find_station("725350"));
    const Weather north = own;
    const Eigen::Index half = 182 * 24;  // whole days: noon stays noon
    for (const auto& name : weather_column_names()) {
        const Column& from = weather_column(north, name);
        Column& to = weather_column(own, name);
        for (Eigen::Index i = 0; i < own.size(); ++i) to[i] = from[(i + half) % own.size()];
    }
    own.site.latitude = -41.7;
    Coach coach = trailer("");
    coach.stays[0].station = "";
    coach.stays[0].place = "south";
    ForecastOptions options;
    options.weather["south"] = own;
    const Forecast south = forecast(coach, as_of, 5, options);
    const Forecast there = forecast(trailer("725350"), as_of, 5);
    const Eigen::Index row = south.row("t1", joint_with(coach, "self_levelling_lap", "roof"), "cap_bead");
    CHECK(std::abs(south.due_50[row] - there.due_50[row]) < 200);
}

TEST_CASE("where a coach stands may not contradict itself", "[bad_input]") {
    Coach coach = trailer("725350");
    coach.stays[0].latitude = 33.4;
    coach.stays[0].longitude = -112.0;
    try {
        forecast(coach, as_of, 5);
        FAIL("must throw");
    } catch (const ValueError& error) {
        CHECK(error.problems().front().field == "t1.stays");
        CHECK(error.problems().front().got.find("km away") != std::string::npos);
    }
    coach.stays[0].station.clear();
    ForecastOptions options;
    options.weather[""] = typical_year(find_station("725350"));
    CHECK(forecast(coach, as_of, 5, options).flag[0].find("own weather is from a place") == 0);
}

TEST_CASE("a forecast with a session has the same bits, first and again", "[law]") {
    const Coach coach = trailer("725350");
    ForecastOptions options;
    options.session = std::make_shared<Session>(options.catalogue);
    const Forecast plain = forecast(coach, as_of, 5), first = forecast(coach, as_of, 5, options);
    const std::size_t clocks = options.session->clock_count();
    const Forecast again = forecast(coach, as_of, 5, options);
    CHECK(clocks > 0);
    CHECK(options.session->clock_count() == clocks);
    for (const Forecast* other : {&first, &again}) {
        CHECK((other->due_50 == plain.due_50).all());
        CHECK((other->condition == plain.condition).all());
        CHECK((other->due_1_year == plain.due_1_year).all());
        CHECK((other->share_light == plain.share_light).all());
    }
}

TEST_CASE("what cannot be forecast is refused by name", "[bad_input]") {
    Coach coach = trailer("725350");
    CHECK_THROWS_AS(forecast(coach, as_of, 0), ValueError);
    CHECK_THROWS_AS(forecast(coach, as_of, 51), ValueError);
    ForecastOptions options;
    options.findings = {look(coach.joints[0].id, "2026-12-01", "clean_look")};
    CHECK_THROWS_AS(forecast(coach, as_of, 5, options), ValueError);
    options.findings = {look("no_such_joint", "2026-10-01", "clean_look")};
    CHECK_THROWS_AS(forecast(coach, as_of, 5, options), ValueError);
    coach.stays.clear();
    CHECK_THROWS_AS(forecast(coach, as_of, 5), ValueError);
    coach = trailer("Atlantis");
    CHECK_THROWS_AS(forecast(coach, as_of, 5), ValueError);
}

TEST_CASE("what can be used but is doubtful is said on the result, with its place", "[bad_input]") {
    Coach coach = trailer("725350");
    ForecastOptions options;
    CHECK(forecast(coach, as_of, 5, options).warnings.empty());
    options.findings = {look(coach.joints[0].id, "2020-01-01", "clean_look")};
    WorkDone work;
    work.coach = "t1";
    work.joint = coach.joints[0].id;
    work.layer = "cap_bead";
    work.date = parse_date("2019-01-01");
    work.action = "reseal_over";
    options.work_done = {work};
    coach.joints[1].layers[0].installed_from = coach.joints[1].layers[0].installed_to = parse_date("2027-03-01");
    coach.stays[0].to = parse_date("2025-01-01");
    const Forecast result = forecast(coach, as_of, 5, options);
    REQUIRE(result.warnings.size() == 4);
    CHECK(result.warnings[0].field == "t1." + coach.joints[1].id + "." + coach.joints[1].layers[0].kind + ".installed");
    CHECK(result.warnings[1].field == "t1.stays");
    CHECK(result.warnings[2].field == "findings[0].date");
    CHECK(result.warnings[3].field == "work_done[0].date");
}

TEST_CASE("a stop ends a forecast", "[forecast]") {
    ForecastOptions options;
    options.watch.stop.stop();
    CHECK_THROWS_AS(forecast(trailer("725350"), as_of, 5, options), Cancelled);
}
