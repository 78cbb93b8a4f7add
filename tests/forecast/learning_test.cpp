// What a forecast learns from findings: the right way, by the right amount, about the right joints.
#include "support/catch.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/coach/layouts.hpp"
#include "libseal/core/error.hpp"
#include "libseal/forecast/forecast.hpp"
#include "libseal/forecast/shared_effects.hpp"
#include "support/trailers.hpp"

using namespace libseal;

namespace {

const Date as_of = make_date(2026, 11, 25);

Coach trailer(const std::string& id, const std::string& line) {
    return libseal_test::standing(libseal_test::trailer_of(8.0, make_date(2022, 5, 1), id, line), libseal_test::stay_since(make_date(2015, 1, 1)));
}

std::vector<std::string> joints_of_type(const Coach& coach, const std::string& type) {
    std::vector<std::string> ids;
    for (const auto& joint : coach.joints)
        if (joint.type == type) ids.push_back(joint.id);
    return ids;
}

Finding finding(const std::string& coach, const std::string& joint, const char* day, const std::string& sign, const std::string& layer = "cap_bead") {
    Finding result;
    result.coach = coach;
    result.joint = joint;
    result.date = parse_date(day);
    result.sign = sign;
    result.layer = layer;
    return result;
}

struct Row {
    Date due;
    double condition, defect, factor, open;
    std::string flag;
};

Row row_of(const Forecast& f, const std::string& coach, const std::string& joint, const std::string& layer = "cap_bead") {
    const Eigen::Index i = f.row(coach, joint, layer);
    REQUIRE(i >= 0);
    return {Date{f.due_50[i]}, f.condition[i], f.early_defect[i], f.shared_factor[i], f.open_1_year[i], f.flag[static_cast<std::size_t>(i)]};
}

}  // namespace

TEST_CASE("a joint speaks for its sisters on the coach, a coach for its line, a line for the family", "[law]") {
    const Fleet fleet{{trailer("t1", "a"), trailer("t2", "a"), trailer("t3", "b")}};
    const auto windows = joints_of_type(fleet.coaches[0], "window_frame");
    REQUIRE(windows.size() >= 3);
    ForecastOptions options;
    options.findings = {finding("t1", windows[0], "2025-06-01", "missing"), finding("t1", windows[1], "2025-06-01", "missing")};
    const Forecast plain = forecast(fleet, as_of, 5), taught = forecast(fleet, as_of, 5, options);
    const auto gain = [&](const char* coach, const std::string& joint) {
        return row_of(plain, coach, joint).due - row_of(taught, coach, joint).due;
    };
    CHECK(gain("t1", windows[2]) > gain("t2", windows[2]));
    CHECK(gain("t2", windows[2]) > gain("t3", windows[2]));
    CHECK(gain("t3", windows[2]) > 0);
    const auto vents = joints_of_type(fleet.coaches[0], "roof_vent_flange");  // another family
    CHECK(gain("t1", vents[0]) == 0);
    CHECK(taught.shared_effects().size() == 2);
    // One coach finished against what the fleet has taught is the coach in the fleet.
    ForecastOptions alone;
    alone.shared = std::make_shared<const SharedEffects>(taught.shared_effects());
    const Forecast single = forecast(fleet.coaches[1], as_of, 5, alone);
    CHECK(row_of(single, "t2", windows[2]).due == row_of(taught, "t2", windows[2]).due);
}

TEST_CASE("the order of findings changes no bit", "[law]") {
    const Coach coach = trailer("t1", "a");
    const auto windows = joints_of_type(coach, "window_frame");
    ForecastOptions options;
    options.findings = {finding("t1", windows[0], "2024-06-01", "clean_look"), finding("t1", windows[0], "2025-06-01", "chalking"),
                        finding("t1", windows[1], "2025-06-01", "missing"), finding("t1", windows[2], "2026-06-01", "clean_look")};
    const Forecast one = forecast(coach, as_of, 5, options);
    std::reverse(options.findings.begin(), options.findings.end());
    const Forecast two = forecast(coach, as_of, 5, options);
    for (Eigen::Index i = 0; i < one.size(); ++i) {
        REQUIRE(one.due_50[i] == two.due_50[i]);
        REQUIRE(one.condition[i] == two.condition[i]);
        REQUIRE(one.due_1_year[i] == two.due_1_year[i]);
    }
}

