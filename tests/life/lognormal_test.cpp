#include "libseal/life/lognormal.hpp"

#include <cmath>

#include "libseal/core/error.hpp"
#include "life/dual.hpp"
#include "support/catch.hpp"

using libseal::Lognormal;

TEST_CASE("a lognormal life through two survey points differs most from Weibull before year five", "[reference]") {
    // 55 % of building joints failed within 10 years, 95 % within 20 (UK survey 1990, quoted by RILEM TC 190-SBJ); median
    // 9.44 and sigma 0.456 computed for this project from the two.
    const Lognormal life{9.44, 0.456};
    CHECK(1 - life.survival(10) == Approx(0.55).margin(0.005));
    CHECK(1 - life.survival(20) == Approx(0.95).margin(0.005));
    CHECK(1 - life.survival(5) == Approx(0.082).margin(0.0005));
}

TEST_CASE("a lognormal life keeps the identities of any life", "[law]") {
    const auto sigma = GENERATE(0.1, 0.5, 1.2);
    const Lognormal life{3.0, sigma};
    CHECK(life.survival(0) == 1);
    CHECK(life.survival(-1) == 1);
    CHECK(life.density(0) == 0);
    CHECK(life.survival(3.0) == Approx(0.5).epsilon(1e-14));
    // The mean is the area under the survival, summed in even steps of ln t; before them nothing has failed.
    const double step = 0.01;
    double last = 1, area = 3 * std::exp(-9 * sigma);
    for (double z = -9 + step / 2; z < 12; z += step) {
        const double t = 3 * std::exp(sigma * z);
        CHECK_FALSE(life.survival(t) > last);
        last = life.survival(t);
        area += last * t * sigma * step;
    }
    CHECK(life.mean() == Approx(area).epsilon(1e-4));
    for (const double p : {1e-12, 0.1, 0.5, 0.999999}) CHECK(1 - life.survival(life.quantile(p)) == Approx(p).epsilon(1e-4));
    for (double t = 0.3; t < 6; t += 0.37) {
        const double slope = (life.survival(t - 1e-5) - life.survival(t + 1e-5)) / 2e-5;
        CHECK(life.density(t) == Approx(slope).epsilon(1e-5).margin(1e-9));
        CHECK(life.hazard(t) * life.survival(t) == Approx(life.density(t)).epsilon(1e-12).margin(1e-300));
    }
}

TEST_CASE("the lognormal hazard falls smoothly where survival has vanished", "[law]") {
    const Lognormal life{1, 0.1};
    double last = 0;
    bool fell = false;
    for (double t = 1; t < 1e4; t *= 1.01) {
        const double here = life.hazard(t);
        REQUIRE(std::isfinite(here));
        CHECK(here > 0);
        if (last > 0) CHECK(std::fabs(here / last - 1) < 0.3);
        fell = fell || here < last;
        last = here;
    }
    CHECK(fell);
    // Beside and beyond the change of formula, 30 standard deviations out.
    const double at = std::exp(0.1 * 30);
    CHECK(life.hazard(at * (1 - 1e-12)) == Approx(life.hazard(at * (1 + 1e-12))).epsilon(1e-6));
}

TEST_CASE("the lognormal hazard far out is that of Laplace's continued fraction", "[reference]") {
    // Density over survival of a standard normal at x is x + 1/(x + 2/(x + 3/(x + ...))): Laplace's fraction, of which forty terms are
    // all digits from x = 5 on. The hazard of t is that over sigma t.
    const double sigma = 0.1;
    const Lognormal life{2, sigma};
    for (const double x : {5.0, 12.0, 29.0, 29.999, 30.001, 31.0, 36.0, 45.0, 200.0}) {
        INFO(x);
        double fraction = x;
        for (int k = 40; k >= 1; --k) fraction = x + k / fraction;
        const double t = 2 * std::exp(sigma * x);
        // What the series leaves out is 105 / x^8: 1.6e-10 at 30.
        CHECK(life.hazard(t) == Approx(fraction / (sigma * t)).epsilon(2e-10));
    }
}

TEST_CASE("a lognormal life refuses what is no life, by name", "[bad_input]") {
    CHECK_THROWS_WITH(Lognormal(0, 1), "median: expected a finite number > 0, got 0");
    CHECK_THROWS_AS(Lognormal(1, std::nan("")), libseal::ValueError);
    CHECK_THROWS_AS(Lognormal(1, 1).quantile(0), libseal::ValueError);
}

TEST_CASE("the logarithm of a normal tail keeps its digits however far out", "[reference]") {
    // log_ndtr(-z) of SciPy 1.17.
    const std::pair<double, double> tail[] = {{-8, -6.220960574271742e-16}, {-0.5, -0.36894641528865635}, {0, -0.6931471805599453}, {8, -35.01343715991456},
                                              {29.5, -439.4294746091503}, {30.5, -469.4627373229121}, {38, -726.5572160188201}, {60, -1805.0135606805675}, {200, -20006.21728089819}};
    for (const auto& [z, wanted] : tail) {
        INFO(z);
        const auto found = libseal::detail::rule::log_normal_above(z);
        CHECK(found.f == Approx(wanted).epsilon(4e-15).margin(0));
        // Its slope is minus the hazard, its bend what the slope changes by.
        const double h = 1e-4;
        const auto before = libseal::detail::rule::log_normal_above(z - h), after = libseal::detail::rule::log_normal_above(z + h);
        CHECK((after.first - before.first) / (2 * h) == Approx(found.second).epsilon(2e-5).margin(1e-12));
    }
}
