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
#include "libseal/life/weibull.hpp"

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

TEST_CASE("the hazard of a fitted life keeps its digits long after all have failed", "[law]") {
    // h(t) = shape/scale (t/scale)^(shape - 1), where survival has been 0 for long and its logarithm has no digits left.
    const Column life = column({1, 1.02, 1.01, 1.03, 0.97});  // synthetic
    FitOptions options;
    options.distribution = "weibull";
    const LifeFit narrow = fit_life(life, life, options);
    const double scale = narrow.quantile(1 - std::exp(-1)), shape = std::log(std::log(2.0)) / std::log(narrow.quantile(0.5) / scale);
    REQUIRE(shape > 20);
    for (const double t : {0.5, 0.99, 1.5, 2.0, 1e3})
        CHECK(std::log(narrow.hazard(t)) == Approx(std::log(shape / scale) + (shape - 1) * std::log(t / scale)).epsilon(1e-8));
    options.distribution = "exponential";
    const LifeFit even = fit_life(life, life, options);
    for (const double t : {1e-3, 1.0, 1e3, 1e50, 1e308}) CHECK(even.hazard(t) == Approx(5 / life.sum()).epsilon(1e-9));
    options.distribution = "loglogistic";
    const LifeFit late = fit_life(life, life, options);
    const double steep = std::log(3.0) / std::log(late.quantile(0.75) / late.quantile(0.5));
    for (const double t : {1e10, 1e200}) CHECK(t * late.hazard(t) == Approx(steep).epsilon(1e-8));  // tends to shape/t
}

TEST_CASE("fits whose parameters have one name and another meaning are not compared", "[law][bad_input]") {
    // Synthetic: 40 lives at quantiles, looked at every year, with two covariates and two ways to group them.
    constexpr Eigen::Index count = 40;
    Column life(count);
    Eigen::ArrayXXd one(count, 1), two(count, 2);
    std::vector<std::string> pairs, tens;
    std::vector<Column> visits;
    Column lower(count), upper(count);
    for (Eigen::Index i = 0; i < count; ++i) {
        life[i] = 6 * std::pow(-std::log1p(-(static_cast<double>((7 * i) % count) + 0.5) / count), 0.5);
        one(i, 0) = two(i, 0) = static_cast<double>(i % 5);
        two(i, 1) = static_cast<double>(i % 3);
        pairs.push_back(std::to_string(i % 20));
        tens.push_back(std::to_string(i / 10));
        lower[i] = std::floor(life[i]);
        upper[i] = lower[i] + 1;
        visits.push_back(Column::LinSpaced(static_cast<Eigen::Index>(lower[i]), 1, lower[i]));
    }
    const auto fit = [&](const Eigen::ArrayXXd& x, const std::vector<std::string>& groups, double detection) {
        FitOptions options;
        options.covariates = x;
        options.groups = groups;
        if (detection > 0) options.visits = visits, options.detection = detection;
        return detection > 0 ? fit_life(lower, upper, options) : fit_life(life, life, options);
    };
    const Eigen::ArrayXXd none(0, 0), other = two.rowwise().reverse();
    CHECK(likelihood_ratio_test(fit(one, {}, 0), fit(two, {}, 0)).freedom == 1);
    CHECK_THROWS_WITH(likelihood_ratio_test(fit(one, {}, 0), fit(other, {}, 0)),
                      "wide: expected a fit with the values that narrow has of \"x1\", got others");
    CHECK(likelihood_ratio_test(fit(none, pairs, 0), fit(one, pairs, 0)).freedom == 1);
    CHECK_THROWS_WITH(likelihood_ratio_test(fit(none, pairs, 0), fit(one, tens, 0)), Catch::Matchers::Contains("the groups of narrow"));
    CHECK(likelihood_ratio_test(fit(none, {}, 0.7), fit(one, {}, 0.7)).freedom == 1);
    CHECK_THROWS_WITH(likelihood_ratio_test(fit(none, {}, 0.7), fit(one, {}, 0.9)), Catch::Matchers::Contains("chance of detection"));
    const LifeFit looked = fit(one, {}, 0.7);
    REQUIRE(lower[1] == 2);
    visits[1] = Column::Constant(1, 2);
    CHECK_THROWS_WITH(likelihood_ratio_test(fit(none, {}, 0.7), looked), Catch::Matchers::Contains("the looks of narrow"));
}

