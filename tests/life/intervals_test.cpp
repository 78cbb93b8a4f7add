#include "support/catch.hpp"

#include <cmath>
#include <complex>
#include <numbers>
#include <vector>

#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/life/intervals.hpp"
#include "life/lowest.hpp"
#include "life/special.hpp"
#include "support/published.hpp"

using namespace libseal;

namespace {

LifeLaw erlang2() {
    return LifeLaw([](double t) { return (1 + t) * std::exp(-t); }, [](double t) { return t * std::exp(-t); });
}
Column one(double value) { return Column::Constant(1, value); }

}  // namespace

TEST_CASE("ages to replace at are those of the age-replacement equation", "[reference][published]") {
    // Computed for this project with R and SciPy from Barlow & Proschan's equation; half a unit of the last digit.
    struct Row { double scale, shape, planned, failure, age, age_half, rate, rate_half, run, run_half; };
    for (const Row& r : {Row{1000, 2.5, 1, 5, 493.0469576, 5e-8, .00346204273879, 5e-15, .00563530249, 5e-12},
                         Row{1000, 2, 1, 5, 510.6552243, 5e-8, .00408524179, 5e-12, .00564189584, 5e-12},
                         Row{1, 2, 1, 10, .3364511913, 5e-11, 6.0561214426, 5e-11, 11.283791671, 5e-10},
                         Row{1, 3, 1, 5, .5026095821, 5e-11, 3.0313967043, 5e-11, 5.5992326086, 5e-11},
                         Row{1, 1.5, 1, 10, .3781444916, 5e-11, 8.3016163239, 5e-11, 11.0773216743, 5e-11}}) {
        const auto best = best_replacement_age(Weibull{r.scale, r.shape}, r.planned, r.failure);
        CHECK(best.finite);
        CHECK(best.age == Approx(r.age).margin(r.age_half).epsilon(0));
        CHECK(best.cost_rate == Approx(r.rate).margin(r.rate_half).epsilon(0));
        CHECK(best.run_to_failure == Approx(r.run).margin(r.run_half).epsilon(0));
        CHECK(best.cost_rate == Approx((r.failure - r.planned) * LifeLaw(Weibull{r.scale, r.shape}).hazard(best.age)).epsilon(1e-10));
    }
    // The documentation of the Python package reliability prints 493.19 and 0.0035. It searches a grid: the true root is
    // 0.03 % lower, so its age holds to 5e-4 only.
    const auto printed = best_replacement_age(Weibull{1000, 2.5}, 1, 5);
    CHECK(printed.age == Approx(493.19).epsilon(5e-4));
    CHECK(printed.cost_rate == Approx(0.0035).margin(0.00005));
    libseal_test::count_published("documentation of the Python package reliability, age replacement", 2);
    // Closed form: two-stage Erlang life of rate 1.
    struct Erlang { double failure, age, age_half, rate, run; };
    for (const Erlang& r : {Erlang{3, 2.888703356, 5e-10, 1.485689749, 1.5}, Erlang{5, 1.305161773, 5e-10, 2.264763867, 2.5},
                            Erlang{10, .6801299338, 5e-11, 3.643271440, 5}}) {
        const auto best = best_replacement_age(erlang2(), 1, r.failure);
        CHECK(best.age == Approx(r.age).margin(r.age_half).epsilon(0));
        CHECK(best.cost_rate == Approx(r.rate).margin(5e-10).epsilon(0));
        CHECK(best.run_to_failure == Approx(r.run).epsilon(1e-12));
        // Without its density the formula gives the same.
        const auto bare = best_replacement_age(LifeLaw([](double t) { return (1 + t) * std::exp(-t); }), 1, r.failure);
        CHECK(bare.age == Approx(best.age).epsilon(1e-7));
    }
}

