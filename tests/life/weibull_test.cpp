#include "support/catch.hpp"

#include <cmath>

#include "libseal/core/error.hpp"
#include "libseal/life/weibull.hpp"
#include "support/published.hpp"

using libseal::Weibull;

TEST_CASE("a Weibull life through two survey points has the survey's other figures", "[published]") {
    // 55 % of building joints failed within 10 years, 95 % within 20 (UK survey 1990, quoted by RILEM TC 190-SBJ).
    const Weibull life{11.252, 1.9075};
    CHECK(1 - life.survival(10) == Approx(0.55).margin(0.005));
    CHECK(1 - life.survival(20) == Approx(0.95).margin(0.005));
    CHECK(life.quantile(0.10) == Approx(3.458).margin(0.0005));  // computed for this project from the two
    libseal_test::count_published("UK sealant survey 1990 (RILEM TC 190-SBJ)", 2);
}

TEST_CASE("quantile undoes survival", "[law]") {
    const auto p = GENERATE(1e-12, 0.1, 0.5, 0.999999);
    const Weibull life{4.0, 2.75};
    CHECK(1 - life.survival(life.quantile(p)) == Approx(p).epsilon(1e-4));
}

TEST_CASE("a Weibull life keeps the identities of any life", "[law]") {
    const auto shape = GENERATE(0.7, 1.0, 1.9, 2.75);
    const Weibull life{3.0, shape};
    CHECK(life.survival(0) == 1);
    CHECK(life.survival(-1) == 1);
    double last = 1, area = 0;
    const double step = 1e-3;
    for (double t = step / 2; t < 60; t += step) {
        CHECK_FALSE(life.survival(t) > last);
        last = life.survival(t);
        area += last * step;
        if (t < 6) {
            const double slope = (life.survival(t - 1e-4) - life.survival(t + 1e-4)) / 2e-4;
            if (t > 0.01) REQUIRE(life.density(t) == Approx(slope).epsilon(1e-4));
        }
    }
    CHECK(life.mean() == Approx(area).epsilon(2e-3));
}

TEST_CASE("a Weibull life refuses what is no life, by name", "[bad_input]") {
    CHECK_THROWS_WITH(Weibull(-1, 2), "scale: expected a finite number > 0, got -1");
    CHECK_THROWS_AS(Weibull(1, std::nan("")), libseal::ValueError);
    CHECK_THROWS_AS(Weibull(1, 1).quantile(1), libseal::ValueError);
}
