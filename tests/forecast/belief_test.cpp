#include "support/catch.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/core/random.hpp"
#include "libseal/forecast/belief.hpp"
#include "libseal/life/weibull.hpp"
#include "support/published.hpp"

using namespace libseal;

namespace {

LifeSpread spread() { return {2.75, 0.30, 0.01, 1.5}; }

GradeScale scale() { return {{0.35, 0.7, 1.0, 1.35, 1.75}, 0.5}; }

double quantile(const LifeBelief& belief, double p) {
    double low = 0, high = 1000;
    for (int i = 0; i < 200; ++i) {
        const double middle = (low + high) / 2;
        (belief.due({middle}) >= p ? high : low) = middle;
    }
    return high;
}

}  // namespace

TEST_CASE("the marginal life has its median and the spread computed for this project", "[reference]") {
    // Calibration notes: shape 2.75 with sd 0.30 gives 10 % at 0.465 and 90 % at 1.825 of the median; more digits by
    // quadrature with another program.
    const LifeBelief belief(life_prior(spread()), 4.0, 1);
    CHECK(quantile(belief, 0.5) == Approx(4.0).epsilon(1e-4));
    CHECK(quantile(belief, 0.1) / 4.0 == Approx(0.4647).margin(0.00005));
    CHECK(quantile(belief, 0.9) / 4.0 == Approx(1.8254).margin(0.0001));
}

TEST_CASE("the marginal of the building preset meets the survey of building joints", "[published]") {
    // UK survey 1990 (RILEM TC 190-SBJ): 55 % failed by year 10, 95 % by year 20.
    // Median of the Weibull through both points (scale 11.252, shape 1.9075); 0.8 and 0.3 points are the price of two spreads.
    const LifeBelief belief(life_prior(spread()), Weibull(11.252, 1.9075).quantile(0.5), 1);
    CHECK(belief.due({10.0}) == Approx(0.55785).margin(2e-5));  // quadrature with another program
    CHECK(belief.due({20.0}) == Approx(0.95256).margin(2e-5));
    CHECK(belief.due({10.0}) == Approx(0.55).margin(0.01));
    CHECK(belief.due({20.0}) == Approx(0.95).margin(0.01));
    libseal_test::count_published("UK sealant survey 1990 (RILEM TC 190-SBJ)", 2);
}

TEST_CASE("the grid agrees with a direct integral over the shared effects", "[reference]") {
    const LifePrior prior = life_prior(spread());
    const LifeBelief belief(prior, std::exp(prior.median_log), 1);  // scale 1
    const Weibull wear(1.0, 2.75);
    for (const double age : {0.05, 0.3, 0.8, 1.4, 3.0}) {
        double direct = 0;
        for (int j = -4000; j <= 4000; ++j) {
            const double z = j * 0.002;
            direct += (1 - wear.survival(age * std::exp(0.30 * z))) * std::exp(-0.5 * z * z) * 0.002 / std::sqrt(2 * M_PI);
        }
        // The grid ends where one life in a million is shorter.
        CHECK(belief.due({age}) == Approx(direct).epsilon(2e-3).margin(2e-6));
    }
}

TEST_CASE("the tabulated chance of a look is the chance itself", "[reference]") {
    GradeScale careful = scale();
    careful.detection = 0.9;
    careful.stray = 0.02;
    Look look{make_date(2026, 1, 1), GENERATE(0, 1, 2, 3, 4, 5), 5};
    look.highest = look.lowest;
    look.early = GENERATE(0.0, 0.2);
    const LookTable table(look, careful);
    double worst = 0;
    for (int i = 0; i < 7000; ++i) {
        const double log_ratio = -5 + i * 0.001003;
        worst = std::max(worst, std::abs(table(log_ratio) - look_chance(look, careful, grade_of_worn_share(careful, std::exp(log_ratio)))));
    }
    // The jump at the edge of what can be overlooked is one cell of the table wide.
    CHECK(worst < 0.03);
    double mean = 0;
    for (int i = 0; i < 7000; ++i) {
        const double log_ratio = -5 + i * 0.001003;
        mean += std::abs(table(log_ratio) - look_chance(look, careful, grade_of_worn_share(careful, std::exp(log_ratio)))) / 7000;
    }
    CHECK(mean < 2e-5);
}

TEST_CASE("a sound look puts the due date off, a bad one brings it near", "[law]") {
    const LifePrior prior = life_prior(spread());
    const double age = GENERATE(1.0, 3.0, 6.0);
    LifeBelief none(prior, 4, 1), sound(prior, 4, 1), bad(prior, 4, 1);
    sound.see({make_date(2026, 1, 1), 0, 1}, {age}, scale());
    bad.see({make_date(2026, 1, 1), 4, 4}, {age}, scale());
    CHECK(quantile(sound, 0.5) > quantile(none, 0.5));
    CHECK(quantile(bad, 0.5) < quantile(none, 0.5));
    CHECK(sound.due({age}) < none.due({age}));
    CHECK(bad.due({age}) > none.due({age}));
    LifeBelief twice = sound;
    twice.see({make_date(2026, 6, 1), 0, 1}, {age}, scale());
    CHECK(quantile(twice, 0.5) > quantile(sound, 0.5));
}