TEST_CASE("expected renewals are those of the series and of the closed form", "[reference]") {
    // Weibull, scale 1: Smith & Leadbetter's series and an integral recursion agree to 9 digits; 1e-10 here.
    Column at(4);
    at << .5, 1, 1.5, 2;
    struct Row { double shape; std::vector<double> expected; };
    for (const Row& r : {Row{1.5, {.330269844472, .84157813665, 1.39091515034, 1.94550079993}},
                         Row{2, {.23079389361, .753691277537, 1.32949053927, 1.89403934679}},
                         Row{2.5, {.164771332554, .702507125548, 1.28880378181, 1.84390755753}},
                         Row{3, {.118262668991, .672329100238, 1.25523513253, 1.80107525689}}}) {
        const Column got = renewal_function(Weibull{1, r.shape}, at);
        for (int i = 0; i < 4; ++i) CHECK(got[i] == Approx(r.expected[static_cast<std::size_t>(i)]).margin(1e-10).epsilon(0));
    }
    const Column erlang = renewal_function(erlang2(), at);
    const Column closed = at / 2 - 0.25 + (-2 * at).exp() / 4;
    for (int i = 0; i < 4; ++i) CHECK(erlang[i] == Approx(closed[i]).epsilon(1e-10));
    // Never replaced before it fails, each life costs its failure.
    CHECK(replacement_cost_curve(Weibull{4, 2}, 1, 5, one(INFINITY))[0] == Approx(5 / LifeLaw(Weibull{4, 2}).mean()).epsilon(1e-14));
    CHECK(replacement_cost_curve(Weibull{4, 2}, 1, 5, one(100))[0] == Approx(5 / LifeLaw(Weibull{4, 2}).mean()).epsilon(1e-12));
    // Without memory M(t) = t/mean, also far out and also for a life whose hazard falls from infinity.
    CHECK(renewal_function(Weibull{2, 1}, one(50))[0] == Approx(25).epsilon(1e-10));
    // Uniform on 0 to 1: M(t) = e^t - 1 up to 1.
    CHECK(renewal_function(LifeLaw::uniform(0, 1), one(1))[0] == Approx(std::exp(1.0) - 1).epsilon(1e-6));
}

TEST_CASE("expected renewals of a narrow life are those of the closed form", "[reference]") {
    // Erlang's life of k stages, mean 1: M(t) = t - (k-1)/(2k) - 1/k sum_r w^r/(1 - w^r) exp(-k t (1 - w^r)), w = exp(2 pi i/k), r = 1 .. k-1
    // (renewal theory, from memory; the sum of the distributions of n k stages is its check here).
    for (const int k : {20, 400}) {
        const LifeLaw life([k](double t) { return detail::gamma_above(k, k * t); },
                           [k](double t) { return t > 0 ? k * std::exp((k - 1) * std::log(k * t) - k * t - std::lgamma(k)) : 0.0; });
        Column at(5);
        at << 0.9, 1, 1.4, 2, 3.05;
        const Column got = renewal_function(life, at);
        for (int i = 0; i < 5; ++i) {
            std::complex<double> closed = at[i] - (k - 1) / (2.0 * k);
            for (int r = 1; r < k; ++r) {
                const std::complex<double> w = std::polar(1.0, 2 * std::numbers::pi * r / k);
                closed -= w / (1.0 - w) * std::exp(-k * at[i] * (1.0 - w)) / double(k);
            }
            double sum = 0;
            for (int n = 1; n < 40; ++n) sum += detail::gamma_below(n * k, k * at[i]);
            INFO(k << " stages, t = " << at[i]);
            CHECK(closed.real() == Approx(sum).epsilon(1e-11));
            CHECK(got[i] == Approx(closed.real()).margin(1e-9).epsilon(0));
        }
    }
}

TEST_CASE("block intervals are those of the closed form and of the series", "[reference]") {
    struct Row { double failure, interval, half, rate, rate_half; };
    for (const Row& r : {Row{5, 1.4971541735, 5e-10, 2.3748218824, 5e-11}, Row{10, .6882106710, 5e-10, 3.7375976024, 5e-11}}) {
        const auto best = best_block_interval(erlang2(), 1, r.failure);
        CHECK(best.interval == Approx(r.interval).margin(r.half).epsilon(0));
        CHECK(best.cost_rate == Approx(r.rate).margin(r.rate_half).epsilon(0));
    }
    CHECK_FALSE(best_block_interval(erlang2(), 1, 4).finite);  // none unless a failure costs over four times as much
    CHECK_FALSE(best_block_interval(erlang2(), 1, 3.9).finite);
    CHECK(best_block_interval(erlang2(), 1, 4.1).finite);
    for (const Row& r : {Row{10, .334278768283, 5e-9, 6.21429648795, 5e-11}, Row{5, .507722640663, 5e-9, 4.30758967378, 5e-11}}) {
        const auto best = best_block_interval(Weibull{1, 2}, 1, r.failure);
        CHECK(best.interval == Approx(r.interval).margin(r.half).epsilon(0));
        CHECK(best.cost_rate == Approx(r.rate).margin(r.rate_half).epsilon(0));
    }
}

