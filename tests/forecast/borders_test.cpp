// Forecasts at the borders: readings far from all means, several looks on one day, generations that work has ended, days at the end of time.
#include "support/catch.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "forecast/layers.hpp"
#include "libseal/climate/station.hpp"
#include "libseal/core/error.hpp"
#include "libseal/forecast/forecast.hpp"
#include "libseal/forecast/layer_columns.hpp"
#include "support/problems.hpp"
#include "support/trailers.hpp"

using namespace libseal;

namespace {

const Date as_of = make_date(2026, 11, 25);

Coach trailer() { return libseal_test::standing(libseal_test::trailer_of(8.0, make_date(2018, 5, 1)), libseal_test::stay_since(make_date(2015, 1, 1))); }

/// A trailer with the first joint of a type, and of that one layer alone.
Coach with_one_layer(const std::string& kind, const std::string& type) {
    Coach coach = trailer();
    for (const Joint& joint : coach.joints) {
        const auto own = std::find_if(joint.layers.begin(), joint.layers.end(), [&](const Layer& layer) { return layer.kind == kind; });
        if (joint.type != type || own == joint.layers.end()) continue;
        Joint one = joint;
        one.layers = {*own};
        coach.joints = {one};
        return coach;
    }
    FAIL("no " << type << " with a " << kind);
    return coach;
}

Finding seen(const Coach& coach, const std::string& sign, Date day, const std::string& inspector = "") {
    Finding finding;
    finding.coach = coach.id;
    finding.joint = coach.joints[0].id;
    finding.sign = sign;
    finding.date = day;
    finding.inspector = inspector;
    return finding;
}

Catalogue with_values(const std::vector<std::pair<std::string, double>>& values) {
    std::string text;
    for (const auto& [id, value] : values)
        text += (text.empty() ? "\"" : ", \"") + id + "\": {\"value\": " + std::to_string(value) +
                R"(, "low": -1e6, "high": 1e6, "source": "synthetic", "mark": "judgement"})";
    return Catalogue::built_in().with_overlay(R"({"schema": "libseal/catalogue/1", "values": {)" + text + "}}", "synthetic.json");
}

}  // namespace

TEST_CASE("a reading far from every mean has a chance that can be used", "[law]") {
    const detail::MoistureModel usual;
    // By the two normal densities themselves, where they can be held.
    const auto density = [](double x, double sd) { return std::exp(-0.5 * x * x / (sd * sd)) / sd; };
    for (const double difference : {-10.0, 0.0, 5.0, 12.0, 40.0}) {
        const double open = density(difference - 12, 8), closed = 0.8 * density(difference, 3) + 0.2 * open;
        const auto [got_open, got_closed] = usual.chances(difference);
        CHECK(got_open / got_closed == Approx(open / closed).epsilon(1e-12));
        CHECK(std::max(got_open, got_closed) == 1);
    }
    // The narrow normal of a dry joint is nothing beside the wide one: what is left is water from elsewhere, one in twenty.
    const detail::MoistureModel narrow{12, 3, 1, 0.05};
    CHECK(narrow.chances(-200).open == 1);
    CHECK(narrow.chances(-200).closed == Approx(0.05).epsilon(1e-12));

    const Coach coach = with_one_layer("cap_bead", "window_frame");
    ForecastOptions options;
    options.catalogue = with_values({{"model/moisture_open_sd", 3}, {"model/moisture_closed_sd", 1}, {"model/moisture_elsewhere", 0.05}});
    const double before = forecast(coach, as_of, 5, options).open_now[0];
    Finding reading = seen(coach, "rust_run", as_of);
    reading.moisture = 0;
    reading.moisture_dry = 200;
    options.findings = {reading};
    const double wet = forecast(coach, as_of, 5, options).open_now[0];
    CHECK(wet > before);  // both the rust and the reading are likelier of an open joint
    CHECK(wet < 1);
}

TEST_CASE("findings of one day may come in any order, to the bit", "[law]") {
    const Coach coach = with_one_layer("cap_bead", "window_frame");
    const Date day = make_date(2025, 6, 1);
    ForecastOptions options;
    options.findings = {seen(coach, "delaminated", day), seen(coach, "fogged_lens", day), seen(coach, "rust_run", day), seen(coach, "stain", day)};
    const Forecast first = forecast(coach, as_of, 5, options);
    std::vector<int> order = {0, 1, 2, 3};
    const std::vector<Finding> given = options.findings;
    while (std::next_permutation(order.begin(), order.end())) {
        for (std::size_t i = 0; i < order.size(); ++i) options.findings[i] = given[static_cast<std::size_t>(order[i])];
        const Forecast again = forecast(coach, as_of, 5, options);
        CHECK(again.open_now[0] == first.open_now[0]);
        CHECK(again.due_1_year[0] == first.due_1_year[0]);
    }
    // Of two inspectors the surest counts: as if both looks were hers.
    options.look_noise = {{"sharp", 0.2}, {"dull", 1.5}};
    const auto due = [&](const char* a, const char* b) {
        options.findings = {seen(coach, "edge_lift", day, a), seen(coach, "void", day, b)};
        return forecast(coach, as_of, 5, options).due_1_year[0];
    };
    CHECK(due("sharp", "dull") == due("sharp", "sharp"));
    CHECK(due("dull", "sharp") == due("sharp", "sharp"));
    CHECK(due("dull", "dull") != due("sharp", "sharp"));
}

