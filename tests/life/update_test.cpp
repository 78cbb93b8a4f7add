// Values without another source were computed for this project in closed form or by independent quadrature.
#include "libseal/life/update.hpp"

#include <cmath>
#include <limits>

#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/life/weibull.hpp"
#include "life/weibull_likelihood.hpp"
#include "support/catch.hpp"

using namespace libseal;

namespace {

constexpr double inf = std::numeric_limits<double>::infinity();

Column column(std::initializer_list<double> values) {
    return Eigen::Map<const Column>(values.begin(), static_cast<Eigen::Index>(values.size()));
}

/// One sound at 4; one failed between 4 and 6; one failed before 5.
LifeData three_lives() { return {column({4, 4, 0}), column({inf, 6, 5})}; }

}  // namespace

TEST_CASE("shares, rates and levels are updated in closed form", "[reference]") {
    const BetaBelief share = BetaBelief{2, 8}.after(3, 10);
    CHECK(share.mean() == Approx(0.25).epsilon(1e-14));
    CHECK(share.quantile(0.025) == Approx(.0914657849).epsilon(1e-9));
    CHECK(share.quantile(0.975) == Approx(.4556530819).epsilon(1e-9));
    CHECK(share.sd() == Approx(std::sqrt(5.0 * 15 / (400.0 * 21))).epsilon(1e-14));
    const GammaBelief rate = GammaBelief{2, 4}.after(3, 10);
    CHECK(rate.mean() == Approx(.3571428571).epsilon(1e-9));
    CHECK(rate.sd() == Approx(.1597191412).epsilon(1e-9));
    CHECK(rate.quantile(0.025) == Approx(.1159633136).epsilon(1e-9));
    CHECK(rate.quantile(0.975) == Approx(.7315420482).epsilon(1e-9));
    const NormalBelief level = NormalBelief{10, 3}.after(column({7, 8.5}), 2);
    CHECK(level.mean == Approx(8.1590909091).epsilon(1e-9));
    CHECK(level.sd == Approx(1.2792042981).epsilon(1e-9));
    CHECK(level.quantile(0.5) == Approx(level.mean).epsilon(1e-14));
}

TEST_CASE("a life is learned from one sound, one between and one failed before", "[reference]") {
    const ScalePosterior scale = scale_posterior(three_lives(), 2.5, {8, 0.4});
    CHECK(scale.evidence == Approx(.0555126632013).epsilon(1e-8));
    CHECK(scale.mean == Approx(6.51552821803).epsilon(1e-8));
    CHECK(scale.sd == Approx(1.87556898377).epsilon(1e-8));
    CHECK(scale.log_mean == Approx(1.83650498018).epsilon(1e-8));
    CHECK(scale.quantile(0.05) == Approx(4.11946014172).epsilon(1e-8));
    CHECK(scale.quantile(0.50) == Approx(6.18854558808).epsilon(1e-8));
    CHECK(scale.quantile(0.95) == Approx(10.0191529418).epsilon(1e-8));

    const LifePosterior both = life_posterior(three_lives(), {8, 0.4}, {2.5, 0.25});
    CHECK(both.evidence == Approx(.0550971142307).epsilon(1e-8));
    CHECK(both.scale_mean == Approx(6.49813460170).epsilon(1e-8));
    CHECK(both.shape_mean == Approx(2.62713574710).epsilon(1e-8));
    CHECK(both.log_scale_mean == Approx(1.8325021211).epsilon(1e-8));
    CHECK(both.log_shape_mean == Approx(.9352411708).epsilon(1e-8));
    CHECK(both.log_scale_sd == Approx(.2741644421).epsilon(1e-8));
    CHECK(both.log_shape_sd == Approx(.2475156384).epsilon(1e-8));
    CHECK(both.log_covariance == Approx(-.0134457147).epsilon(1e-7));  // its last printed digit
}