TEST_CASE("minimal repair has its closed form, and the scan finds it", "[reference]") {
    struct Row { double scale, shape, planned, repair, interval, rate; };
    for (const Row& r : {Row{10, 2, 1, .5, 14.1421356237, .141421356237}, Row{8, 2.5, 150, 60, 9.81362563757, 25.4747846752},
                         Row{1, 3, 10, 1, 1.70997594668, 8.77205321464}}) {
        const Weibull life{r.scale, r.shape};
        const auto best = best_renewal_interval(life, r.planned, r.repair);
        CHECK(best.interval == Approx(r.interval).epsilon(1e-11));
        CHECK(best.cost_rate == Approx(r.rate).epsilon(1e-11));
        const auto formula = best_renewal_interval(
            LifeLaw([life](double t) { return life.survival(t); }, [life](double t) { return life.density(t); }), r.planned, r.repair);
        CHECK(formula.interval == Approx(r.interval).epsilon(1e-7));
    }
    CHECK_FALSE(best_renewal_interval(Weibull{10, 1}, 1, 1).finite);
    CHECK(best_renewal_interval(Weibull{10, 1}, 1, 1).cost_rate == Approx(0.1));
}

TEST_CASE("tests for hidden failures keep the closed form of life without memory", "[reference]") {
    struct Row { double rate, cost, failed, interval, half, total, total_half; };
    for (const Row& r : {Row{.1, 1, 10, 1.38165122379, 5e-12, 14.8165122379, 5e-11},
                         Row{.2, 50, 400, 1.07787453111, 5e-12, 481.149812443, 5e-10},
                         Row{1, .1, 1, .416221161425, 5e-13, .516221161425, 5e-13}}) {
        const auto best = best_hidden_failure_interval(LifeLaw::exponential(1 / r.rate), r.cost, r.failed);
        CHECK(best.interval == Approx(r.interval).margin(1e-9).epsilon(0));  // sums of survivals end at 1e-12
        CHECK(best.cost == Approx(r.total).margin(r.total_half).epsilon(0));
        CHECK(best.cost == Approx(r.cost + r.failed * best.interval).epsilon(1e-9));
        CHECK(best.rule == Approx(std::sqrt(2 * r.cost / (r.rate * r.failed))).epsilon(1e-12));
    }
    CHECK(best_hidden_failure_interval(LifeLaw::exponential(10), 1, 10).rule == Approx(1.41421).margin(5e-6));
}