TEST_CASE("covariates in units far from 1 have coefficients in them", "[law]") {
    // Synthetic. ln scale = a + b x: a covariate in other units has a coefficient in their inverse, and nothing else moves.
    const Column life = column({2, 3, 4, 5, 6, 3, 7, 8, 5, 9});
    Eigen::ArrayXXd x(10, 1);
    x << 1, 1, 2, 2, 3, 1, 3, 4, 2, 4;
    FitOptions options;
    options.covariates = x;
    const LifeFit plain = fit_life(life, life, options);
    for (const double unit : {1e-250, 1e-170, 1e170, 1e250}) {
        INFO(unit);
        options.covariates = x * unit;
        const LifeFit fit = fit_life(life, life, options);
        REQUIRE(fit.converged());
        CHECK(fit.log_likelihood() == Approx(plain.log_likelihood()).epsilon(1e-12));
        CHECK(fit.estimate()[1] * unit == Approx(plain.estimate()[1]).epsilon(1e-7));
        CHECK(fit.estimate()[0] == Approx(plain.estimate()[0]).epsilon(1e-7));
    }
}

TEST_CASE("steep lives and far ages of a Weibull life have their area", "[law]") {
    // Area up to t: t while nothing has failed, the mean after all have.
    const LifeLaw steep = Weibull{10, 1e5}, cubic = Weibull{2, 3};
    CHECK(steep.area(5) == Approx(5).epsilon(1e-15));
    CHECK(cubic.area(1e-110) == Approx(1e-110).epsilon(1e-15).margin(0));
    CHECK(cubic.area(1e200) == Approx(2 * std::tgamma(4.0 / 3)).epsilon(1e-12));
    CHECK(defect_failure_share(cubic, 0.5, column({1e-150, 1e200}))[0] == Approx(0).margin(1e-12));
    CHECK(defect_failure_share(cubic, 0.5, column({1e-150, 1e200}))[1] == 1);
    CHECK(replacement_cost_curve(Weibull{10, 100}, 1, 5, column({1e-3}))[0] == Approx(1000).epsilon(1e-12));
    // Mean time left to what is old: one over the hazard, shape/scale (t/scale)^(shape - 1).
    CHECK(Weibull(2, 3).mean_residual(1e110) == Approx(2.0 / 3 * std::pow(0.5e110, -2)).epsilon(1e-12).margin(0));
}

TEST_CASE("lives so narrow that all fail nearly at once are replaced just before", "[law]") {
    // No second renewal comes so early: the cost of dates every t is (1 + 5 F(t))/t, and of an age (S + 5 F)/(t to a part in shape).
    for (const double shape : {300.0, 1000.0, 1e5}) {
        INFO(shape);
        const auto failed = [&](double t) { return -std::expm1(-std::pow(t / 10, shape)); };
        double least = INFINITY;
        for (int k = 0; k <= 400000; ++k) {
            const double t = 10 * std::exp(-20 / shape * k / 400000);
            least = std::min(least, (1 + 5 * failed(t)) / t);
        }
        const auto block = best_block_interval(Weibull{10, shape}, 1, 5);
        REQUIRE(block.finite);
        CHECK(block.cost_rate == Approx(least).epsilon(1e-9));
        CHECK(block.cost_rate == Approx((1 + 5 * failed(block.interval)) / block.interval).epsilon(1e-9));
        const auto age = best_replacement_age(Weibull{10, shape}, 1, 5);
        REQUIRE(age.finite);
        CHECK(age.cost_rate == Approx(block.cost_rate).epsilon(2 / shape));
    }
    // One in a hundred fails at an even rate before, so that second renewals count while the steps do not come so far.
    const LifeLaw mixed([](double t) { return 0.01 * std::exp(-t) + 0.99 * std::exp(-std::pow(t / 10, 1000)); },
                        [](double t) { return 0.01 * std::exp(-t) + (t > 0 ? 99 / t * std::pow(t / 10, 1000) * std::exp(-std::pow(t / 10, 1000)) * 10 : 0); });
    CHECK_THROWS_WITH(best_block_interval(mixed, 1, 5), Catch::Matchers::Contains("life: expected a life less narrow"));
}