TEST_CASE("the order of looks does not matter, and a look before the fitting says nothing", "[law]") {
    const LifePrior prior = life_prior(spread());
    const Look a{make_date(2025, 1, 1), 1, 1}, b{make_date(2026, 1, 1), 2, 2};
    LifeBelief ab(prior, 4, 2), ba(prior, 4, 2), early(prior, 4, 2);
    ab.see(a, {1.0, 0.5}, scale());
    ab.see(b, {2.0, 1.5}, scale());
    ba.see(b, {2.0, 1.5}, scale());
    ba.see(a, {1.0, 0.5}, scale());
    CHECK(ab.due({3.0, 2.5}) == Approx(ba.due({3.0, 2.5})).epsilon(1e-12));
    const double before = early.due({3.0, 2.5});
    early.see(b, {-1.0, -0.5}, scale());
    CHECK(early.due({3.0, 2.5}) == Approx(before).epsilon(1e-12));
}

TEST_CASE("an appearance says less than a measured grade", "[law]") {
    const LifePrior prior = life_prior(spread());
    LifeBelief appearance(prior, 4, 1), measured(prior, 4, 1);
    appearance.see({make_date(2026, 1, 1), 0, 2}, {2.0}, scale());
    measured.see({make_date(2026, 1, 1), 2, 2}, {2.0}, scale());
    CHECK(appearance.sd_log() > measured.sd_log());
}

TEST_CASE("forecasts of synthetic joints are calibrated", "[law]") {
    // Synthetic: lives drawn from the prior, one noisy look each; the 10 to 90 % interval holds 80 %.
    const LifePrior prior = life_prior(spread());
    RandomStream random(11);
    const Weibull wear(1.0, 2.75);
    int inside = 0;
    const int joints = 3000;
    for (int i = 0; i < joints; ++i) {
        const double life = 4 * std::exp(-prior.median_log) * wear.quantile(random.uniform()) * std::exp(0.30 * random.normal());
        const double age = 0.5 + 4 * random.uniform();
        const double seen = grade_of_worn_share(scale(), age / life) + 0.5 * random.normal();
        const int grade = std::clamp(static_cast<int>(std::lround(seen)), 0, 5);
        LifeBelief belief(prior, 4, 1);
        belief.see({make_date(2026, 1, 1), grade, grade}, {age}, scale());
        const double p = belief.due({life});
        if (p > 0.1 && p < 0.9) ++inside;
    }
    const double share = static_cast<double>(inside) / joints;
    CHECK(share == Approx(0.80).margin(3 * std::sqrt(0.8 * 0.2 / joints)));
}

TEST_CASE("word of whether a layer is open weighs each life by itself", "[law]") {
    const LifePrior prior = life_prior(spread());
    const double chance_open = 0.35, chance_closed = 0.09;
    LifeBelief belief(prior, 4.0, 2);
    // Two possible fittings: one layer is 9 years old on that day, the other was not fitted yet, of which water says nothing.
    const std::vector<double> age{9.0, -1.0};
    belief.see_open(chance_open, chance_closed, age, scale());
    // By Bayes' rule, life by life: open are those of at most age / 1.75, the worn share of grade 5.
    double total = 0, first = 0, due = 0;
    std::vector<double> cells(static_cast<std::size_t>(prior.mass.size()));
    for (Eigen::Index i = 0; i < prior.mass.size(); ++i) {
        const double life = belief.scale() * std::exp(LifePrior::life_node(i));
        const double own = 0.5 * prior.mass[i] * (life <= 9.0 / 1.75 ? chance_open : chance_closed), other = 0.5 * prior.mass[i];
        total += own + other;
        first += own;
        if (life <= 6.0) due += own + other;
        cells[static_cast<std::size_t>(i)] = own + other;
    }
    CHECK(belief.node_weight(0) == Approx(first / total).epsilon(1e-12));
    CHECK(belief.least_chance() == Approx(total).epsilon(1e-12));
    const Column mass = belief.mass();
    for (Eigen::Index i = 0; i < mass.size(); ++i) REQUIRE(mass[i] == Approx(cells[static_cast<std::size_t>(i)] / total).epsilon(1e-12));
    CHECK(belief.due({6.0, 6.0}) == Approx(due / total).margin(0.005));  // half a cell at the edge
    // Water where all are closed, and none where all are open, say nothing but of the day it was fitted.
    LifeBelief young(prior, 4.0, 1);
    young.see_open(chance_open, chance_closed, {1e-3}, scale());
    CHECK(young.due({4.0}) == Approx(0.5).epsilon(1e-9));
}
