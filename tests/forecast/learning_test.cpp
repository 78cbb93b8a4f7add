// What a forecast learns from findings: the right way, by the right amount, about the right joints.
#include "support/catch.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

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

TEST_CASE("what was seen before a layer was fitted says nothing about it, and contradicts nothing", "[law]") {
    const Coach coach = trailer("t1", "a");  // fitted on 2022-05-01; no work on record
    const std::string joint = joints_of_type(coach, "window_frame")[0];
    const auto told = [&](std::vector<Finding> findings) {
        ForecastOptions options;
        options.findings = std::move(findings);
        return row_of(forecast(coach, as_of, 5, options), "t1", joint);
    };
    const Finding clean = finding("t1", joint, "2025-09-01", "clean_look");
    const Row alone = told({clean});
    for (const char* before : {"2021-06-01", "2022-05-01"}) {
        const Row both = told({finding("t1", joint, before, "missing"), clean});
        INFO(before);
        CHECK(both.flag == alone.flag);
        CHECK(std::abs(both.due - alone.due) <= 1);
        CHECK(both.condition == Approx(alone.condition).margin(1e-4));
    }
    CHECK(told({finding("t1", joint, "2022-05-02", "missing"), clean}).flag.find("contradict") != std::string::npos);
    // A stain of before is no reason to pass over that of after.
    const Finding stain = finding("t1", joint, "2025-09-01", "stain", "");
    const Row fresh = told({stain}), again = told({finding("t1", joint, "2021-06-01", "stain", ""), stain});
    CHECK(fresh.open > told({}).open);
    CHECK(again.open == Approx(fresh.open).epsilon(1e-3));
    // Two of the same stain since the fitting count once.
    CHECK(told({finding("t1", joint, "2025-03-01", "stain", ""), stain}).open < fresh.open * 1.1);
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

TEST_CASE("water multiplies the odds of a way in at a joint with one barrier, whatever it is", "[law]") {
    // The cell of lives at the edge of grade 5, 1 % wide, counts whole: up to one in a hundred of the probability.
    // Of the catalogue: a stain is seen behind 0.35 of open and 0.09 of tight joints, soft wood behind 0.2 and 0.03.
    const std::pair<const char*, const char*> barriers[] = {{"cap_bead", "non_sag_lap"}, {"bedding", "butyl_tape"},      {"gasket", "epdm_gasket"},
                                                            {"bulb_seal", "epdm_gasket"}, {"wiper_seal", "epdm_gasket"}, {"cover_tape", "seam_tape"},
                                                            {"insert", "pvc_insert"}};
    for (const auto& barrier : barriers) {
        const char* const kind = barrier.first;  // a name for itself: clang 14 does not capture the names of a binding
        INFO(kind);
        Coach coach = trailer("t1", "a");
        Joint& window = *std::find_if(coach.joints.begin(), coach.joints.end(), [](const Joint& joint) { return joint.type == "window_frame"; });
        const Date fitted = make_date(2013, 5, 1);
        window.layers = {{kind, barrier.second, fitted, fitted, 1}};
        const auto open_with = [&](const std::vector<Finding>& findings) {
            ForecastOptions options;
            options.findings = findings;
            const Forecast f = forecast(coach, as_of, 5, options);
            return f.open_now[f.row("t1", window.id, kind)];
        };
        const std::string day = to_text(as_of);
        const Finding stain = finding("t1", window.id, day.c_str(), "stain", ""), soft = finding("t1", window.id, day.c_str(), "soft_substrate", "");
        Finding dry = stain;
        dry.size = "none";
        const double before = open_with({});
        const auto by_bayes = [&](double ratio) { return before * ratio / (before * ratio + 1 - before); };
        REQUIRE((before > 0.02 && before < 0.98));
        CHECK(open_with({stain}) == Approx(by_bayes(0.35 / 0.09)).margin(0.01).epsilon(0));
        CHECK(open_with({stain, soft}) == Approx(by_bayes(0.35 / 0.09 * 0.2 / 0.03)).margin(0.01).epsilon(0));
        CHECK(open_with({dry}) == Approx(by_bayes(0.65 / 0.91)).margin(0.01).epsilon(0));
        CHECK(open_with({stain}) > before + 0.01);
        CHECK(open_with({dry}) < before);
    }
}

TEST_CASE("water at a joint with two barriers speaks of both, and less of each than of a barrier alone", "[law]") {
    const Date fitted = make_date(2013, 5, 1);
    const auto standing_with = [&](const std::vector<Layer>& layers, bool stained) {
        Coach coach = trailer("t1", "a");
        Joint& window = *std::find_if(coach.joints.begin(), coach.joints.end(), [](const Joint& joint) { return joint.type == "window_frame"; });
        window.layers = layers;
        ForecastOptions options;
        if (stained) options.findings = {finding("t1", window.id, to_text(as_of).c_str(), "stain", "")};
        const Forecast f = forecast(coach, as_of, 5, options);
        std::vector<double> all{f.open_now[f.row("t1", window.id, window.layers[0].kind)]};
        for (const Layer& layer : window.layers) all.push_back(f.due_1_year[f.row("t1", window.id, layer.kind)]);
        return all;
    };
    const Layer bulb{"bulb_seal", "epdm_gasket", fitted, fitted, 1}, wiper{"wiper_seal", "epdm_gasket", fitted, fitted, 1};
    const auto before = standing_with({bulb, wiper}, false), after = standing_with({bulb, wiper}, true);
    for (std::size_t i = 0; i < 3; ++i) CHECK(after[i] > before[i]);
    // Either may be the one that holds, so the water is believed of both in the same way.
    CHECK(after[1] / before[1] == Approx(after[2] / before[2]).epsilon(1e-6));
    const auto odds = [](double p) { return p / (1 - p); };
    CHECK(odds(after[0]) < odds(before[0]) * 0.35 / 0.09 * (1 + 1e-9));
    const auto alone_before = standing_with({bulb}, false), alone = standing_with({bulb}, true);
    CHECK(odds(after[1]) / odds(before[1]) < odds(alone[1]) / odds(alone_before[1]));
}

TEST_CASE("water at a moulding speaks of its insert and of what is below it", "[law]") {
    // Of the catalogue: a stain is seen behind 0.35 of open and 0.09 of tight joints.
    const double if_open = 0.35, if_tight = 0.09;
    for (const int year : {2016, 2019, 2021}) {
        INFO(year);
        const Date fitted = make_date(year, 5, 1);
        const Layer cap{"cap_bead", "non_sag_lap", fitted, fitted, 1}, bedding{"bedding", "butyl_tape", fitted, fitted, 1}, insert{"insert", "pvc_insert", fitted, fitted, 1};
        const auto open_with = [&](const std::vector<Layer>& layers, bool stained) {
            Coach coach = trailer("t1", "a");
            Joint& edge = *std::find_if(coach.joints.begin(), coach.joints.end(), [](const Joint& joint) { return joint.type == "roof_edge_moulding"; });
            edge.layers = layers;
            ForecastOptions options;
            if (stained) options.findings = {finding("t1", edge.id, to_text(as_of).c_str(), "stain", "")};
            const Forecast f = forecast(coach, as_of, 5, options);
            return f.open_now[f.row("t1", edge.id, layers[0].kind)];
        };
        const double pair = open_with({cap, bedding}, false), bare = open_with({insert}, false), before = open_with({cap, bedding, insert}, false);
        CHECK(before == Approx(1 - (1 - pair) * (1 - bare)).epsilon(1e-9));
        // Bayes for each of the two ways in by itself.
        const double seen = before * if_open + (1 - before) * if_tight;
        const double after = open_with({cap, bedding, insert}, true);
        CHECK(after == Approx(1 - (1 - pair * if_open / seen) * (1 - bare * if_open / seen)).margin(0.01).epsilon(0));
        CHECK(after < before * if_open / seen + 0.01);
    }
}

TEST_CASE("two readings of one day may come in any order, to the bit", "[law]") {
    const Coach coach = trailer("t1", "a");
    const std::string joint = joints_of_type(coach, "window_frame")[0];
    ForecastOptions options;
    for (const double reading : {28.0, 12.0, 17.0}) {
        options.findings.push_back(finding("t1", joint, "2026-10-01", "stain", ""));
        options.findings.back().moisture = reading;
        options.findings.back().moisture_dry = 10;
    }
    const Forecast one = forecast(coach, as_of, 5, options);
    std::reverse(options.findings.begin(), options.findings.end());
    const Forecast other = forecast(coach, as_of, 5, options);
    CHECK((one.open_now == other.open_now).all());
    CHECK((one.due_50 == other.due_50).all());
    CHECK((one.condition == other.condition).all());
}

TEST_CASE("a joint without layers has no row, and what is seen at it changes none", "[law]") {
    Coach coach = trailer("t1", "a");
    Joint& bare = *std::find_if(coach.joints.begin(), coach.joints.end(), [](const Joint& joint) { return joint.type == "window_frame"; });
    bare.layers.clear();
    ForecastOptions options;
    options.findings = {finding("t1", bare.id, "2026-10-01", "stain", ""), finding("t1", bare.id, "2026-10-02", "yellowing", "")};
    const Forecast plain = forecast(coach, as_of, 5), seen = forecast(coach, as_of, 5, options);
    CHECK(std::find(plain.joint.begin(), plain.joint.end(), bare.id) == plain.joint.end());
    REQUIRE(plain.size() == seen.size());
    CHECK((plain.due_50 == seen.due_50).all());
    CHECK((plain.open_1_year == seen.open_1_year).all());
}

TEST_CASE("a slide-out without a part of its own stands in the street side's wall", "[law]") {
    LayoutOptions layout = layout_options("travel_trailer");
    layout.id = "t1";
    layout.slide_outs = 1;
    layout.installed_from = layout.installed_to = make_date(2022, 5, 1);
    Coach coach = libseal_test::standing(travel_trailer(8.0, layout), libseal_test::stay_since(make_date(2015, 1, 1), "725350", 90));
    const auto slide = std::find_if(coach.joints.begin(), coach.joints.end(), [](const Joint& joint) { return !joint.slide.empty(); })->slide;
    const auto part = std::find_if(coach.parts.begin(), coach.parts.end(), [&](const auto& one) { return one.id == slide; });
    REQUIRE(part != coach.parts.end());
    const auto with_wall = [&](const std::string& wall) {
        Coach other = coach;
        for (auto& one : other.parts)
            if (one.id == slide) one.surface = wall;
        if (wall.empty()) {
            std::erase_if(other.parts, [&](const auto& one) { return one.id == slide; });
            for (Joint& joint : other.joints)
                if (joint.part == slide) joint.part.clear();
        }
        return forecast(other, as_of, 5);
    };
    const Forecast street = with_wall("street_wall"), curb = with_wall("curb_wall"), none = with_wall("");
    CHECK((none.due_50 == street.due_50).all());
    CHECK((none.due_50 != curb.due_50).any());
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
