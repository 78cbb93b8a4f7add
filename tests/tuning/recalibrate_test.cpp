// Catalogues held against inspections. Fleets are synthetic: drawn from the model, so that the truth is known.
#include "support/catch.hpp"

#include <algorithm>
#include <cmath>

#include <Eigen/LU>

#include "libseal/core/error.hpp"
#include "libseal/tuning/back_test.hpp"
#include "libseal/tuning/recalibrate.hpp"
#include "tuning/simulated_fleet.hpp"
#include "tuning/sites.hpp"

using namespace libseal;
using namespace libseal::tuning_tests;

namespace {

const std::map<std::string, double> truth = {{"self_levelling_lap", 1.5}, {"non_sag_lap", 0.65}};

Eigen::Index row_of(const Recalibration& r, const std::string& family) {
    for (std::size_t i = 0; i < r.families.family.size(); ++i)
        if (r.families.family[i] == family) return static_cast<Eigen::Index>(i);
    throw std::logic_error("no row of " + family);
}

/// What was known at the end of 2024.
Recalibration known_before_the_last_year(const FleetHistory& made, const History& history, std::shared_ptr<Session> session = nullptr) {
    const Date as_of = make_date(2025, 1, 1);
    RecalibrationOptions options;
    options.catalogue = made.catalogue();
    options.session = std::move(session);
    std::vector<Finding> before;
    for (const auto& finding : history.findings)
        if (finding.date <= as_of) before.push_back(finding);
    for (const auto& work : history.work)
        if (work.date <= as_of) options.work_done.push_back(work);
    return recalibrate(history.fleet, before, as_of, options);
}

struct TenYears {
    FleetHistory made{120, 6, 1};
    History history = made.run(truth);
    Recalibration recalibration = known_before_the_last_year(made, history);
};

const TenYears& ten_years() {
    static const TenYears one;
    return one;
}

}  // namespace

TEST_CASE("ten years of inspections recover the true lives of families", "[tuning][simulation]") {
    const Recalibration& r = ten_years().recalibration;
    REQUIRE(r.families.size() == 2);
    for (const auto& [family, factor] : truth) {
        const Eigen::Index i = row_of(r, family);
        const double true_life = factor * r.families.old_life[i];
        CHECK(r.families.life_low[i] < true_life);
        CHECK(r.families.life_high[i] > true_life);
        CHECK(r.families.verdict[static_cast<std::size_t>(i)] == "enough");
        CHECK(r.families.log_sd[i] < 0.5 * r.families.prior_sd[i]);
        CHECK(r.families.coaches[static_cast<std::size_t>(i)] == 60);
        CHECK(r.families.years_after[i] / r.families.years_before[i] == Approx(r.families.life[i] / r.families.old_life[i]));
    }
    CHECK(r.model_lines.size() == 12);
    CHECK(r.coaches.size() == 120);
    CHECK(r.families.prior_sd[row_of(r, "self_levelling_lap")] == Approx(std::log(7.0 / 2.0) / 4));  // range of the catalogue
}

TEST_CASE("intervals of lives hold the truth as often as they say", "[tuning][simulation]") {
    // True factors from the prior; 95 % of the intervals should hold them, 50 % the half as wide ones (0.6745 sd).
    constexpr int fleets = 24;
    auto session = std::make_shared<Session>(plain_catalogue());
    int inside = 0, half = 0;
    double square = 0;
    for (int f = 0; f < fleets; ++f) {
        FleetHistory made(32, 4, 100 + static_cast<std::uint64_t>(f));
        std::map<std::string, double> factor;
        for (const auto& [family, unused] : truth)
            factor[family] = std::exp(detail::family_prior_sd(made.catalogue(), family, std::nan("")) * made.random().normal());
        const History history = made.run(factor);
        RecalibrationOptions options;
        options.session = session;
        options.catalogue = session->catalogue();
        options.work_done = history.work;
        const Recalibration r = recalibrate(history.fleet, history.findings, FleetHistory::last_day(), options);
        for (const auto& [family, true_factor] : factor) {
            const Eigen::Index i = row_of(r, family);
            const double z = std::log(r.families.life[i] / (true_factor * r.families.old_life[i])) / r.families.log_sd[i];
            inside += std::abs(z) < 1.959964;
            half += std::abs(z) < 0.67449;
            square += z * z;
        }
    }
    INFO(inside << " and " << half << " of " << 2 * fleets << ", mean square of z " << square / (2 * fleets));
    CHECK(inside >= 41);  // of 48 independent ones at 95 %: fewer in 1 of 150 times
    CHECK(half >= 15);    // at 50 %: outside 15..33 in 1 of 100 times
    CHECK(half <= 33);
    CHECK(square / (2 * fleets) == Approx(1).margin(0.6));  // three errors of a mean of 48 squares
}

