#include "support/catch.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/life/probability_plot.hpp"
#include "libseal/life/survival.hpp"
#include "libseal/life/turnbull.hpp"
#include "support/published.hpp"

using namespace libseal;

namespace {

struct Lives {
    Column time;
    std::vector<bool> failed;
};
/// Times; those below 0 are of what was sound then.
Lives lives(const std::vector<double>& signed_time) {
    Lives result{Column(static_cast<Eigen::Index>(signed_time.size())), {}};
    for (std::size_t i = 0; i < signed_time.size(); ++i) {
        result.time[static_cast<Eigen::Index>(i)] = std::fabs(signed_time[i]);
        result.failed.push_back(signed_time[i] > 0);
    }
    return result;
}
Column column(const std::vector<double>& v) { return Eigen::Map<const Column>(v.data(), static_cast<Eigen::Index>(v.size())); }

// Distances to failure of shock absorbers, Meeker & Escobar 1998, appendix C.
const std::vector<double> absorbers{6700, 9120, 12200, 13150, 14300, 17520, 20100, 20900, 22700, 26510, 27490, -6950, -7820, -8790, -9660,
    -9820, -11310, -11690, -11850, -11880, -12140, -12870, -13330, -13470, -14040, -17540, -17890, -18450, -18960, -18980, -19410, -20100,
    -20150, -20320, -23490, -27410, -27890, -28100};
// Weeks of remission, Freireich et al. 1963: treated, then control.
const std::vector<double> treated{6, 6, 6, 7, 10, 13, 16, 22, 23, -6, -9, -10, -11, -17, -19, -20, -25, -32, -32, -34, -35};
const std::vector<double> control{1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23};
// Weeks of remission, Miller 1981: maintained, then not.
const std::vector<double> maintained{9, 13, -13, 18, 23, -28, 31, 34, -45, 48, -161};
const std::vector<double> other{5, 5, 8, 8, 12, -16, 23, 27, 30, 33, 43, 45};

std::vector<double> joined(const std::vector<double>& a, const std::vector<double>& b) {
    std::vector<double> all = a;
    all.insert(all.end(), b.begin(), b.end());
    return all;
}
std::vector<int> labels(std::size_t first, std::size_t second) {
    std::vector<int> result(first, 0);
    result.resize(first + second, 1);
    return result;
}

}  // namespace

TEST_CASE("product-limit estimates are the published ones", "[published][reference]") {
    const Lives d1 = lives(absorbers);
    const SurvivalCurve curve = kaplan_meier(d1.time, d1.failed);
    // R's package survival.
    const std::vector<double> expected{.9736842105, .9450464396, .9086984996, .8708360622, .8272942590, .7837524559, .7184397513, .6286347824,
                                       .5388298135, .4310638508, .2873759005};
    REQUIRE(curve.time.size() == 11);
    for (int i = 0; i < 11; ++i) CHECK(curve.survival[i] == Approx(expected[static_cast<std::size_t>(i)]).margin(5e-11).epsilon(0));
    CHECK(curve.se[10] == Approx(.1510890119).margin(5e-11).epsilon(0));

    const Lives d8 = lives(treated);
    const SurvivalCurve weeks = kaplan_meier(d8.time, d8.failed);
    const std::vector<double> six{.8571428571, .8067226891, .7529411765, .6901960784, .6274509804, .5378151261, .4481792717};
    for (int i = 0; i < 7; ++i) CHECK(weeks.survival[i] == Approx(six[static_cast<std::size_t>(i)]).margin(5e-11).epsilon(0));
    CHECK(weeks.survival_at(10) == Approx(.7529411765).margin(5e-11).epsilon(0));
    CHECK(weeks.se[2] == Approx(.0963496530).margin(5e-11).epsilon(0));
    CHECK(weeks.lower[2] == Approx(.5031995108).margin(5e-11).epsilon(0));
    CHECK(weeks.upper[2] == Approx(.8893618352).margin(5e-11).epsilon(0));
    CHECK(weeks.quantile(0.5) == 23);
    CHECK(std::isinf(weeks.quantile(0.9)));

    // Miller 1981, as R's package survival prints it in its tests.
    const Lives d9 = lives(maintained);
    const SurvivalCurve kept = kaplan_meier(d9.time, d9.failed);
    const std::vector<double> miller{.909, .818, .716, .614, .491, .368, .184}, error{.0867, .1163, .1397, .1526, .1642, .1627, .1535};
    for (int i = 0; i < 7; ++i) {
        CHECK(kept.survival[i] == Approx(miller[static_cast<std::size_t>(i)]).margin(5e-4).epsilon(0));
        CHECK(kept.se[i] == Approx(error[static_cast<std::size_t>(i)]).margin(5e-5).epsilon(0));
    }
    const Lives rest = lives(other);
    const SurvivalCurve dropped = kaplan_meier(rest.time, rest.failed);
    const std::vector<double> bare{.8333, .6667, .5833, .4861, .3889, .2917, .1944, .0972, 0};
    for (int i = 0; i < 9; ++i) CHECK(dropped.survival[i] == Approx(bare[static_cast<std::size_t>(i)]).margin(5e-5).epsilon(0));
    CHECK(dropped.se[8] == 0);
    CHECK(dropped.upper[8] == dropped.upper[7]);
    libseal_test::count_published("Miller 1981, Survival Analysis (tests of R's package survival)", 23);
}

