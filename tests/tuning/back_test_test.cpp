// Scores of forecasts that came true or not: by hand on small cases, and against published examples.
#include "support/catch.hpp"

#include <cmath>

#include "libseal/core/error.hpp"
#include "libseal/forecast/belief.hpp"
#include "libseal/tuning/back_test.hpp"
#include "tuning/scores.hpp"
#include "tuning/tuning_fleet.hpp"

using namespace libseal;
using namespace libseal::tuning_tests;

namespace {

/// A test with one catalogue and these chances, one coach a look; grades 3 and 1.
BackTest made_test(const std::vector<double>& chance, const std::vector<bool>& due) {
    BackTest test;
    const auto n = static_cast<Eigen::Index>(chance.size());
    test.catalogues = {"one"};
    test.chance_due.resize(n, 1);
    test.chance_of_grade.resize(n, 1);
    for (Eigen::Index i = 0; i < n; ++i) {
        const auto k = static_cast<std::size_t>(i);
        test.coach.push_back(std::to_string(i));
        test.lowest.push_back(due[k] ? 3 : 1);
        test.highest.push_back(due[k] ? 3 : 1);
        test.chance_due(i, 0) = chance[k];
        test.chance_of_grade(i, 0) = due[k] ? chance[k] : 1 - chance[k];
    }
    return test;
}

}  // namespace

TEST_CASE("scores are those of their definitions", "[tuning]") {
    const BackTest test = made_test({0.1, 0.2, 0.7, 0.9}, {false, true, true, true});
    const Column below = (Column(4) << 0, 0.8, 0.3, 0.1).finished();
    const CatalogueScore s = detail::score_of(test, below, 0, 2);
    CHECK(s.brier == Approx((0.01 + 0.64 + 0.09 + 0.01) / 4));
    CHECK(s.log_score == Approx(-(std::log(0.9) + std::log(0.2) + std::log(0.7) + std::log(0.9)) / 4));
    CHECK(s.sharpness == Approx((0.09 + 0.16 + 0.21 + 0.09) / 4));
    CHECK(s.expected_due == Approx(1.9));
    CHECK(s.bin_looks == std::vector<int>{2, 2});
    CHECK(s.bin_chance[0] == Approx(0.15));
    CHECK(s.bin_share[0] == Approx(0.5));
    CHECK(s.bin_share[1] == 1);
    CHECK(s.log_gain == 0);
    // Ranks lie evenly in (0, .9), (.8, 1), (.3, 1), (.1, 1): below .5 are .5/.9 + 0 + .2/.7 + .4/.9 of them.
    CHECK(s.ranks[0] == Approx((0.5 / 0.9 + 0.2 / 0.7 + 0.4 / 0.9) / 4));
    CHECK(s.ranks.sum() == Approx(1));
    CHECK(detail::score_of(made_test({}, {}), Column(), 0, 3).bin_looks == std::vector<int>{0, 0, 0});
}

TEST_CASE("the error of a mean counts coaches, not looks", "[tuning]") {
    const Column values = (Column(4) << 1, 1, 3, 3).finished();
    const auto apart = detail::clustered_mean(values, {"a", "b", "c", "d"});
    CHECK(apart.mean == 2);
    CHECK(apart.error == Approx(std::sqrt(4.0 / 3) / 2));  // sd over root n
    const auto together = detail::clustered_mean(values, {"a", "a", "c", "c"});
    CHECK(together.error == Approx(std::sqrt(2.0) / std::sqrt(2.0)));  // two values, 1 and 3
    CHECK(detail::clustered_mean(values, {"a", "a", "a", "a"}).error == 0);
}