TEST_CASE("a finding before a repair speaks of the joint, not of the new layer", "[law]") {
    const Coach coach = trailer("t1", "a");
    const std::string joint = joints_of_type(coach, "window_frame")[0];
    ForecastOptions repaired;
    WorkDone work;
    work.coach = "t1";
    work.joint = joint;
    work.layer = "cap_bead";
    work.date = parse_date("2025-06-02");
    work.action = "cut_out_and_reseal";
    work.family = "non_sag_lap";
    repaired.work_done = {work};
    ForecastOptions seen = repaired;
    seen.findings = {finding("t1", joint, "2024-06-01", "missing")};
    const Row plain = row_of(forecast(coach, as_of, 5, repaired), "t1", joint);
    const Row taught = row_of(forecast(coach, as_of, 5, seen), "t1", joint);
    CHECK(taught.due < plain.due);          // the joint wears its seals fast
    CHECK(taught.factor > plain.factor);
    CHECK(taught.condition < 1.0);          // but the new bead is new
    // The same look on the day of the work came before it; a day later it would be of the new bead.
    seen.findings[0].date = work.date;
    const Row same_day = row_of(forecast(coach, as_of, 5, seen), "t1", joint);
    CHECK(same_day.condition < 1.0);
    seen.findings[0].date = work.date + 1;
    const Row day_after = row_of(forecast(coach, as_of, 5, seen), "t1", joint);
    CHECK(same_day.defect < 0.05);
    CHECK(day_after.defect > 0.5);  // a bead missing after a day was badly laid
}

TEST_CASE("looks that contradict each other are flagged and believed less", "[law]") {
    const Coach coach = trailer("t1", "a");
    const std::string joint = joints_of_type(coach, "window_frame")[0];
    ForecastOptions options;
    options.findings = {finding("t1", joint, "2025-06-01", "missing"), finding("t1", joint, "2025-09-01", "clean_look")};
    const Row both = row_of(forecast(coach, as_of, 5, options), "t1", joint);
    CHECK(both.flag.find("contradict") != std::string::npos);
    options.findings.pop_back();
    const Row bad = row_of(forecast(coach, as_of, 5, options), "t1", joint);
    options.findings = {finding("t1", joint, "2025-09-01", "clean_look")};
    const Row good = row_of(forecast(coach, as_of, 5, options), "t1", joint);
    CHECK(bad.flag.find("contradict") == std::string::npos);
    CHECK(both.due > bad.due);
    CHECK(both.due < good.due);
}

TEST_CASE("not inspected changes nothing, a sharp inspector more than a dull one", "[law]") {
    const Coach coach = trailer("t1", "a");
    const std::string joint = joints_of_type(coach, "window_frame")[0];
    ForecastOptions options;
    options.findings = {finding("t1", joint, "2025-06-01", "not_inspected", "")};
    options.findings[0].reason = "under snow";
    CHECK(row_of(forecast(coach, as_of, 5, options), "t1", joint).due == row_of(forecast(coach, as_of, 5), "t1", joint).due);
    options.findings = {finding("t1", joint, "2026-06-01", "missing")};
    options.findings[0].inspector = "anna";
    options.look_noise = {{"anna", 0.4}};
    const Row sharp = row_of(forecast(coach, as_of, 5, options), "t1", joint);
    options.look_noise = {{"anna", 1.5}};
    const Row dull = row_of(forecast(coach, as_of, 5, options), "t1", joint);
    CHECK(sharp.due < dull.due);
    options.look_noise = {{"anna", 0.0}};
    CHECK_THROWS_AS(forecast(coach, as_of, 5, options), ValueError);
}

TEST_CASE("chalk, yellowing and dirt are looks alone: each bounds the wear from above and says no more", "[law]") {
    const Coach coach = trailer("t1", "a");
    const std::string joint = joints_of_type(coach, "window_frame")[0];
    const auto taught_by = [&](const char* sign) {
        ForecastOptions options;
        options.findings = {finding("t1", joint, "2026-06-01", sign)};
        options.findings[0].size = "severe";
        return row_of(forecast(coach, as_of, 5, options), "t1", joint);
    };
    const Row plain = row_of(forecast(coach, as_of, 5), "t1", joint);
    const Row chalk = taught_by("chalking");
    for (const char* sign : {"yellowing", "dirt_pick_up"}) {
        INFO(sign);
        const Row other = taught_by(sign);
        CHECK(other.due == chalk.due);
        CHECK(other.condition == chalk.condition);
        CHECK(other.factor == chalk.factor);
    }
    CHECK(chalk.condition < plain.condition);  // worse would have been seen
    CHECK(taught_by("gap").condition > plain.condition);
}