TEST_CASE("a life table of yearly looks has the book's figures", "[published][reference]") {
    // Heat-exchanger tubes of three plants; Meeker & Escobar 1998 print .0133 .0384 .0582 with errors .00662 .0128 .0187.
    ActuarialOptions end;
    end.withdrawn_share = 0;
    const SurvivalCurve table = life_table(column({0, 1, 2, 3}), 300, column({4, 5, 2}), column({99, 95, 95}), end);
    const std::vector<double> failed{.01333333, .03837563, .05820294}, error{.00662207, .01280212, .01870063};
    const std::vector<double> low{.00501324, .01981818, .03069413}, high{.03497624, .07301558, .10762831};
    const std::vector<double> book{.0133, .0384, .0582}, book_error{.00662, .0128, .0187}, book_half{5e-6, 5e-5, 5e-5};
    for (int i = 0; i < 3; ++i) {
        const auto k = static_cast<std::size_t>(i);
        CHECK(1 - table.survival[i] == Approx(failed[k]).margin(5e-9).epsilon(0));
        CHECK(table.se[i] == Approx(error[k]).margin(5e-9).epsilon(0));
        CHECK(1 - table.upper[i] == Approx(low[k]).margin(5e-9).epsilon(0));
        CHECK(1 - table.lower[i] == Approx(high[k]).margin(5e-9).epsilon(0));
        CHECK(1 - table.survival[i] == Approx(book[k]).margin(5e-5).epsilon(0));
        CHECK(table.se[i] == Approx(book_error[k]).margin(book_half[k]).epsilon(0));
    }
    libseal_test::count_published("Meeker & Escobar 1998, heat-exchanger tubes", 6);
    // By hand: of 100, 10 fail and 20 leave half-way; 90 count.
    CHECK(life_table(column({0, 1}), 100, column({10}), column({20})).survival[0] == Approx(8.0 / 9).epsilon(1e-14));
}

TEST_CASE("log-rank tests are the published ones", "[published][reference]") {
    const Lives d8 = lives(joined(treated, control));
    const GroupTest test = log_rank(d8.time, d8.failed, labels(21, 21));
    CHECK(test.chi_square == Approx(16.79294099).margin(5e-9).epsilon(0));
    CHECK(test.degrees == 1);
    CHECK(test.z == Approx(-std::sqrt(16.79294099)).epsilon(1e-8));
    CHECK(test.observed.sum() == Approx(test.expected.sum()));
    CHECK(test.p_value == Approx(std::erfc(std::sqrt(16.79294099 / 2))).epsilon(1e-8));
    // Weights of the survival: survdiff of R's package survival 3.5-3 with its rho.
    for (const auto& [rho, chi_square] : {std::pair{1.0, 14.4571508187}, {0.5, 15.7063933536}}) {
        LogRankOptions early;
        early.rho = rho;
        CHECK(log_rank(d8.time, d8.failed, labels(21, 21), early).chi_square == Approx(chi_square).margin(5e-11).epsilon(0));
    }
    const Lives d9 = lives(joined(maintained, other));
    CHECK(log_rank(d9.time, d9.failed, labels(11, 12)).chi_square == Approx(3.4).margin(0.05).epsilon(0));
    libseal_test::count_published("tests of R's package survival, maintenance of remission", 1);
    // Groups that are the same do not differ; a group that never meets another says nothing.
    const Lives twice = lives(joined(treated, treated));
    CHECK(log_rank(twice.time, twice.failed, labels(21, 21)).chi_square == Approx(0).margin(1e-20));
    const GroupTest none = log_rank(column({1, 2}), {false, false}, {0, 1});
    CHECK(none.degrees == 0);
    CHECK(none.p_value == 1);
}