TEST_CASE("delay-time intervals are those of the equations", "[reference]") {
    // Shares of defects that fail, exponential delay; closed form.
    struct Share { double interval, rate, detection, share; };
    for (const Share& r : {Share{1, 1, 1, .367879441171}, Share{1, 1, .8, .454141531249}, Share{2, .5, .5, .612699836780},
                           Share{6, .25, .9, .523240145828}})
        CHECK(defect_failure_share(LifeLaw::exponential(1 / r.rate), r.detection, one(r.interval))[0] ==
              Approx(r.share).margin(5e-13).epsilon(0));
    // Cost form, computed for this project with mpmath.
    const LifeLaw delay = LifeLaw::exponential(2);
    struct Row { double detection, interval, cost; };
    for (const Row& r : {Row{1, .588931112612, 334.259132617}, Row{.9, .547360905929, 353.799189631}, Row{.7, .469805560028, 400.718387291},
                         Row{.5, .397201874481, 465.491850295}}) {
        const auto best = best_inspection_interval(.8, delay, r.detection, 60, 150, 1200);
        CHECK(best.finite);
        CHECK(best.interval == Approx(r.interval).margin(5e-12).epsilon(0));
        CHECK(best.cost_rate == Approx(r.cost).margin(5e-10).epsilon(0));
        CHECK(best.none == Approx(960).epsilon(1e-14));
        // A Weibull delay of shape 1 is the same.
        CHECK(best_inspection_interval(.8, Weibull{2, 1}, r.detection, 60, 150, 1200).interval == Approx(best.interval).epsilon(1e-9));
    }
    CHECK(inspection_cost_curve(.8, delay, 1, 60, 150, 1200, one(1))[0] == Approx(358.971508317).margin(5e-10).epsilon(0));
    const auto uniform = best_inspection_interval(.8, LifeLaw::uniform(0, 4), 1, 60, 150, 1200);
    CHECK(uniform.interval == Approx(.755928946018).margin(5e-13).epsilon(0));
    CHECK(uniform.cost_rate == Approx(278.745078664).margin(5e-10).epsilon(0));
    const Weibull wearing{2 / std::tgamma(1.5), 2};
    CHECK(defect_failure_share(wearing, 1, one(1))[0] == Approx(.0617681021).margin(5e-11).epsilon(0));
    const auto weibull = best_inspection_interval(.8, wearing, 1, 60, 150, 1200);
    CHECK(weibull.interval == Approx(.83993856630).margin(1e-7).epsilon(0));  // the reference holds to 1e-7
    CHECK(weibull.cost_rate == Approx(228.6604033656).margin(5e-10).epsilon(0));
    // Downtime form.
    struct Down { double detection, interval, share; };
    for (const Down& r : {Down{1, 24.0217179873, .0349566338587}, Down{.9, 23.9885946925, .0370243784935}, Down{.7, 24.9263963937, .0415616231534}}) {
        const auto best = best_inspection_downtime(.1, LifeLaw::exponential(20), r.detection, .5, .35);
        CHECK(best.interval == Approx(r.interval).margin(5e-10).epsilon(0));
        CHECK(best.cost_rate == Approx(r.share).margin(5e-14).epsilon(0));
    }
}

TEST_CASE("enough looks for a target", "[reference]") {
    CHECK(visits_for_target(.7, .97) == 3);
    CHECK(found_within(.7, 3) == Approx(.973).epsilon(1e-12));
    CHECK(found_within(.7, 2) < .97);
    CHECK(visits_for_target(.5, .75) == 2);  // met exactly
    CHECK(visit_interval(6, .7, .97) == Approx(2));
    CHECK(visits_for_target(1, .999) == 1);
    CHECK(visits_for_target(.3, 0) == 0);
    CHECK(found_within(0, 10) == 0);
}

