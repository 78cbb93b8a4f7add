// Rules of lives at their borders: nobody left, nothing seen, certainty, costs that never rise.

#include "support/catch.hpp"

#include <cmath>
#include <numeric>
#include <vector>

#include "libseal/core/error.hpp"
#include "libseal/life/condition_policy.hpp"
#include "libseal/life/detection.hpp"
#include "libseal/life/fit.hpp"
#include "libseal/life/interval_sensitivity.hpp"
#include "libseal/life/intervals.hpp"
#include "libseal/life/probability_plot.hpp"
#include "libseal/life/shared_rates.hpp"
#include "libseal/life/survival.hpp"
#include "libseal/life/turnbull.hpp"

using namespace libseal;

namespace {

Column column(const std::vector<double>& v) { return Eigen::Map<const Column>(v.data(), static_cast<Eigen::Index>(v.size())); }

}  // namespace

TEST_CASE("a life table ends with the last life, and refuses failures after it", "[law][bad_input]") {
    // All ten leave at the start of the interval: nobody was exposed, so nothing is known to have failed.
    ActuarialOptions start;
    start.withdrawn_share = 1;
    const SurvivalCurve none = life_table(column({0, 1, 2}), 10, column({0, 0}), column({10, 0}), start);
    REQUIRE(none.time.size() == 1);
    CHECK(none.at_risk[0] == 0);
    CHECK(none.survival[0] == 1);
    CHECK(none.se[0] == 0);
    CHECK(none.lower[0] == 1);
    // Ten fail in the first interval: empty intervals may follow, failures may not.
    const SurvivalCurve all = life_table(column({0, 1, 2}), 10, column({10, 0}), column({0, 0}));
    REQUIRE(all.time.size() == 1);
    CHECK(all.survival[0] == 0);
    CHECK(all.lower[0] == 0);
    CHECK(all.upper[0] == 1);
    CHECK_THROWS_WITH(life_table(column({0, 1, 2}), 10, column({10, 3}), column({0, 0})),
                      "failed[1]: expected no more failed and withdrawn than the 0 that were left, got 3");
    CHECK_THROWS_AS(life_table(column({0, 1, 2}), 10, column({10, 0}), column({0, -1})), ValueError);
    // Tenths do not add up to the last bit; that is no failure too many.
    CHECK(life_table(column({0, 1, 2, 3, 4}), 0.3, column({0.1, 0.1, 0.1, 0}), column({0, 0, 0, 0})).survival[2] == Approx(0).margin(1e-15));
}

TEST_CASE("groups that were never watched at one time say nothing of each other", "[law]") {
    LogRankOptions options;
    options.entry = column({0, 0, 5, 5});
    const GroupTest test = log_rank(column({2, 3, 7, 8}), {true, true, true, true}, {1, 1, 2, 2}, options);
    CHECK(test.degrees == 0);
    CHECK(test.p_value == 1);
    CHECK(test.chi_square == 0);
    CHECK(test.observed[0] == 2);
    CHECK(test.expected[0] == 2);
    // As many labels as lives, 501 of them.
    std::vector<int> label(501);
    std::iota(label.begin(), label.end(), 0);
    CHECK_THROWS_AS(log_rank(Column::LinSpaced(501, 1, 2), std::vector<bool>(501, true), label), ValueError);
}

TEST_CASE("what failed at age nought has no place on an axis of logarithms, what follows keeps its share", "[law]") {
    const SurvivalCurve steps = kaplan_meier(column({0, 1, 2}), {true, true, true});
    const PlotPositions plot = plot_positions(steps, "weibull");
    // Shares failed 1/3, 2/3, 1: the middles of the last two steps are 1/2 and 5/6.
    REQUIRE(plot.time.size() == 2);
    CHECK(plot.time[0] == 1);
    CHECK(plot.failed[0] == Approx(0.5).epsilon(1e-14));
    CHECK(plot.failed[1] == Approx(5.0 / 6).epsilon(1e-14));
    // Exact lives among intervals: the same middles as the product-limit estimate; what outlives all has no place.
    const LifeData lives{column({1, 2, 2}), column({1, 2, INFINITY})};
    const PlotPositions exact = plot_positions(turnbull(lives), "weibull");
    REQUIRE(exact.time.size() == 2);
    CHECK(exact.failed[0] == Approx(1.0 / 6).epsilon(1e-9));
    CHECK(exact.failed[1] == Approx(0.5).epsilon(1e-9));
}