TEST_CASE("left truncation shows who was watched", "[law]") {
    // Without failures before entry the curve of late entrants is that of the rest: those who come at 5 are at risk after it.
    KaplanMeierOptions options;
    options.entry = column({0, 0, 5, 5});
    const SurvivalCurve curve = kaplan_meier(column({3, 9, 7, 8}), {true, false, true, true}, options);
    REQUIRE(curve.time.size() == 3);
    CHECK(curve.at_risk[0] == 2);
    CHECK(curve.at_risk[1] == 3);
    CHECK(curve.survival[2] == Approx(0.5 * 2 / 3 * 1 / 2));
    CHECK_THROWS_AS(kaplan_meier(column({3}), {true}, {column({3}), 0.95, "plain"}), ValueError);
}

TEST_CASE("limits keep their order and hold the estimate, whatever the scale", "[law]") {
    const Lives d1 = lives(absorbers);
    for (const std::string limits : {"log_log", "logit", "plain"}) {
        KaplanMeierOptions options;
        options.limits = limits;
        const SurvivalCurve curve = kaplan_meier(d1.time, d1.failed, options);
        CHECK((curve.lower <= curve.survival).all());
        CHECK((curve.survival <= curve.upper).all());
        CHECK((curve.lower >= 0).all());
        CHECK((curve.upper <= 1).all());
    }
    // Area under the steps, by hand.
    const SurvivalCurve small = kaplan_meier(column({1, 2, 4}), {true, true, true});
    CHECK(small.mean_until(4) == Approx(1 + 2.0 / 3 + 2.0 / 3).epsilon(1e-14));
    CHECK(small.mean_until(0) == 0);
}

TEST_CASE("probability plots are straight for their family", "[law]") {
    for (const std::string family : {"weibull", "lognormal", "loglogistic", "exponential"}) {
        const double slope = family == "exponential" ? 0.5 : 2.0;
        // Quantiles of the family at the middles of 50 steps.
        Column time(50);
        for (int i = 0; i < 50; ++i) {
            const double y = axis_of_share(family, (i + 0.5) / 50);
            time[i] = family == "exponential" ? y / slope : std::exp(y / slope);
        }
        const auto points = plot_positions(kaplan_meier(time, std::vector<bool>(50, true)), family);
        REQUIRE(points.x.size() == 50);
        for (int i = 1; i < 50; ++i)
            CHECK((points.y[i] - points.y[0]) / (points.x[i] - points.x[0]) == Approx(slope).epsilon(1e-9));
    }
    CHECK_THROWS_AS(axis_of_share("gumbel", 0.5), ValueError);
    CHECK_THROWS_AS(axis_of_share("weibull", 1), ValueError);
    CHECK_THROWS_AS(axis_of_time("weibull", 0), ValueError);
}

TEST_CASE("survival refuses what is no life, by row", "[bad_input]") {
    const double nan = std::nan("");
    CHECK_THROWS_AS(kaplan_meier(Column(0), {}), ValueError);
    CHECK_THROWS_AS(kaplan_meier(column({nan}), {true}), ValueError);
    CHECK_THROWS_AS(kaplan_meier(column({-1}), {true}), ValueError);
    CHECK_THROWS_AS(kaplan_meier(column({INFINITY}), {false}), ValueError);
    CHECK_THROWS_AS(kaplan_meier(column({1}), {}), ValueError);
    CHECK_THROWS_AS(kaplan_meier(column({1}), {true}, {{}, 1.0, "plain"}), ValueError);
    CHECK_THROWS_AS(kaplan_meier(column({1}), {true}, {{}, 0.9, "exact"}), ValueError);
    CHECK_THROWS_AS(log_rank(column({1, 2}), {true, true}, {1, 1}), ValueError);
    CHECK_THROWS_AS(log_rank(column({1, 2}), {true, true}, {1}), ValueError);
    CHECK_THROWS_AS(life_table(column({0, 1}), 10, column({8}), column({3})), ValueError);
    CHECK_THROWS_AS(life_table(column({0, 1}), nan, column({1}), column({1})), ValueError);
    CHECK_THROWS_AS(life_table(column({1, 1}), 10, column({1}), column({1})), ValueError);
    CHECK_THROWS_AS(life_table(Column(0), 10, Column(0), Column(0)), ValueError);
    const SurvivalCurve sound = kaplan_meier(column({1, 2}), {false, false});
    CHECK(sound.time.size() == 0);
    CHECK(sound.survival_at(5) == 1);
    CHECK(std::isinf(sound.quantile(0.5)));
    const SurvivalCurve one = kaplan_meier(column({1}), {true});
    CHECK(one.survival[0] == 0);
    CHECK(one.se[0] == 0);
    CHECK(one.upper[0] == 1);
    CHECK(kaplan_meier(column({0, 1}), {true, true}).survival[0] == 0.5);
}
