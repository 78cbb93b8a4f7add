// Histories into censored lives. The histories are invented; ages are held against the forecast and the calendar.
#include "support/catch.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "libseal/core/error.hpp"
#include "libseal/forecast/forecast.hpp"
#include "libseal/forecast/shared_effects.hpp"
#include "libseal/tuning/history.hpp"
#include "tuning/tuning_fleet.hpp"

using namespace libseal;
using namespace libseal::tuning_tests;

namespace {

const std::string south_bend = "725350", phoenix = "722780";
const Date fitted = make_date(2018, 5, 1), as_of = make_date(2026, 1, 1);
const Date first = make_date(2020, 5, 1), second = make_date(2022, 5, 1), third = make_date(2024, 5, 1);

struct Case {
    Fleet fleet;
    std::vector<Finding> findings;
    HistoryOptions options;
    const Coach& coach() const { return fleet.coaches.front(); }
    const Joint& vent() const { return joint_of_type(coach(), "roof_vent_flange"); }
    void see(Date day, int grade) { findings.push_back(finding_of_grade(coach(), vent(), day, grade)); }
    LifeRecords records() const { return life_records(fleet, findings, as_of, options); }
};

Case vent_case(const std::string& station = south_bend, Date from = fitted, Date to = fitted) {
    return {fleet_of(small_coach("c", "line", station, from, to)), {}, {}};
}

/// Effective age of the vent's cap on a day as the forecast has it.
double forecast_age(const Case& c, Date day) {
    const Forecast f = forecast(c.fleet, day, 1);
    return f.effective_age[f.row("c", c.vent().id, "cap_bead")];
}

constexpr double never = std::numeric_limits<double>::infinity();

}  // namespace

TEST_CASE("findings of a chosen grade are graded so", "[tuning]") {
    const Case c = vent_case();
    for (int grade = 1; grade <= 5; ++grade)
        CHECK(grade_of_joint({finding_of_grade(c.coach(), c.vent(), first, grade)}, c.vent(), Catalogue::built_in()).cap == grade);
}

TEST_CASE("a life ends between the last sound look and the first due one", "[tuning]") {
    Case c = vent_case();
    c.see(first, 0);
    c.see(second, 2);
    c.see(third, 3);
    const LifeRecords r = c.records();
    REQUIRE(r.size() == 1);
    CHECK(r.event[0] == "due");
    CHECK(r.lower_years[0] == Approx(years_between(fitted, second)));
    CHECK(r.upper_years[0] == Approx(years_between(fitted, third)));
    CHECK(r.lower[0] == Approx(forecast_age(c, second)).epsilon(1e-9));
    CHECK(r.upper[0] == Approx(forecast_age(c, third)).epsilon(1e-9));
    CHECK(r.entry[0] == 0);
    CHECK(r.coach[0] == "c");
    CHECK(r.joint_type[0] == "roof_vent_flange");
    CHECK(r.family[0] == "self_levelling_lap");
    CHECK(r.model_line[0] == "line");
    CHECK(r.model_year[0] == 2018);
    CHECK(r.place[0] == south_bend);
    CHECK(r.surface[0] == "roof");
    CHECK(r.looks[0] == 3);
    CHECK(r.flag[0].empty());
    CHECK(r.workmanship[0] > 0);
    CHECK(r.workmanship[0] < 0.05);  // after two looks without a defect, at an age at which wear is usual
    CHECK(r.never_seen == 3);  // bedding of the vent, both layers of the window
}

TEST_CASE("the same calendar is more effective years in a hot place", "[tuning]") {
    Case cold = vent_case(), hot = vent_case(phoenix);
    for (Case* c : {&cold, &hot}) {
        c->see(first, 0);
        c->see(second, 4);
    }
    const LifeRecords a = cold.records(), b = hot.records();
    CHECK(a.upper_years[0] == b.upper_years[0]);
    CHECK(b.upper[0] > 1.5 * a.upper[0]);
    CHECK(b.upper[0] == Approx(forecast_age(hot, second)).epsilon(1e-9));
}

TEST_CASE("what was last seen sound is open to the right, also when it was renewed so", "[tuning]") {
    Case c = vent_case();
    c.see(first, 0);
    c.options.work_done = {resealed(c.coach(), c.vent(), second, "polyurethane")};
    c.see(third, 0);
    const LifeRecords r = c.records();
    REQUIRE(r.size() == 2);
    CHECK(r.event == std::vector<std::string>{"replaced_sound", "sound"});
    CHECK(r.family == std::vector<std::string>{"self_levelling_lap", "polyurethane"});
    CHECK(r.generation == std::vector<int>{1, 2});
    CHECK(r.upper[0] == never);
    CHECK(r.upper[1] == never);
    // Nobody looked when it was renewed: the life is known until the look before.
    CHECK(r.lower_years[0] == Approx(years_between(fitted, first)));
    CHECK(r.lower_years[1] == Approx(years_between(second, third)));
    CHECK(std::isnan(r.workmanship[0]));
}