TEST_CASE("each optimum equals a dense search, for random inputs", "[law]") {
    // Synthetic: the optimum is compared with the lowest of thousands of intervals over the whole range.
    RandomStream random(7);
    for (int round = 0; round < 40; ++round) {
        const double shape = 0.6 + 4 * random.uniform(), scale = std::exp(3 * random.normal());
        const double planned = std::exp(random.normal()), failure = planned * (0.5 + 20 * random.uniform());
        const LifeLaw life = round % 3 == 0   ? LifeLaw(Lognormal{scale, 0.2 + random.uniform()})
                             : round % 3 == 1 ? LifeLaw(Weibull{scale, shape})
                                              : LifeLaw::uniform(scale * random.uniform(), scale * (1 + random.uniform()));
        const Column grid = Column::LinSpaced(8000, std::log(scale * 1e-5), std::log(scale * 200)).exp();
        const auto age = best_replacement_age(life, planned, failure);
        const double lowest = replacement_cost_curve(life, planned, failure, grid).minCoeff();
        CHECK(age.cost_rate <= lowest * (1 + 1e-9));
        CHECK(age.cost_rate >= std::min(lowest, age.run_to_failure) * (1 - 2e-3));
        if (age.finite) CHECK(replacement_cost_curve(life, planned, failure, one(age.age))[0] == Approx(age.cost_rate).epsilon(1e-12));
        const double detection = 0.05 + 0.95 * random.uniform(), rate = random.uniform(), look = planned * random.uniform();
        const auto best = best_inspection_interval(rate, life, detection, look, planned, failure);
        const Column wide = Column::LinSpaced(3000, std::log(scale * 1e-4), std::log(scale * 1000)).exp();
        const double low = inspection_cost_curve(rate, life, detection, look, planned, failure, wide).minCoeff();
        CHECK(best.cost_rate <= low * (1 + 1e-9));
        CHECK(best.cost_rate >= std::min(low, best.none) * (1 - 2e-3));
        const auto hidden = best_hidden_failure_interval(life, look, failure);
        const double hidden_low = hidden_failure_cost_curve(life, look, failure, hidden.interval * Column::LinSpaced(2000, 0.3, 3)).minCoeff();
        CHECK(hidden.cost <= hidden_low + 1e-8 * std::fabs(hidden_low));
    }
    for (const double shape : {1.3, 2.0, 4.0}) {
        const LifeLaw life = Weibull{3, shape};
        const auto block = best_block_interval(life, 1, 8);
        const double low = block_cost_curve(life, 1, 8, Column::LinSpaced(4000, 0.05, 12)).minCoeff();
        CHECK(block.cost_rate <= low * (1 + 1e-9));
        CHECK(block.cost_rate >= low * (1 - 1e-5));
        // A block policy throws young ones away: it never beats age replacement.
        CHECK(block.cost_rate >= best_replacement_age(life, 1, 8).cost_rate);
    }
}

TEST_CASE("without wear-out nothing is replaced early", "[law]") {
    for (const double shape : {0.2, 0.7, 1.0}) {
        const auto best = best_replacement_age(Weibull{5, shape}, 1, 100);
        CHECK_FALSE(best.finite);
        CHECK(std::isinf(best.age));
        CHECK(best.cost_rate == best.run_to_failure);
        CHECK_FALSE(best_block_interval(Weibull{5, shape}, 1, 100).finite);
        CHECK_FALSE(best_renewal_interval(Weibull{5, shape}, 1, 100).finite);
    }
    CHECK_FALSE(best_replacement_age(Weibull{5, 3}, 2, 2).finite);
    CHECK_FALSE(best_replacement_age(Weibull{5, 3}, 2, 1).finite);
    CHECK_FALSE(best_inspection_interval(1, Weibull{5, 3}, .9, 1e9, 1, 2).finite);
    CHECK_FALSE(best_inspection_interval(1, Weibull{5, 3}, .9, 1, 3, 2).finite);
}

TEST_CASE("units do not matter to intervals", "[law]") {
    const auto days = best_inspection_interval(.8 / 365.25, Weibull{2 * 365.25, 1.7}, .8, 60, 150, 1200);
    const auto years = best_inspection_interval(.8, Weibull{2, 1.7}, .8, 60, 150, 1200);
    CHECK(days.interval == Approx(365.25 * years.interval).epsilon(1e-9));
    CHECK(days.cost_rate == Approx(years.cost_rate / 365.25).epsilon(1e-12));
}

TEST_CASE("a table of survival stands for the life that it was taken from", "[law]") {
    const Weibull life{8, 2.5};
    const Column age = Column::LinSpaced(2000, 0.01, 20);
    const LifeLaw table = LifeLaw::table(age, age.unaryExpr([&](double t) { return life.survival(t); }));
    CHECK(table.mean() == Approx(life.mean()).epsilon(1e-5));
    CHECK(best_replacement_age(table, 1, 5).age == Approx(best_replacement_age(life, 1, 5).age).epsilon(5e-3));
    CHECK(best_replacement_age(table, 1, 5).cost_rate == Approx(best_replacement_age(life, 1, 5).cost_rate).epsilon(1e-4));
    CHECK(renewal_function(table, one(12))[0] == Approx(renewal_function(life, one(12))[0]).epsilon(1e-4));
    const auto stretched = table.with_parameter("stretch", 3);
    CHECK(stretched.mean() == Approx(3 * table.mean()));
    CHECK(stretched.quantile(0.3) == Approx(3 * table.quantile(0.3)));
}