TEST_CASE("a certain defect stays certain however often it was missed", "[law]") {
    CHECK(defect_after_clean(1, 0.5, 3) == 1);
    CHECK(defect_after_clean(1, 0.5, 5000) == 1);  // 2^-5000 has no double
    CHECK(defect_after_clean(1, 1, 0) == 1);
    CHECK(defect_after_clean(0.5, 1, 1) == 0);
    CHECK_THROWS_AS(defect_after_clean(1, 1, 1), ValueError);
    CHECK_THROWS_AS(defect_after_alarm(0, 0.9, 0), ValueError);
    CHECK(defect_after_alarm(0, 0.9, 0.1) == 0);
}

TEST_CASE("before the first visit nothing is found and nothing is learnt", "[law]") {
    const Column found = first_found(Column(0), 0.7);
    REQUIRE(found.size() == 1);
    CHECK(found[0] == 1);
    const LookHistory empty = look_history(Column(0), {}, 0.7, 0.1);
    CHECK(empty.likelihood == 1);
    CHECK(empty.defect == 0);
    // Without a grade the state is even between its ends: mean 3, sd 4/sqrt(12).
    const LatentBelief even = latent_after_grades({}, column({1}), 0.5, 1, 5);
    CHECK(even.mean == Approx(3).epsilon(1e-12));
    CHECK(even.sd == Approx(4 / std::sqrt(12.0)).epsilon(1e-12));
    CHECK_THROWS_WITH(latent_after_grades({0}, column({0}), 1e-3, 100, 101), Catch::Matchers::Contains("grades of probability 0"));
}

TEST_CASE("patching what does not age costs its hazard for ever", "[law]") {
    // Cost of interval t: (150 + 60 t/8)/t, falling to 60/8 however life is written.
    const auto exact = best_renewal_interval(Weibull{8, 1}, 150, 60);
    const auto lived = best_renewal_interval(LifeLaw::exponential(8), 150, 60);
    const auto written = best_renewal_interval(
        LifeLaw([](double t) { return std::exp(-t / 8); }, [](double t) { return std::exp(-t / 8) / 8; }), 150, 60);
    for (const auto& best : {exact, lived, written}) {
        CHECK_FALSE(best.finite);
        CHECK(std::isinf(best.interval));
        CHECK(best.cost_rate == Approx(7.5).epsilon(1e-9));
        CHECK(best.run_to_failure == best.cost_rate);
    }
    // Of two kinds in even shares with means 2 and 10 the weak are gone in the end: the hazard falls to 1/10.
    const LifeLaw mixed([](double t) { return 0.5 * (std::exp(-t / 2) + std::exp(-t / 10)); },
                        [](double t) { return 0.5 * (std::exp(-t / 2) / 2 + std::exp(-t / 10) / 10); });
    const auto best = best_renewal_interval(mixed, 150, 60);
    CHECK_FALSE(best.finite);
    CHECK(best.cost_rate == Approx(6).epsilon(1e-6));
}

TEST_CASE("policies cross where their costs differ by next to nothing", "[law]") {
    const auto first = [](double x) { return 1e-200 * x; };
    const auto second = [](double x) { return 1e-200 * (3 - x); };
    for (const Column& even : {break_even(first, second, 0, 4, 3), break_even(second, first, 0, 4, 3)}) {
        REQUIRE(even.size() == 1);
        CHECK(even[0] == Approx(1.5).epsilon(1e-12));
    }
    // A crossing at an end of the range or of a step is found once.
    const auto line = [](double x) { return x; };
    for (const double at : {0.0, 1.0, 2.0}) {
        const Column even = break_even(line, [at](double) { return at; }, 0, 2, 2);
        REQUIRE(even.size() == 1);
        CHECK(even[0] == at);
    }
    CHECK_THROWS_AS(break_even({}, line, 0, 1), ValueError);
}