TEST_CASE("patching for ever costs the hazard that is left, or has no end", "[law]") {
    // A table with S(5) = 0.9 and S(10) = 0.2 goes on at the hazard of its later half, ln(0.9/0.2)/5, for ever.
    const LifeLaw table = LifeLaw::table(column({1, 5, 10}), column({1, 0.9, 0.2}));
    const auto best = best_renewal_interval(table, 15, 60);
    CHECK(best.finite);
    CHECK(best.run_to_failure == Approx(60 * std::log(4.5) / 5).epsilon(1e-9));
    CHECK(best.cost_rate < best.run_to_failure);
    // Hazards that grow without end, however the life is written.
    const Weibull worn{8, 2.5};
    const LifeLaw written([worn](double t) { return worn.survival(t); }, [worn](double t) { return worn.density(t); });
    for (const LifeLaw& life : {LifeLaw(worn), written, LifeLaw::uniform(2, 10), LifeLaw::table(column({5, 10}), column({0.9, 0}))}) {
        const auto renewed = best_renewal_interval(life, 150, 60);
        CHECK(renewed.finite);
        CHECK(std::isinf(renewed.run_to_failure));
    }
    // So dear that its best interval lies where one in 10^9 is left: not found for what is no Weibull life, and told so.
    const auto dear = best_renewal_interval(written, 1.5e8, 60);
    CHECK_FALSE(dear.finite);
    CHECK(std::isinf(dear.run_to_failure));
    CHECK(std::isfinite(dear.cost_rate));
    CHECK(best_renewal_interval(worn, 1.5e8, 60).finite);
}

TEST_CASE("a sensitivity that cannot be told leaves the others as they are", "[law]") {
    // Even between 9 and 10: a beginning 1.5 times as late, or an end 1.5 times as early, is no life.
    const LifeLaw narrow = LifeLaw::uniform(9, 10);
    const auto table = replacement_sensitivity(narrow, 1, 5);
    REQUIRE(table.input == std::vector<std::string>{"life/low", "life/high", "planned_cost", "failure_cost"});
    CHECK(std::isnan(table.loss_if_high[0]));
    CHECK(std::isnan(table.loss_if_low[1]));
    // Tuned for 6 to 10, paid at 9 to 10.
    const auto best = best_replacement_age(narrow, 1, 5);
    const double early = best_replacement_age(LifeLaw::uniform(6, 10), 1, 5).age;
    CHECK(table.loss_if_low[0] == Approx(replacement_cost_curve(narrow, 1, 5, column({early}))[0] / best.cost_rate - 1).epsilon(1e-6));
    for (const Eigen::Index i : {2, 3}) CHECK(std::isfinite(table.interval_change[i] + table.cost_change[i] + table.loss_if_low[i] + table.loss_if_high[i]));
    // Costs in other money change no interval: both shares of the cost sum to one.
    CHECK(table.cost_change[2] + table.cost_change[3] == Approx(1).epsilon(1e-6));
    const auto delayed = inspection_sensitivity(1, narrow, 0.9, 1, 2, 50);
    CHECK(std::isnan(delayed.loss_if_high[0]));
    CHECK(std::isfinite(delayed.loss_if_high[2]));
}

TEST_CASE("long histories of looks are believed as short ones are", "[law]") {
    // As many looks above a cut as below: the state is at the cut. Each look tells 2/pi/sd^2 there: d2/dz2 of ln(F(z)(1 - F(z)))/2 is -4 f(0)^2.
    std::vector<int> grades(10000);
    for (std::size_t i = 0; i < grades.size(); ++i) grades[i] = static_cast<int>(i % 2);
    const double pi = std::acos(-1.0);
    const LatentBelief state = latent_after_grades(grades, column({1}), 0.1, 0, 3);
    CHECK(state.mean == Approx(1).epsilon(1e-9));
    CHECK(state.sd == Approx(0.1 / std::sqrt(10000 * 2 / pi)).epsilon(1e-4));
    // A defect in one of ten from the start, or never; 3000 alarms of chance 0.5 or 0.4: 0.1 0.5^n / (0.1 0.5^n + 0.9 0.4^n).
    const LookHistory alarms = look_history(Column::Constant(3000, 0.1), std::vector<bool>(3000, true), 0.5, 0.4);
    CHECK(alarms.defect == Approx(1).epsilon(1e-12));
    const LookHistory even = look_history(Column::Constant(3000, 0.1), std::vector<bool>(3000, true), 0.4, 0.4);
    CHECK(even.defect == Approx(0.1).epsilon(1e-9));
    const LookHistory few = look_history(Column::Constant(900, 0.1), std::vector<bool>(900, true), 0.5, 0.5);
    CHECK(std::log(few.likelihood) == Approx(900 * std::log(0.5)).epsilon(1e-12));
    CHECK_THROWS_WITH(look_history(Column::Zero(3), {false, true, false}, 0.5, 0), Catch::Matchers::Contains("a history that can happen"));
}