TEST_CASE("an ended generation teaches what it taught while it stood", "[law]") {
    // Synthetic. The effects that a joint shares with others outlive its layers: work on the day of the forecast changes nothing of them.
    struct Case {
        const char *layer, *type, *action;
        int year, month;
    };
    // Worn out late; opened in its first half year, which may be workmanship; a bedding that nothing covers.
    const Case cases[] = {{"cap_bead", "window_frame", "cut_out_and_reseal", 2023, 6},
                          {"cap_bead", "roof_edge_moulding", "cut_out_and_reseal", 2022, 6},
                          {"cap_bead", "roof_edge_moulding", "cut_out_and_reseal", 2018, 10},
                          {"bedding", "window_frame", "rebed", 2023, 6}};
    for (const Case& one : cases) {
        CAPTURE(one.layer, one.type, one.year);
        const Coach coach = with_one_layer(one.layer, one.type);
        // Wide-set screws let the bead move more than the usual one.
        Coach moving = coach;
        moving.joints[0].screw_spacing = 0.6;
        ForecastOptions options;
        Finding look = seen(coach, one.layer == std::string("bedding") ? "bedding_shrunk" : "missing", make_date(one.year, one.month, 1));
        look.layer = one.layer;
        look.size = "severe";
        options.findings = {look};
        const Forecast standing = forecast(moving, as_of, 5, options);
        CHECK(std::abs(standing.shared_factor[0] - 1) > 0.01);  // the look says something
        WorkDone work;
        work.coach = coach.id;
        work.joint = coach.joints[0].id;
        work.layer = one.layer;
        work.date = as_of;
        work.action = one.action;
        work.family = coach.joints[0].layers[0].family;
        options.work_done = {work};
        const Forecast renewed = forecast(moving, as_of, 5, options);
        CHECK(renewed.generation[0] == 2);
        CHECK(renewed.shared_factor[0] == Approx(standing.shared_factor[0]).epsilon(1e-9));
        if (one.type == std::string("roof_edge_moulding")) CHECK(standing.movement_factor[0] != 1);
    }
}

TEST_CASE("days at the end of time are refused by their name, days long after all layers are no fault", "[bad_input]") {
    const Coach coach = with_one_layer("cap_bead", "window_frame");
    const auto problems = [&](Date day) { return libseal_test::problems_of([&] { forecast(coach, day, 5); }); };
    for (const Date day : {make_date(9900, 1, 1), make_date(9998, 6, 1), make_date(9999, 12, 31)}) {
        REQUIRE(problems(day).size() == 1);
        CHECK(problems(day)[0].field == "as_of");
        CHECK(problems(day)[0].expected == "a day not after 9899-12-31");
    }
    const Forecast late = forecast(coach, make_date(9899, 12, 31), 5);
    CHECK(late.due_now[0] == Approx(1));
    CHECK(late.condition[0] <= 5);
    CHECK(late.utilisation[0] > 1e6);  // nothing is left of it
    CHECK(std::isfinite(late.utilisation[0]));

    LayerColumns layers;
    layers.stations = {find_station("725350")};
    layers.keys.resize(1);
    layers.keys[0].family = "unknown";
    layers.key = layers.installed = DateColumn::Zero(1);
    const auto of_columns = libseal_test::problems_of([&] { forecast_layers(layers, make_date(9999, 12, 31)); });
    REQUIRE(of_columns.size() == 1);
    CHECK(of_columns[0].field == "as_of");
}

TEST_CASE("a model whose numbers mean nothing is refused where it is written", "[bad_input]") {
    struct Case {
        const char* id;
        double value;
    };
    const Case wrong[] = {{"model/cap_failed_grade", 9},   {"model/cap_failed_grade", 0},      {"model/cap_failed_grade", 3.5},
                          {"model/look_sd", 0},            {"model/look_detection", 1.1},      {"model/look_stray", -0.1},
                          {"model/shape", 0},              {"model/early_time", 0},            {"model/early_defects_per_m", -1},
                          {"model/moisture_open_sd", 0},   {"model/moisture_closed_sd", -3},   {"model/moisture_elsewhere", 2},
                          {"model/clean_look_detection", 2}, {"model/cut_grade_1", 0},         {"inspection/longest_days", 1e6},
                          {"model/log_sd", 1000},          {"meaning/water/stain/seen_if_open", 0}, {"meaning/water/stain/seen_if_closed", 1}};
    for (const Case& one : wrong) {
        CAPTURE(one.id, one.value);
        const auto problems = libseal_test::problems_of([&] { with_values({{one.id, one.value}}); });
        REQUIRE(problems.size() == 1);
        CHECK(problems[0].field == one.id);
        CHECK(problems[0].line == 1);
    }
    // The ends themselves mean something.
    for (const Case& one : {Case{"model/look_detection", 1}, Case{"model/look_stray", 0}, Case{"model/cap_failed_grade", 5}, Case{"model/early_defects_per_m", 0}})
        CHECK(with_values({{one.id, one.value}}).number(one.id) == one.value);
    // So many defects that a new joint surely has one.
    ForecastOptions options;
    options.catalogue = with_values({{"model/early_defects_per_m", 500}});
    Coach coach = with_one_layer("cap_bead", "window_frame");
    coach.joints[0].layers[0].installed_from = coach.joints[0].layers[0].installed_to = as_of;
    const Forecast sure = forecast(coach, as_of, 5, options);
    CHECK(sure.early_defect[0] == 1);
    CHECK(sure.share_workmanship[0] == Approx(2.0 / 3));  // 1 / (1 + 1/2), beside wear that has done half its work
}