TEST_CASE("a defect in the first year is workmanship rather than wear", "[law]") {
    Coach coach = trailer("t1", "a");
    for (auto& joint : coach.joints)
        for (auto& layer : joint.layers) layer.installed_from = layer.installed_to = make_date(2026, 3, 1);
    const std::string joint = joints_of_type(coach, "window_frame")[0];
    ForecastOptions options;
    const Row plain = row_of(forecast(coach, as_of, 5), "t1", joint);
    options.findings = {finding("t1", joint, "2026-10-01", "gap")};
    options.findings[0].value = 2;
    options.findings[0].unit = "mm";
    const Row early = row_of(forecast(coach, as_of, 5, options), "t1", joint);
    CHECK(early.defect > 0.5);
    CHECK(plain.defect < 0.05);
    options.findings = {finding("t1", joint, "2026-10-01", "clean_look")};
    CHECK(row_of(forecast(coach, as_of, 5, options), "t1", joint).defect < 0.3 * plain.defect);
}

TEST_CASE("a wet reading behind an old joint raises the chance of a way in, a dry one lowers it", "[law]") {
    Coach coach = trailer("t1", "a");
    for (auto& joint : coach.joints)
        for (auto& layer : joint.layers) layer.installed_from = layer.installed_to = make_date(2012, 3, 1);
    const std::string joint = joints_of_type(coach, "window_frame")[0];
    const auto open_with = [&](double reading) {
        ForecastOptions options;
        Finding moisture = finding("t1", joint, "2026-10-01", "stain", "");
        moisture.size = "slight";
        moisture.moisture = reading;
        moisture.moisture_dry = 10;
        options.findings = {moisture};
        return row_of(forecast(coach, as_of, 5, options), "t1", joint).open;
    };
    const double wet = open_with(28), dry = open_with(10);
    CHECK(wet > dry);
}

TEST_CASE("screws found far apart make a joint move more, and never last longer", "[law]") {
    const Coach coach = trailer("t1", "a");
    const std::string joint = joints_of_type(coach, "roof_vent_flange")[0];
    ForecastOptions options;
    options.findings = {finding("t1", joint, "2025-06-01", "fasteners_far_apart", "")};
    options.findings[0].size = "severe";
    const Forecast plain = forecast(coach, as_of, 5), apart = forecast(coach, as_of, 5, options);
    const Eigen::Index row = plain.row("t1", joint, "cap_bead");
    CHECK(apart.utilisation[row] > plain.utilisation[row]);
    CHECK(apart.due_50[row] <= plain.due_50[row]);
    CHECK(apart.movement_factor[row] >= plain.movement_factor[row]);
}

TEST_CASE("a dome moves more than a flange, and its bead has less in hand", "[law]") {
    const Coach coach = trailer("t1", "a");
    const Forecast f = forecast(coach, as_of, 5);
    const Eigen::Index dome = f.row("t1", joints_of_type(coach, "skylight_flange")[0], "cap_bead");
    const Eigen::Index vent = f.row("t1", joints_of_type(coach, "roof_vent_flange")[0], "cap_bead");
    CHECK(f.utilisation[dome] > 3 * f.utilisation[vent]);
}

TEST_CASE("the laws of ageing give each layer its own state, which only gets worse", "[law]") {
    const Coach coach = trailer("t1", "a");
    const Forecast now = forecast(coach, as_of, 5), later = forecast(coach, add_months(as_of, 36), 5);
    const LayerStates a = now.states({}), b = later.states({});
    const auto never_falls = [](double x, double y) { return std::isnan(x) ? std::isnan(y) : y >= x; };
    for (Eigen::Index i = 0; i < now.size(); ++i) {
        const std::string& layer = now.layer[static_cast<std::size_t>(i)];
        INFO(now.joint[static_cast<std::size_t>(i)] << " " << layer);
        CHECK(std::isnan(a.crack_rating[i]) == (layer != "cap_bead"));
        CHECK(std::isnan(a.bond_left[i]) == (layer != "cap_bead"));
        CHECK(std::isnan(a.compression_set[i]) == (layer != "gasket"));
        CHECK(std::isnan(a.shrinkage[i]) == (layer != "insert"));
        CHECK(std::isnan(a.squeezed_out[i]) == (layer != "bedding"));
        CHECK(never_falls(a.crack_rating[i], b.crack_rating[i]));
        CHECK(never_falls(a.utilisation[i], b.utilisation[i]));
        CHECK(never_falls(b.capability_left[i], a.capability_left[i]));
        CHECK(never_falls(b.bond_left[i], a.bond_left[i]));
        CHECK(never_falls(a.compression_set[i], b.compression_set[i]));
        CHECK(never_falls(a.shrinkage[i], b.shrinkage[i]));
        CHECK(never_falls(a.squeezed_out[i], b.squeezed_out[i]));
    }
}