TEST_CASE("intervals refuse what is no model, and never give a number that is none", "[bad_input]") {
    const Weibull life{8, 2.5};
    const double nan = std::nan("");
    for (const double bad : {nan, -1.0, 0.0, double(INFINITY)}) {
        CHECK_THROWS_AS(best_replacement_age(life, bad, 5), ValueError);
        CHECK_THROWS_AS(best_replacement_age(life, 1, bad), ValueError);
        CHECK_THROWS_AS(best_block_interval(life, bad, 5), ValueError);
        CHECK_THROWS_AS(best_renewal_interval(life, 1, bad), ValueError);
        CHECK_THROWS_AS(best_inspection_interval(bad, life, .5, 1, 1, 2), ValueError);
        CHECK_THROWS_AS(best_inspection_interval(1, life, bad, 1, 1, 2), ValueError);
        CHECK_THROWS_AS(best_inspection_interval(1, life, .5, bad, 1, 2), ValueError);
        CHECK_THROWS_AS(best_inspection_downtime(1, life, .5, bad, 1), ValueError);
        CHECK_THROWS_AS(best_hidden_failure_interval(life, bad, 1), ValueError);
        CHECK_THROWS_AS(block_cost_curve(life, 1, 2, one(bad)), ValueError);
        CHECK_THROWS_AS(visit_interval(bad, .5, .9), ValueError);
        CHECK_THROWS_AS(LifeLaw::exponential(bad), ValueError);
    }
    CHECK_THROWS_AS(renewal_function(life, one(nan)), ValueError);
    CHECK_THROWS_AS(renewal_function(life, one(-1)), ValueError);
    CHECK_THROWS_AS(renewal_function(Lognormal{10, 1e-6}, one(5000)), ValueError);
    CHECK_THROWS_AS(visits_for_target(.5, 1), ValueError);
    CHECK_THROWS_AS(visits_for_target(0, .5), ValueError);
    CHECK_THROWS_AS(LifeLaw([](double) { return 0.5; }), ValueError);
    CHECK_THROWS_AS(LifeLaw([](double) { return 1.0; }), ValueError);
    CHECK_THROWS_AS(LifeLaw([](double t) { return 1 - std::exp(-t); }), ValueError);
    CHECK_THROWS_AS(LifeLaw([](double) { return std::nan(""); }), ValueError);
    CHECK_THROWS_AS(LifeLaw([](double t) { return t < 1 ? 1 : t < 2 ? 0.3 : t < 3 ? 0.6 : 0; }), ValueError);
    CHECK_THROWS_AS(LifeLaw::table(Column(0), Column(0)), ValueError);
    CHECK_THROWS_AS(LifeLaw::table(one(1), one(1)), ValueError);
    CHECK_THROWS_AS(LifeLaw::table(one(1), Column(2)), ValueError);
    CHECK_THROWS_AS(LifeLaw(Weibull{1, 0.001}), ValueError);
    CHECK_THROWS_AS(LifeLaw(life).with_parameter("colour", 1), ValueError);
    // Extreme but allowed.
    for (const double shape : {0.05, 1.001, 60.0})
        for (const double ratio : {1.000001, 1e9}) {
            const auto best = best_replacement_age(Weibull{1, shape}, 1, ratio);
            CHECK_FALSE(std::isnan(best.age));
            CHECK(best.cost_rate <= best.run_to_failure);
            CHECK(best.cost_rate > 0);
        }
}