TEST_CASE("looks of the span are forecast from before it", "[tuning]") {
    const Date fitted = make_date(2018, 5, 1), from = make_date(2022, 1, 1), to = make_date(2023, 1, 1);
    const Coach coach = small_coach("c", "line", "725350", fitted, fitted, 2, 1);
    const Joint &vent = coach.joints[0], &window = joint_of_type(coach, "window_frame");
    const std::vector<Finding> findings = {finding_of_grade(coach, vent, make_date(2021, 5, 1), 2), finding_of_grade(coach, vent, make_date(2022, 5, 1), 3),
                                           finding_of_grade(coach, window, make_date(2022, 5, 1), 0), finding_of_grade(coach, window, make_date(2023, 5, 1), 3)};
    BackTestOptions options;
    const BackTest test = back_test(fleet_of(coach), findings, from, to, options);
    REQUIRE(test.size() == 2);  // not the look before, not the one after
    CHECK(test.joint == std::vector<std::string>{vent.id, window.id});
    CHECK(test.date == std::vector<std::string>{"2022-05-01", "2022-05-01"});
    CHECK(test.lowest == std::vector<int>{3, 0});
    CHECK(test.highest == std::vector<int>{3, 1});
    CHECK((test.chance_due > 0).all());
    CHECK((test.chance_due < 1).all());
    CHECK(test.chance_due(0, 0) > test.chance_due(1, 0));  // lap on a roof after four years, a wall bead
    SECTION("a span without looks has no scores") {
        const BackTest none = back_test(fleet_of(coach), {findings[0]}, from, to, options);
        REQUIRE(none.size() == 0);
        REQUIRE(none.scores.size() == 1);
        const CatalogueScore& s = none.scores[0];
        for (const double score : {s.brier, s.log_score, s.sharpness, s.log_gain, s.brier_gain}) CHECK(std::isnan(score));
        CHECK(s.expected_due == 0);
        CHECK(back_test_text(none).find("No look by which to judge.") != std::string::npos);
    }
    SECTION("what came later changes nothing") {
        std::vector<Finding> other = findings;
        other[1] = finding_of_grade(coach, vent, make_date(2022, 5, 1), 4);
        const BackTest again = back_test(fleet_of(coach), other, from, to, options);
        CHECK((again.chance_due == test.chance_due).all());
        CHECK(again.chance_of_grade(0, 0) != test.chance_of_grade(0, 0));
    }
    SECTION("looks after a renewal in the span are passed over, those before it are not") {
        options.work_done = {resealed(coach, vent, make_date(2022, 3, 1))};
        const BackTest again = back_test(fleet_of(coach), findings, from, to, options);
        CHECK(again.size() == 1);
        CHECK(again.passed_over == 1);
        options.work_done[0].date = make_date(2022, 5, 1);  // found due and resealed on the day
        CHECK(back_test(fleet_of(coach), findings, from, to, options).size() == 2);
        options.work_done[0].date = from;  // what was done before the span is known to the forecast
        CHECK(back_test(fleet_of(coach), findings, from, to, options).passed_over == 0);
        options.work_done[0].date = from + 1;
        CHECK(back_test(fleet_of(coach), findings, from, to, options).passed_over == 1);
        // Of several the first one ends the life; what was declined, or leaves the layer its age, ends none.
        options.work_done.push_back(resealed(coach, vent, make_date(2022, 8, 1)));
        std::swap(options.work_done[0], options.work_done[1]);
        CHECK(back_test(fleet_of(coach), findings, from, to, options).passed_over == 1);
        options.work_done.resize(1);
        options.work_done[0].date = make_date(2022, 3, 1);
        options.work_done[0].declined = true;
        CHECK(back_test(fleet_of(coach), findings, from, to, options).size() == 2);
        options.work_done[0].declined = false;
        for (const char* action : {"clean_and_condition", "touch_up", "monitor"}) {
            INFO(action);
            options.work_done[0].action = action;
            const BackTest kept = back_test(fleet_of(coach), findings, from, to, options);
            CHECK(kept.size() == 2);
            CHECK(kept.passed_over == 0);
            CHECK((kept.chance_due == test.chance_due).all());
        }
    }
    SECTION("chances of a look are the share of the worn layers and its errors") {
        // A bead that is due for sure is found with the chance of detection, strays apart.
        const Date far = make_date(2060, 5, 1);
        const BackTest late = back_test(fleet_of(coach), {finding_of_grade(coach, vent, far, 4)}, make_date(2060, 1, 1), make_date(2061, 1, 1), options);
        const GradeScale scale = grade_scale(Catalogue::built_in());
        const double of_worn = (1 - scale.stray) * scale.detection + scale.stray * 0.5;
        CHECK(late.chance_due(0, 0) == Approx(of_worn).margin(0.03));  // a bead overlooked reads as grade 2, and now and then as 3
    }
    SECTION("a catalogue is judged by its own errors of looks, whatever stands before it") {
        const auto with = [](const std::string& id, const char* sd) {
            const std::string entry = std::string("{\"value\": ") + sd + R"(, "unit": "grade", "low": 0.1, "high": 1.5, "source": "test", "mark": "judgement"})";
            return Catalogue::built_in().with_overlay(R"({"schema": "libseal/catalogue/1", "values": {")" + id + "\": " + entry + "}}", "test");
        };
        for (const char* id : {"model/look_sd", "model/look_sd_measured"}) {
            INFO(id);
            const Catalogue other = with(id, "0.25");
            options.catalogues = {{"other", other}};
            const BackTest alone = back_test(fleet_of(coach), findings, from, to, options);
            options.catalogues = {{"old", Catalogue::built_in()}, {"other", other}, {"again", Catalogue::built_in()}};
            const BackTest both = back_test(fleet_of(coach), findings, from, to, options);
            CHECK((both.chance_due.col(0) == test.chance_due.col(0)).all());
            CHECK((both.chance_due.col(1) == alone.chance_due.col(0)).all());
            CHECK((both.chance_of_grade.col(1) == alone.chance_of_grade.col(0)).all());
            CHECK((both.chance_of_grade.col(2) == both.chance_of_grade.col(0)).all());
            CHECK((both.chance_of_grade.col(1) != both.chance_of_grade.col(0)).any());
        }
    }
    SECTION("wrong calls") {
        CHECK_THROWS_AS(back_test(fleet_of(coach), findings, to, from, options), ValueError);
        options.bins = 1;
        CHECK_THROWS_AS(back_test(fleet_of(coach), findings, from, to, options), ValueError);
        options.bins = 10;
        options.catalogues = {{"a", Catalogue::built_in()}, {"a", Catalogue::built_in()}};
        CHECK_THROWS_AS(back_test(fleet_of(coach), findings, from, to, options), ValueError);
    }
}