TEST_CASE("work after a due look ends the life and starts the next", "[tuning]") {
    Case c = vent_case();
    c.see(first, 0);
    c.see(second, 4);
    c.options.work_done = {resealed(c.coach(), c.vent(), second)};  // on the day of the look: the look came first
    c.see(third, 3);
    const LifeRecords r = c.records();
    REQUIRE(r.size() == 2);
    CHECK(r.event == std::vector<std::string>{"due", "due_at_first_look"});
    CHECK(r.lower[1] == 0);
    CHECK(r.upper_years[1] == Approx(years_between(second, third)));
    SECTION("declined work does not") {
        c.options.work_done[0].declined = true;
        CHECK(c.records().size() == 1);
    }
}

TEST_CASE("an unknown day of fitting widens the row and never says too much", "[tuning]") {
    const Date from = make_date(2018, 1, 1), to = make_date(2018, 12, 31);
    Case wide = vent_case(south_bend, from, to);
    wide.see(first, 0);
    wide.see(second, 3);
    const LifeRecords r = wide.records();
    CHECK(r.lower_years[0] == Approx(years_between(to, first)));
    CHECK(r.upper_years[0] == Approx(years_between(from, second)));
    CHECK(r.flag[0] == "fitted between 2018-01-01 and 2018-12-31");
    for (const Date day : {from, make_date(2018, 6, 30), to}) {
        Case known = vent_case(south_bend, day, day);
        known.findings = wide.findings;
        const LifeRecords k = known.records();
        CHECK(r.lower[0] <= k.lower[0]);
        CHECK(r.upper[0] >= k.upper[0]);
    }
}

TEST_CASE("followed from the first look on, lives enter there and what was due then is left out", "[tuning]") {
    Case c = vent_case();
    c.see(first, 0);
    c.see(second, 0);
    c.see(third, 3);
    c.options.from_first_look = true;
    LifeRecords r = c.records();
    REQUIRE(r.size() == 1);
    CHECK(r.entry_years[0] == Approx(years_between(fitted, first)));
    CHECK(r.entry[0] == Approx(forecast_age(c, first)).epsilon(1e-9));
    CHECK(r.lower_years[0] == Approx(years_between(fitted, second)));
    c.findings.erase(c.findings.begin(), c.findings.begin() + 2);
    r = c.records();
    CHECK(r.size() == 0);
    CHECK(r.left_out == 1);
}

TEST_CASE("contradictions are flagged and kept", "[tuning]") {
    Case c = vent_case();
    c.see(first, 4);
    c.see(second, 0);
    const LifeRecords r = c.records();
    REQUIRE(r.size() == 1);
    CHECK(r.event[0] == "due_at_first_look");
    CHECK(r.upper_years[0] == Approx(years_between(fitted, first)));
    CHECK(r.flag[0].find("found it sound without work") != std::string::npos);
    SECTION("a look before the fitting too") {
        Case early = vent_case(south_bend, make_date(2021, 1, 1), make_date(2021, 1, 1));
        early.see(first, 4);
        early.see(second, 0);
        const LifeRecords e = early.records();
        REQUIRE(e.size() == 1);
        CHECK(e.event[0] == "sound");
        CHECK(e.flag[0] == "a look is dated before the layer was fitted and is left out");  // it was another layer: nothing is contradicted
    }
}

TEST_CASE("a bedding under its cap has the age that the forecast believes", "[tuning]") {
    Case c = vent_case();
    Finding look = finding_of_grade(c.coach(), c.vent(), second, 0);
    look.layer = "bedding";
    c.findings = {look};
    const LifeRecords r = c.records();
    REQUIRE(r.size() == 1);
    CHECK(r.layer[0] == "bedding");
    ForecastOptions options;
    options.findings = c.findings;
    options.shared = std::make_shared<const SharedEffects>(effect_spread(Catalogue::built_in()));
    const Forecast f = forecast(c.fleet, second, 1, options);
    CHECK(r.lower[0] == Approx(f.effective_age[f.row("c", c.vent().id, "bedding")]).epsilon(1e-6));
    CHECK(r.lower[0] < r.lower_years[0]);  // sheltered from light at the reference
}

TEST_CASE("histories do not hang on threads, order or bystanders", "[tuning]") {
    Case c = vent_case();
    c.fleet.coaches.push_back(small_coach("d", "line", phoenix, fitted, fitted));
    c.fleet.coaches.push_back(small_coach("e", "line", phoenix, fitted, fitted));
    c.see(first, 0);
    c.see(second, 3);
    c.findings.push_back(finding_of_grade(c.fleet.coaches[1], joint_of_type(c.fleet.coaches[1], "window_frame"), third, 1));
    c.options.threads = 1;
    const LifeRecords one = c.records();
    std::reverse(c.findings.begin(), c.findings.end());
    c.options.threads = 4;
    const LifeRecords four = c.records();
    REQUIRE(one.size() == 2);
    CHECK((one.lower == four.lower).all());
    CHECK((one.upper == four.upper).all());
    CHECK(one.coach == four.coach);
    CHECK(life_records(c.fleet, {}, as_of).size() == 0);
    CHECK_THROWS_AS(life_records(c.fleet, c.findings, first), ValueError);  // findings after the last day
}