TEST_CASE("the last year is forecast better with the lives that the years before gave", "[tuning][simulation]") {
    const TenYears& t = ten_years();
    const std::string overlay = fitted_overlay(t.recalibration, {"self_levelling_lap", "non_sag_lap"}, "a test");
    BackTestOptions options;
    options.work_done = t.history.work;
    options.catalogues = {{"old", t.made.catalogue()}, {"new", t.made.catalogue().with_overlay(overlay, "overlay")}};
    options.each_alone = true;
    const Date as_of = make_date(2025, 1, 1), until = make_date(2026, 1, 1);
    const BackTest test = back_test(t.history.fleet, t.history.findings, as_of, until, options);
    REQUIRE(test.scores.size() == 2);
    const CatalogueScore &old_one = test.scores[0], &new_one = test.scores[1];
    INFO(back_test_text(test));
    CHECK(new_one.log_gain > 2 * new_one.log_gain_error);
    CHECK(new_one.brier_gain > new_one.brier_gain_error);
    CHECK(new_one.log_gain == Approx(old_one.log_score - new_one.log_score));
    const auto found = static_cast<double>(std::count_if(test.lowest.begin(), test.lowest.end(), [](int grade) { return grade >= 3; }));
    CHECK(std::abs(new_one.expected_due - found) < std::abs(old_one.expected_due - found));
    SECTION("with a long history the fleet itself teaches the forecast: both are calibrated and near each other") {
        options.each_alone = false;
        const BackTest taught = back_test(t.history.fleet, t.history.findings, as_of, until, options);
        for (const CatalogueScore& score : taught.scores) {
            INFO(score.catalogue);
            CHECK(std::abs(score.expected_due - found) < 3 * std::sqrt(score.sharpness * static_cast<double>(taught.size())));
            // Ten bins of a tenth of 320 ranks each: three errors of a share are 0.05.
            CHECK(score.ranks.maxCoeff() < 0.15);
            CHECK(score.ranks.minCoeff() > 0.05);
            CHECK(score.log_score < old_one.log_score);
        }
        CHECK(std::abs(taught.scores[1].log_gain) < 0.25 * new_one.log_gain);
    }
}

TEST_CASE("spreads between lines, coaches and joints are found again", "[tuning][simulation]") {
    const EffectSpreads& s = ten_years().recalibration.spreads;
    CHECK(s.gain >= 0);
    CHECK(s.coach_old == 0.16);
    CHECK(s.coach == Approx(0.16).margin(0.08));
    CHECK(s.joint == Approx(0.20).margin(0.10));
    CHECK(s.model_line == Approx(0.12).margin(0.12));
}

TEST_CASE("an approved overlay reads back with its origin", "[tuning]") {
    const TenYears& t = ten_years();
    const Recalibration& r = t.recalibration;
    const Catalogue taken = Catalogue::built_in().with_overlay(fitted_overlay(r, {"non_sag_lap"}, "the foreman"), "overlay");
    const SourcedValue& life = taken.at("sealant/non_sag_lap/median_life");
    const Eigen::Index i = row_of(r, "non_sag_lap");
    CHECK(life.value == Approx(r.families.life[i]).margin(5e-4));
    CHECK(life.low == Approx(r.families.life_low[i]).margin(5e-4));
    CHECK(life.high == Approx(r.families.life_high[i]).margin(5e-4));
    CHECK(life.mark == Mark::fitted);
    CHECK(life.source.find("fitted from ") == 0);
    CHECK(life.source.find("on 60 coaches") != std::string::npos);
    CHECK(life.source.find("approved by the foreman") != std::string::npos);
    CHECK(life.source.find("before 5.5 yr (judgement)") != std::string::npos);
    CHECK(taken.number("sealant/self_levelling_lap/median_life") == 4);  // not approved
    CHECK(check_catalogue(taken).empty());
    CHECK_THROWS_AS(fitted_overlay(r, {}, "the foreman"), ValueError);
    CHECK_THROWS_AS(fitted_overlay(r, {"non_sag_lap"}, ""), ValueError);
    CHECK_THROWS_WITH(fitted_overlay(r, {"non_sag_lapp"}, "the foreman"), Catch::Matchers::Contains("non_sag_lap"));
    const std::string text = recalibration_text(r);
    CHECK(text.find("life in the catalogue   5.5 yr") != std::string::npos);
    CHECK(text.find("enough for the catalogue") != std::string::npos);
}