TEST_CASE("without data the belief stays, with much data it finds the life", "[law]") {
    const ScalePosterior none = scale_posterior({}, 2.5, {8, 0.4});
    CHECK(none.evidence == Approx(1).epsilon(1e-9));
    CHECK(none.quantile(0.5) == Approx(8).epsilon(1e-8));
    CHECK(none.log_sd == Approx(0.4).epsilon(1e-8));
    const LifePosterior nothing = life_posterior({}, {8, 0.4}, {2.5, 0.25});
    CHECK(nothing.evidence == Approx(1).epsilon(1e-9));
    CHECK(nothing.log_covariance == Approx(0).margin(1e-10));

    // Synthetic: the quantiles of a life of scale 5 and shape 3, so an even sample.
    const Weibull truth{5, 3};
    const int n = 400;
    LifeData many{Column(n), Column(n)};
    for (int i = 0; i < n; ++i) many.lower[i] = many.upper[i] = truth.quantile((i + 0.5) / n);
    const ScalePosterior scale = scale_posterior(many, 3, {8, 0.4});
    CHECK(scale.mean == Approx(5).epsilon(2e-3));
    CHECK(scale.log_sd == Approx(1 / (3 * std::sqrt(n + 1.0))).epsilon(0.02));
    const LifePosterior both = life_posterior(many, {8, 0.4}, {2, 0.5});
    CHECK(both.scale_mean == Approx(5).epsilon(5e-3));
    CHECK(both.shape_mean == Approx(3).epsilon(1e-2));
    // The spread of the estimates of a complete sample, the prior being wide: 5 %.
    const WeibullCovariance large = complete_sample_covariance(n, 3);
    CHECK(both.log_scale_sd == Approx(std::sqrt(large.log_scale)).epsilon(0.05));
    CHECK(both.log_shape_sd * 3 == Approx(std::sqrt(large.shape)).epsilon(0.05));
    CHECK(both.log_covariance * 3 == Approx(large.both).epsilon(0.1));
}

TEST_CASE("a later failure never shortens the believed life", "[law]") {
    double last = 0;
    for (double t = 0.5; t < 20; t *= 1.4) {
        const double mean = scale_posterior({column({t}), column({t})}, 2.5, {8, 0.4}).mean;
        CHECK(mean > last);
        CHECK(scale_posterior({column({t}), column({inf})}, 2.5, {8, 0.4}).mean > mean);
        last = mean;
    }
    const ScalePosterior belief = scale_posterior(three_lives(), 2.5, {8, 0.4});
    double quantile = 0;
    for (double p = 0.001; p < 1; p += 0.007) {
        CHECK(belief.quantile(p) > quantile);
        quantile = belief.quantile(p);
    }
}

TEST_CASE("the likelihood of lives on a grid is that of each life by itself", "[reference]") {
    // Synthetic lives of all kinds, some of them equal: exact, between, failed before, still sound, nothing known.
    RandomStream random(8);
    LifeData lives{Column(300), Column(300)};
    for (Eigen::Index i = 0; i < 300; ++i) {
        const double t = i % 3 ? 12 * random.uniform() + 0.01 : 0.25 * static_cast<double>(1 + i % 20);
        lives.lower[i] = i % 5 == 3 || i % 50 == 4 ? 0 : t;
        lives.upper[i] = i % 5 == 0 ? t : i % 5 == 1 || i % 50 == 4 ? inf : t * (1 + std::exp(-20 * random.uniform()));
    }
    const detail::WeibullLikelihood likelihood(lives);
    for (const double shape : {0.02, 0.7, 1.0, 3.3, 40.0}) {
        const detail::WeibullLikelihood::AtShape at_shape(likelihood, shape);
        for (const double scale : {0.5, 4.0, 11.0, 3000.0}) {
            INFO(shape << " " << scale);
            double sum = 0, size = 0;
            for (Eigen::Index i = 0; i < 300; ++i) {
                const double from = lives.lower[i], to = lives.upper[i], hazard = std::pow(from / scale, shape);
                double one = -hazard;
                if (from == to) one += std::log(shape / scale) + (shape - 1) * std::log(from / scale);
                else if (from == 0 && to < inf) one += std::log(-std::expm1(-std::pow(to / scale, shape)));
                else if (to < inf) one += std::log(-std::expm1(-hazard * std::expm1(shape * std::log1p((to - from) / from))));
                sum += one;
                size += std::abs(one);
            }
            if (std::isfinite(sum)) CHECK(at_shape(std::log(scale)) == Approx(sum).epsilon(0).margin(1e-13 * size));
        }
    }
    // Hazards below all doubles still have a logarithm: (2 / 1000)^200 (1 - 2^-200).
    const detail::WeibullLikelihood early({column({1}), column({2})});
    CHECK(detail::WeibullLikelihood::AtShape(early, 200)(std::log(1000.0)) == Approx(200 * std::log(0.002)).epsilon(1e-14));
}