TEST_CASE("lives with another number are the lives of that number", "[law]") {
    const auto same = [](const LifeLaw& a, const LifeLaw& b, double within) {
        for (const double t : {0.3, 2.0, 6.0, 11.0}) {
            INFO(t);
            CHECK(a.survival(t) == Approx(b.survival(t)).epsilon(within).margin(1e-14));
            CHECK(a.density(t) == Approx(b.density(t)).epsilon(within).margin(1e-14));
            CHECK(a.hazard(t) == Approx(b.hazard(t)).epsilon(within).margin(1e-14));
            CHECK(a.area(t) == Approx(b.area(t)).epsilon(within));
        }
        CHECK(a.mean() == Approx(b.mean()).epsilon(within));
        CHECK(a.quantile(0.3) == Approx(b.quantile(0.3)).epsilon(within));
        CHECK(a.smooth() == b.smooth());
        CHECK(a.parameter_names() == b.parameter_names());
    };
    same(LifeLaw(Lognormal{8, 0.4}).with_parameter("sigma", 0.7), Lognormal{8, 0.7}, 1e-15);
    same(LifeLaw(Lognormal{8, 0.4}).with_parameter("median", 5), Lognormal{5, 0.4}, 1e-15);
    same(LifeLaw::uniform(1, 12).with_parameter("low", 3), LifeLaw::uniform(3, 12), 1e-15);
    same(LifeLaw::uniform(1, 12).with_parameter("high", 15), LifeLaw::uniform(1, 15), 1e-15);
    // A stretch of a formula: exp(-(t/4)^2) stretched by 2 is exp(-(t/8)^2); stretched anew by 3, by 3 in all.
    const auto formula = [](double scale) {
        return LifeLaw([scale](double t) { return std::exp(-t * t / (scale * scale)); }, [scale](double t) { return 2 * t / (scale * scale) * std::exp(-t * t / (scale * scale)); });
    };
    const LifeLaw twice = formula(4).with_parameter("stretch", 2);
    CHECK(twice.parameter("stretch") == 2);
    same(twice, formula(8), 1e-9);
    same(twice.with_parameter("stretch", 3), formula(12), 1e-9);
    Column age(3), longer(3), left(3);
    age << 2, 5, 8;
    longer << 3, 7.5, 12;
    left << 0.9, 0.5, 0.1;
    same(LifeLaw::table(age, left).with_parameter("stretch", 1.5), LifeLaw::table(longer, left), 1e-12);
    CHECK_THROWS_AS(twice.with_parameter("stretch", 0), ValueError);
    CHECK_THROWS_AS(twice.with_parameter("scale", 1), ValueError);
    CHECK_THROWS_AS(LifeLaw::uniform(1, 12).with_parameter("low", 13), ValueError);
    // Something that may last for ever has no mean life; a table goes forward in age.
    CHECK_THROWS_WITH(LifeLaw([](double t) { return 0.4 + 0.6 * std::exp(-t); }), Catch::Matchers::Contains("a survival that falls to 0"));
    age[2] = 5;
    CHECK_THROWS_WITH(LifeLaw::table(age, left), Catch::Matchers::Contains("an age above the one before"));
}

TEST_CASE("the lowest point of a cost is found where its slope misleads", "[law]") {
    // A slope that points away from the valley, as a noisy one can: the search by values alone finds the bottom to half the digits.
    const auto cost = [](double t) { return 1 + (t - 3) * (t - 3); };
    const Column grid = detail::even_ratios(0.1, 100, 40);
    const auto right = detail::lowest_point(grid, cost, [](double t) { return t - 3; });
    CHECK(right.inside);
    CHECK(right.at == Approx(3).epsilon(1e-12));
    for (const double side : {-1.0, 1.0}) {
        const auto misled = detail::lowest_point(grid, cost, [&](double) { return side; });
        CHECK(misled.inside);
        CHECK(misled.at == Approx(3).epsilon(1e-7));
        CHECK(misled.value == Approx(1).epsilon(1e-13));
    }
    // A cusp, whose slope jumps: |t - 3|.
    const auto cusp = detail::golden_section(1, 10, [](double t) { return std::fabs(t - 3); });
    CHECK(cusp.at == Approx(3).epsilon(1e-11));
    // Lowest at an end: no valley.
    CHECK_FALSE(detail::lowest_point(grid, [](double t) { return -t; }, [](double) { return -1.0; }).inside);
}

TEST_CASE("at age nought the hazard is the density, before it there is none", "[law]") {
    for (const LifeLaw& life : {LifeLaw::exponential(4), LifeLaw(Weibull{4, 1}), LifeLaw::uniform(0, 4)}) {
        CHECK(life.hazard(0) == Approx(0.25).epsilon(1e-14));
        CHECK(life.density(0) == Approx(0.25).epsilon(1e-14));
        CHECK(life.hazard(-1e-9) == 0);
    }
}
