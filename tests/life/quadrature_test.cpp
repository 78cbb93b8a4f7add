#include "libseal/life/quadrature.hpp"

#include <cmath>
#include <numbers>
#include <vector>

#include "libseal/core/error.hpp"
#include "support/catch.hpp"

using namespace libseal;

TEST_CASE("Gauss-Hermite nodes and weights are those of the tables", "[reference]") {
    // Computed for this project with NumPy, agreeing with the usual tables (Abramowitz & Stegun 25.10, from memory).
    struct Table {
        int n;
        std::vector<double> node, weight;  // from the middle outwards
    };
    const std::vector<Table> tables = {
        {3, {0, 1.224744871391589}, {1.181635900603677, .2954089751509194}},
        {5, {0, .958572464613819, 2.020182870456086}, {.9453087204829418, .3936193231522411, .01995324205904592}},
        {10,
         {.342901327223705, 1.036610829789514, 1.756683649299882, 2.532731674232790, 3.436159118837737},
         {.6108626337353258, .2401386110823147, .03387439445548111, .001343645746781232, 7.640432855232641e-6}},
        {20,
         {.245340708300901, .737473728545394, 1.234076215395323, 1.738537712116586, 2.254974002089276, 2.788806058428130,
          3.347854567383216, 3.944764040115625, 4.603682449550744, 5.387480890011233},
         {.4622436696006101, .2866755053628341, .1090172060200233, .02481052088746364, .003243773342237857,
          2.283386360163536e-4, 7.802556478532060e-6, 1.086069370769278e-7, 4.399340992273175e-10, 2.229393645534145e-13}}};
    for (const Table& table : tables) {
        INFO("n = " << table.n);
        const Quadrature rule = gauss_hermite(table.n);
        REQUIRE(rule.node.size() == table.n);
        for (std::size_t k = 0; k < table.node.size(); ++k) {
            const Eigen::Index i = table.n / 2 + static_cast<Eigen::Index>(k);
            // Half of the last printed digit of a node is 5e-16; some are printed to 15 decimals after rounding.
            CHECK(rule.node[i] == Approx(table.node[k]).epsilon(0).margin(1e-13));
            CHECK(rule.weight[i] == Approx(table.weight[k]).epsilon(1e-13));
            CHECK(rule.node[table.n - 1 - i] == -rule.node[i]);
        }
    }
}

TEST_CASE("Gauss rules integrate polynomials up to their degree", "[law]") {
    const auto n = GENERATE(1, 2, 7, 20, 33, 64);
    const Quadrature hermite = gauss_hermite(n), legendre = gauss_legendre(n), normal = normal_gauss(n);
    CHECK(hermite.weight.sum() == Approx(std::sqrt(std::numbers::pi)).epsilon(1e-13));
    CHECK(legendre.weight.sum() == Approx(2).epsilon(1e-13));
    CHECK(normal.weight.sum() == Approx(1).epsilon(1e-14));
    CHECK((hermite.weight > 0).all());
    double moment = std::sqrt(std::numbers::pi);
    for (int k = 2; k <= std::min(2 * n - 1, 40); k += 2) {
        moment *= (k - 1) / 2.0;  // integral of x^k e^(-x^2)
        CHECK((hermite.weight * hermite.node.pow(k)).sum() == Approx(moment).epsilon(1e-12));
        CHECK((legendre.weight * legendre.node.pow(k)).sum() == Approx(2.0 / (k + 1)).epsilon(1e-12));
        CHECK((hermite.weight * hermite.node.pow(k - 1)).sum() == Approx(0).margin(1e-12 * moment));
    }
    for (Eigen::Index i = 1; i < n; ++i) CHECK(hermite.node[i] > hermite.node[i - 1]);
}

TEST_CASE("survival under a lognormal effect is right to ten digits, and ten Gauss points are not", "[reference]") {
    // Exact values computed for this project with 30 digits (mpmath).
    struct Case {
        double c, s, exact, gauss_10;
    };
    for (const auto& [c, s, exact, gauss_10] :
         {Case{0.5, 0.5, .59010475619261, .5901047565105}, Case{1, 0.5, .36987384056538, .3698738376527},
          Case{1, 1, .38175646475548, .3817777029614}, Case{2, 0.3, .14674725646862, .1467472564721}}) {
        INFO("c = " << c << ", s = " << s);
        CHECK(survival_under_effect(c, s) == Approx(exact).epsilon(1e-10));
        CHECK(survival_under_effect(c, s, normal_trapezoid()) == Approx(exact).epsilon(2e-10));
        // 1e-12: the printed digits.
        CHECK(survival_under_effect(c, s, normal_gauss(10)) == Approx(gauss_10).epsilon(0).margin(1e-12));
    }
    CHECK(survival_under_effect(1, 1, normal_gauss(20)) == Approx(.3817561899).epsilon(0).margin(5e-11));
}

TEST_CASE("a mixture of Weibull lives survives as computed", "[reference]") {
    // Scale 8, shape 2.5, effect of sd 0.5 and mean 1; computed for this project with 30 digits (mpmath).
    const Weibull life{8, 2.5};
    CHECK(frailty_survival(life, 0.5, 2) == Approx(.969366373031).epsilon(1e-10));
    CHECK(frailty_survival(life, 0.5, 4) == Approx(.841503510125).epsilon(1e-10));
    CHECK(frailty_survival(life, 0.5, 6) == Approx(.632761869000).epsilon(1e-10));
    CHECK(frailty_survival(life, 0.5, 8) == Approx(.410988020206).epsilon(1e-10));
    CHECK(frailty_survival(life, 0.5, 12) == Approx(.119618540380).epsilon(1e-10));
}

TEST_CASE("without an effect the mixture is the life itself; with one its tail is longer", "[law]") {
    const Weibull life{8, 2.5};
    double last = 1;
    for (double t = -1; t < 40; t += 0.5) {
        CHECK(frailty_survival(life, 0, t) == Approx(life.survival(t)).epsilon(1e-13).margin(1e-300));
        CHECK(frailty_survival(life, 0.8, t) <= last);
        last = frailty_survival(life, 0.8, t);
        if (t > 16) CHECK(last > life.survival(t));
    }
    CHECK(frailty_survival(life, 0.8, 0) == 1);
}

TEST_CASE("quadrature refuses what is no rule", "[bad_input]") {
    CHECK_THROWS_WITH(gauss_hermite(0), "n: expected a number from 1 to 64, got 0");
    CHECK_THROWS_AS(gauss_legendre(65), ValueError);
    CHECK_THROWS_AS(normal_trapezoid(1), ValueError);
    CHECK_THROWS_AS(normal_trapezoid(11, 0.5), ValueError);
    CHECK_THROWS_AS(survival_under_effect(-1, 1), ValueError);
    CHECK_THROWS_AS(survival_under_effect(1, -1), ValueError);
}