TEST_CASE("evidence of an inspection moves the states of damage as API RP 581 does", "[reference]") {
    // Form of the update: API RP 581, 3rd edition. Its tables from memory: prior for low, medium and high confidence data;
    // conditional probabilities of a highly, usually, fairly and poorly effective look.
    const Column low = column({.5, .3, .2}), medium = column({.7, .2, .1}), high = column({.8, .15, .05});
    const Column a = column({.9, .09, .01}), b = column({.7, .2, .1}), c = column({.5, .3, .2}), d = column({.4, .33, .27}),
                 e = column({.33, .33, .33});
    const auto is = [](const Column& got, std::initializer_list<double> wanted) {
        for (Eigen::Index i = 0; i < 3; ++i) CHECK(got[i] == Approx(wanted.begin()[i]).epsilon(0).margin(1e-9));
        CHECK(got.sum() == Approx(1).epsilon(1e-14));
    };
    is(update_states(low, c), {.657894737, .236842105, .105263158});
    is(update_states(low, b), {.813953488, .139534884, .046511628});
    is(update_states(low, a), {.939457203, .056367432, .004175365});
    is(update_states(low, b, 2), {.945945946, .046332046, .007722008});
    is(update_states(low, d, 2), {.628683694, .256738703, .114577603});
    is(update_states(update_states(low, a), d, 2), {.958899184, .039159045, .001941771});
    is(update_states(low, e), {.5, .3, .2});
    is(update_states(update_states(medium, c), b), {.945945946, .046332046, .007722008});
    is(update_states(high, a), {.980926431, .018392370, .000681199});
    is(update_states(low, a, 100000), {1, 0, 0});
}

TEST_CASE("updates refuse what cannot be, by name", "[bad_input]") {
    CHECK_THROWS_WITH((BetaBelief{2, 8}.after(11, 10)), "successes: expected a number from 0 to 10, got 11");
    CHECK_THROWS_AS((BetaBelief{0, 1}.quantile(0.5)), ValueError);
    CHECK_THROWS_AS((GammaBelief{1, 1}.after(-1, 2)), ValueError);
    CHECK_THROWS_AS((NormalBelief{0, 1}.after(column({1}), 0)), ValueError);
    CHECK_THROWS_AS(update_states(column({1, 1}), column({1})), ValueError);
    CHECK_THROWS_AS(update_states(column({1, 0}), column({0, 1})), ValueError);
    CHECK_THROWS_WITH(scale_posterior({column({3, 5}), column({4, 4})}, 2, {8, 0.4}),
                      "upper[1]: expected a time > 0, not before lower, got 4");
    CHECK_THROWS_AS(scale_posterior({column({0}), column({0})}, 2, {8, 0.4}), ValueError);
    CHECK_THROWS_WITH(scale_posterior({}, 2, {8, 0}), "scale.log_sd: expected a number above 0 to 5, got 0");
    CHECK_THROWS_AS(scale_posterior({}, 0, {8, 0.4}), ValueError);
    CHECK_THROWS_AS(life_posterior({column({1}), Column()}, {8, 0.4}, {2, 0.2}), ValueError);
    CHECK_THROWS_AS(scale_posterior(three_lives(), 2.5, {8, 0.4}).quantile(1), ValueError);
    CHECK_THROWS_AS(ScalePosterior{}.quantile(0.5), ValueError);
}

TEST_CASE("moments of wide beliefs have the mass that lies far above the peak", "[law]") {
    // Without data the belief stays as it was: mean m e^(s^2/2), variance m^2 e^(s^2) (e^(s^2) - 1).
    const LifeData none{Column(0), Column(0)};
    for (const double s : {0.1, 2.0, 3.5, 5.0}) {
        INFO(s);
        const ScalePosterior scale = scale_posterior(none, 2, {3, s});
        CHECK(scale.mean == Approx(3 * std::exp(s * s / 2)).epsilon(1e-9));
        CHECK(scale.sd == Approx(3 * std::exp(s * s / 2) * std::sqrt(std::expm1(s * s))).epsilon(1e-9));
        CHECK(scale.log_sd == Approx(s).epsilon(1e-9));
        CHECK(scale.evidence == Approx(1).epsilon(1e-9));
        const LifePosterior both = life_posterior(none, {3, s}, {2, s});
        CHECK(both.scale_mean == Approx(3 * std::exp(s * s / 2)).epsilon(1e-8));
        CHECK(both.shape_mean == Approx(2 * std::exp(s * s / 2)).epsilon(1e-8));
        CHECK(both.log_scale_sd == Approx(s).epsilon(1e-8));
    }
    // A level seen with an error a part in 10^170 as wide: what is seen; believed so narrowly: what was believed.
    const NormalBelief seen = NormalBelief{1, 1}.after(column({2, 4}), 1e-170);
    CHECK(seen.mean == Approx(3).epsilon(1e-14));
    CHECK(seen.sd == Approx(1e-170 / std::sqrt(2.0)).epsilon(1e-14).margin(0));
    const NormalBelief believed = NormalBelief{1, 1e-170}.after(column({2, 4}), 1);
    CHECK(believed.mean == 1);
    CHECK(believed.sd == Approx(1e-170).epsilon(1e-14).margin(0));
    CHECK((NormalBelief{1, 2}.after(Column(0), 1).sd) == 2);
}