TEST_CASE("few looks are not enough for the catalogue, and say why", "[tuning]") {
    const Coach coach = small_coach("c", "line", "725350", make_date(2018, 5, 1), make_date(2018, 5, 1));
    const std::vector<Finding> findings = {finding_of_grade(coach, joint_of_type(coach, "window_frame"), make_date(2022, 5, 1), 3)};
    const Recalibration r = recalibrate(fleet_of(coach), findings, make_date(2023, 1, 1));
    REQUIRE(r.families.size() == 1);
    CHECK(r.families.layers[0] == 1);
    CHECK(r.families.verdict[0].find("1 of 30 layers, on 1 of 5 coaches, 1 of 5 found due, sd 0.") == 0);
    CHECK(r.families.life[0] < r.families.old_life[0]);  // due at 4 years
    CHECK_THROWS_WITH(fitted_overlay(r, {"non_sag_lap"}, "the foreman"), Catch::Matchers::Contains("1 of 30 layers"));
    CHECK(recalibrate(fleet_of(coach), {}, make_date(2023, 1, 1)).families.size() == 0);
    RecalibrationOptions options;
    options.least_layers = 0;
    CHECK_THROWS_AS(recalibrate(fleet_of(coach), findings, make_date(2023, 1, 1), options), ValueError);
    options.least_layers = 30;
    options.prior_sd = -1;
    CHECK_THROWS_AS(recalibrate(fleet_of(coach), findings, make_date(2023, 1, 1), options), ValueError);
}

TEST_CASE("recalibration does not hang on threads or the order of findings", "[tuning]") {
    FleetHistory made(6, 2, 9);
    const History history = made.run(truth);
    RecalibrationOptions options;
    options.catalogue = made.catalogue();
    options.work_done = history.work;
    options.threads = 1;
    const Recalibration one = recalibrate(history.fleet, history.findings, FleetHistory::last_day(), options);
    auto reversed = history.findings;
    std::reverse(reversed.begin(), reversed.end());
    options.threads = 3;
    const Recalibration three = recalibrate(history.fleet, reversed, FleetHistory::last_day(), options);
    CHECK((one.families.life == three.families.life).all());
    CHECK((one.coaches.life == three.coaches.life).all());
    CHECK(one.spreads.joint == three.spreads.joint);
}

TEST_CASE("the evidence of a tree of messages is that of the normal distribution", "[tuning]") {
    // Against the dense covariance of five joints: two lines, three coaches. Invented messages.
    using detail::MessageTree;
    const std::vector<EffectKey> keys = {{"f", "a", "1", "x"}, {"f", "a", "1", "y"}, {"f", "a", "2", "x"}, {"f", "b", "3", "x"}, {"f", "b", "3", "y"}};
    const std::vector<NormalMessage> values = {{4, 1}, {2, -1}, {7, 3}, {1, 0.5}, {0, 0}};
    std::map<EffectKey, NormalMessage> messages;
    for (std::size_t i = 0; i < keys.size(); ++i) messages.emplace(keys[i], values[i]);
    const EffectSpread sd{0.3, 0.2, 0.25, 0.4};
    Eigen::MatrixXd covariance(5, 5), precision = Eigen::MatrixXd::Zero(5, 5);
    Eigen::VectorXd shift(5);
    for (int i = 0; i < 5; ++i) {
        const auto &a = keys[static_cast<std::size_t>(i)];
        precision(i, i) = values[static_cast<std::size_t>(i)].precision;
        shift[i] = values[static_cast<std::size_t>(i)].shift;
        for (int j = 0; j < 5; ++j) {
            const auto& b = keys[static_cast<std::size_t>(j)];
            covariance(i, j) = sd.family * sd.family + (a.model_line == b.model_line ? sd.model_line * sd.model_line : 0) +
                               (a.coach == b.coach ? sd.coach * sd.coach : 0) + (i == j ? sd.joint * sd.joint : 0);
        }
    }
    // Integral of exp(shift s - s' precision s / 2) over s of that covariance.
    const Eigen::MatrixXd both = covariance.inverse() + precision;
    const double dense = 0.5 * shift.dot(both.inverse() * shift) - 0.5 * std::log((both * covariance).determinant());
    CHECK(MessageTree(messages).log_evidence(sd) == Approx(dense).epsilon(1e-10));
}