TEST_CASE("a detection that is wrong is thought no worse than looks may be", "[law]") {
    const LifeLaw delay = LifeLaw::exponential(2);
    const auto place = [](const IntervalSensitivity& table) {
        for (std::size_t i = 0; i < table.input.size(); ++i)
            if (table.input[i] == "detection") return static_cast<Eigen::Index>(i);
        return Eigen::Index{-1};
    };
    // 0.012/1.5 is below the least detection 0.01: tuned for 0.01.
    const auto table = inspection_sensitivity(0.8, delay, 0.012, 1e-4, 150, 1200, 1.5);
    const Eigen::Index i = place(table);
    REQUIRE(i >= 0);
    const double thought = best_inspection_interval(0.8, delay, 0.01, 1e-4, 150, 1200).interval;
    const auto best = best_inspection_interval(0.8, delay, 0.012, 1e-4, 150, 1200);
    const double paid = inspection_cost_curve(0.8, delay, 0.012, 1e-4, 150, 1200, Column::Constant(1, thought))[0];
    CHECK(table.loss_if_low[i] == Approx(paid / best.cost_rate - 1).epsilon(1e-6));
    // At the least detection itself there is nothing below: no loss, and a difference to one side.
    const auto least = inspection_sensitivity(0.8, delay, 0.01, 1e-4, 150, 1200, 1.5);
    CHECK(least.loss_if_low[place(least)] == Approx(0).margin(1e-12));
    CHECK(least.cost_change[place(least)] < 0);
    // A repair that costs nothing has no ratio to be wrong by.
    const auto free = inspection_sensitivity(0.8, delay, 0.9, 60, 0, 1200, 2);
    CHECK(free.input[4] == "repair_cost");
    CHECK(free.interval_change[4] == 0);
    CHECK(free.loss_if_high[4] == 0);
}

TEST_CASE("a single event or none settles a rate that is far from the expected one", "[reference]") {
    // None seen: e^-m <= 0.05 needs m = -ln 0.05. One seen: 1 - e^(-40 m) = 0.8 needs m = -ln(0.2)/40.
    const ExposureNeeded none = exposure_to_settle(0.5, 0.001, 0.05, 0.8);
    CHECK(none.critical == 0);
    CHECK(none.exposure == Approx(-std::log(0.05) / 0.5).epsilon(1e-10));
    const ExposureNeeded one = exposure_to_settle(0.5, 40, 0.05, 0.8);
    CHECK(one.critical == 1);
    CHECK(one.exposure == Approx(-std::log(0.2) / 40 / 0.5).epsilon(1e-10));
    CHECK_THROWS_WITH(exposure_to_settle(1, 1 + 1e-6, 0.05, 0.8), Catch::Matchers::Contains("10^7 events"));
}

TEST_CASE("conditions that are never renewed have the number of conditions as their threshold", "[law]") {
    // Worn parts run at no extra cost: renewing never pays. Half of the steps from new wear, worn stays worn.
    Eigen::ArrayXXd moves(2, 2);
    moves << 0.5, 0.5, 0, 1;
    const ConditionPolicy never = best_condition_policy(moves, column({2, 2}), column({0, 10}));
    CHECK(never.threshold == 2);
    CHECK(never.cost_rate == Approx(2).epsilon(1e-12));
    CHECK(never.share[1] == Approx(1).epsilon(1e-12));
    // Worn costs 5 a step, a renewal 4 and half of the renewed wear at once: half of the steps each, (2 + 4)/2 = 3.
    const ConditionPolicy always = best_condition_policy(moves, column({2, 5}), column({0, 4}));
    CHECK(always.threshold == 1);
    CHECK(always.cost_rate == Approx(3).epsilon(1e-12));
}

TEST_CASE("a test of likelihoods keeps its digits where hardly any chance is left", "[law]") {
    // Synthetic: 80 lives at the quantiles of a Weibull of shape 5, taken for an exponential life.
    Column life(80);
    for (Eigen::Index i = 0; i < 80; ++i) life[i] = 8 * std::pow(-std::log1p(-(static_cast<double>(i) + 0.5) / 80), 0.2);
    FitOptions options;
    options.distribution = "weibull";
    const LifeFit wide = fit_life(life, life, options);
    options.distribution = "exponential";
    const LifeFit narrow = fit_life(life, life, options);
    const LikelihoodRatio ratio = likelihood_ratio_test(narrow, wide);
    CHECK(ratio.freedom == 1);
    CHECK(ratio.statistic > 90);
    // With one degree of freedom the root of the statistic is normal: both its tails.
    CHECK(ratio.p == Approx(std::erfc(std::sqrt(0.5 * ratio.statistic))).epsilon(1e-9).margin(0));
    CHECK(ratio.p > 0);
    CHECK_THROWS_AS(likelihood_ratio_test(wide, narrow), ValueError);
    CHECK_THROWS_AS(likelihood_ratio_test(wide, wide), ValueError);
    // Survival before birth and at the end of time.
    CHECK(wide.survival(-1) == 1);
    CHECK(wide.survival(INFINITY) == 0);
    CHECK(wide.density(-1) == 0);
    CHECK(wide.density(INFINITY) == 0);
    CHECK_THROWS_AS(wide.survival(std::nan("")), ValueError);
    CHECK_THROWS_AS(wide.hazard(INFINITY), ValueError);
}
