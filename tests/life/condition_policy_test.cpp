#include "support/catch.hpp"

#include <cmath>
#include <vector>

#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/life/condition_policy.hpp"
#include "libseal/life/interval_sensitivity.hpp"

using namespace libseal;

namespace {

struct Model {
    Eigen::ArrayXXd transition{4, 4};
    Column running{4}, renewal{4};
};
Model four_conditions() {
    Model m;
    m.transition << .80, .15, .04, .01, 0, .70, .22, .08, 0, 0, .60, .40, 0, 0, 0, 1;
    m.running << 0, 1, 4, INFINITY;
    m.renewal << 0, 60, 60, 200;
    return m;
}

}  // namespace

TEST_CASE("condition policies cost what the balance equations say", "[reference]") {
    // Exact fractions, computed for this project.
    const Model m = four_conditions();
    const auto cost = [&](std::vector<bool> renew) { return condition_policy(m.transition, m.running, m.renewal, renew).cost_rate; };
    CHECK(cost({false, false, false, true}) == Approx(22.4).epsilon(1e-12));
    CHECK(cost({false, false, true, true}) == Approx(13.0).epsilon(1e-12));
    CHECK(cost({false, true, false, true}) == Approx(17.636363636).margin(5e-10).epsilon(0));
    CHECK(cost({false, true, true, true}) == Approx(13.4).epsilon(1e-12));
    const auto best = best_condition_policy(m.transition, m.running, m.renewal);
    CHECK(best.threshold == 2);
    CHECK(best.renew == std::vector<bool>{false, false, true, true});
    CHECK(best.cost_rate == Approx(13.0).epsilon(1e-12));
    const std::vector<double> share{.5333333, .3333333, .1, .0333333};
    for (int i = 0; i < 4; ++i) CHECK(best.share[i] == Approx(share[static_cast<std::size_t>(i)]).margin(5e-8).epsilon(0));
    CHECK(condition_policy(m.transition, m.running, m.renewal, {false, true, false, true}).threshold == -1);
}

TEST_CASE("the best condition policy beats every other, for random models", "[law]") {
    // Synthetic: all policies of small models are tried.
    RandomStream random(11);
    for (int round = 0; round < 60; ++round) {
        const int n = 2 + static_cast<int>(random.below(5));
        Model m;
        m.transition = Eigen::ArrayXXd::Zero(n, n);
        m.running = m.renewal = Column::Zero(n);
        for (int i = 0; i < n; ++i) {
            for (int j = i; j < n; ++j) m.transition(i, j) = 0.05 + random.uniform();
            m.transition.row(i) /= m.transition.row(i).sum();
            m.running[i] = i * random.uniform() * 3;
            m.renewal[i] = 5 + 10 * random.uniform();
        }
        m.running[n - 1] = INFINITY;
        const auto best = best_condition_policy(m.transition, m.running, m.renewal);
        CHECK(best.share.sum() == Approx(1).epsilon(1e-12));
        double lowest = INFINITY;
        for (int mask = 0; mask < 1 << (n - 2); ++mask) {
            std::vector<bool> renew(static_cast<std::size_t>(n), false);
            renew.back() = true;
            for (int i = 1; i < n - 1; ++i) renew[static_cast<std::size_t>(i)] = (mask >> (i - 1)) & 1;
            lowest = std::min(lowest, condition_policy(m.transition, m.running, m.renewal, renew).cost_rate);
        }
        CHECK(best.cost_rate == Approx(lowest).epsilon(1e-10));
    }
}

TEST_CASE("condition policies refuse models without a long run", "[bad_input]") {
    const Model good = four_conditions();
    Model m = good;
    m.transition(1, 1) = .5;
    CHECK_THROWS_AS(best_condition_policy(m.transition, m.running, m.renewal), ValueError);
    m = good;
    m.transition(0, 0) = std::nan("");
    CHECK_THROWS_AS(best_condition_policy(m.transition, m.running, m.renewal), ValueError);
    m = good;
    m.running[0] = INFINITY;
    CHECK_THROWS_AS(best_condition_policy(m.transition, m.running, m.renewal), ValueError);
    m = good;
    m.renewal[2] = INFINITY;
    CHECK_THROWS_AS(best_condition_policy(m.transition, m.running, m.renewal), ValueError);
    CHECK_THROWS_AS(best_condition_policy(Eigen::ArrayXXd(0, 0), Column(0), Column(0)), ValueError);
    CHECK_THROWS_AS(best_condition_policy(good.transition, Column(3), good.renewal), ValueError);
    CHECK_THROWS_AS(best_condition_policy(good.transition, good.running, Column::Zero(5)), ValueError);
    for (const double wrong : {std::nan(""), -double(INFINITY)}) {
        m = good;
        m.running[1] = wrong;
        CHECK_THROWS_AS(best_condition_policy(m.transition, m.running, m.renewal), ValueError);
    }
    CHECK_THROWS_AS(condition_policy(good.transition, good.running, good.renewal, {false, false, true}), ValueError);
    CHECK_THROWS_AS(condition_policy(good.transition, good.running, good.renewal, {false, false, false, false}), ValueError);
    CHECK_THROWS_AS(condition_policy(good.transition, good.running, good.renewal, {true, false, false, true}), ValueError);
    // Two conditions that nothing leads away from: no one cost per step.
    const Eigen::ArrayXXd apart = Eigen::ArrayXXd(Eigen::MatrixXd::Identity(3, 3));
    CHECK_THROWS_AS(condition_policy(apart, Column::Zero(3), Column::Ones(3), {false, false, false}), ValueError);
}

TEST_CASE("sensitivities of intervals keep the laws of scale", "[law]") {
    const auto age = replacement_sensitivity(Weibull{8, 2.5}, 150, 900);
    REQUIRE(age.input == std::vector<std::string>{"life/scale", "life/shape", "planned_cost", "failure_cost"});
    CHECK(age.interval_change[0] == Approx(1).epsilon(1e-6));    // an age stretches with the life
    CHECK(age.cost_change[0] == Approx(-1).epsilon(1e-6));
    CHECK(age.interval_change[2] == Approx(-age.interval_change[3]).epsilon(1e-6));  // only the ratio of costs matters
    CHECK(age.cost_change[2] + age.cost_change[3] == Approx(1).epsilon(1e-6));
    CHECK(age.interval_change[2] > 0);
    CHECK((age.loss_if_low > 0).all());
    CHECK((age.loss_if_high > 0).all());
    const auto look = inspection_sensitivity(.8, LifeLaw::exponential(2), .9, 60, 150, 1200);
    REQUIRE(look.input == std::vector<std::string>{"delay/mean", "defect_rate", "detection", "inspection_cost", "repair_cost", "failure_cost"});
    // Time has one unit: stretching delay and 1/rate together stretches the interval.
    CHECK(look.interval_change[0] - look.interval_change[1] == Approx(1).epsilon(1e-6));
    CHECK(look.cost_change[3] + look.cost_change[4] + look.cost_change[5] == Approx(1).epsilon(1e-6));
    CHECK(look.interval_change[3] > 0);
    CHECK(look.interval_change[5] < 0);
    // What was tuned for half again the truth costs what the curve says.
    const double wrong = best_inspection_interval(.8, LifeLaw::exponential(2), .9, 90, 150, 1200).interval;
    const double best = best_inspection_interval(.8, LifeLaw::exponential(2), .9, 60, 150, 1200).cost_rate;
    CHECK(look.loss_if_high[3] ==
          Approx(inspection_cost_curve(.8, LifeLaw::exponential(2), .9, 60, 150, 1200, Column::Constant(1, wrong))[0] / best - 1).epsilon(1e-9));
    CHECK_THROWS_AS(replacement_sensitivity(Weibull{8, 0.9}, 150, 900), ValueError);
    CHECK_THROWS_AS(replacement_sensitivity(Weibull{8, 2}, 150, 900, 1), ValueError);
}

TEST_CASE("sensitivities of a uniform life are those of the closed form", "[reference]") {
    // By hand: with u = (t - low)/w, w = high - low, k = failure/planned - 1, a cycle costs 1 + k u over low + w (u - u^2/2). The slope is
    // nought where k u^2/2 + u - 1 + k low/w = 0. For low 1, high 9, k 4: 2 u^2 + u - 1/2 = 0, u = (sqrt(5) - 1)/4, t = 1 + 8 u.
    const double root = std::sqrt(5.0), u = (root - 1) / 4, age = 1 + 8 * u;
    const auto best = best_replacement_age(LifeLaw::uniform(1, 9), 100, 500);
    CHECK(best.age == Approx(age).epsilon(1e-9));
    CHECK(best.cost_rate == Approx(100 * (1 + 4 * u) / (1 + 8 * (u - u * u / 2))).epsilon(1e-12));
    const auto rows = replacement_sensitivity(LifeLaw::uniform(1, 9), 100, 500);
    REQUIRE(rows.input == std::vector<std::string>{"life/low", "life/high", "planned_cost", "failure_cost"});
    // d(k u^2/2 + u - 1 + k r) = 0 with r = low/w: du/dr = -k/(k u + 1) = -4/root; dr/dlow = 1/8 + 1/64 = 9/64, dr/dhigh = -1/64;
    // t = low + w u, so dt/dlow = 1 - u + 8 du/dlow, dt/dhigh = u + 8 du/dhigh. du/dk = -(u^2/2 + 1/8)/root, dk/dln failure = 5.
    CHECK(rows.interval_change[0] == Approx(1 / age * (1 - u - 8 * 4 / root * 9 / 64)).epsilon(1e-6));
    CHECK(rows.interval_change[1] == Approx(9 / age * (u + 8 * 4 / root / 64)).epsilon(1e-6));
    CHECK(rows.interval_change[3] == Approx(8 / age * -(u * u / 2 + 0.125) / root * 5).epsilon(1e-6));
    CHECK(rows.interval_change[2] == Approx(-rows.interval_change[3]).epsilon(1e-6));
    CHECK(rows.cost_change[0] + rows.cost_change[1] == Approx(-1).epsilon(1e-6));  // a rate falls as life stretches
    // From nought on: 2 u^2 + u - 1 = 0, u = 1/2. A low end of nought has no share to change.
    const auto from_new = replacement_sensitivity(LifeLaw::uniform(0, 10), 1, 5);
    CHECK(best_replacement_age(LifeLaw::uniform(0, 10), 1, 5).age == Approx(5).epsilon(1e-9));
    CHECK(from_new.interval_change[0] == 0);
    CHECK(from_new.cost_change[0] == 0);
    CHECK(from_new.interval_change[1] == Approx(1).epsilon(1e-6));
    CHECK(from_new.interval_change[3] == Approx(-5.0 / 12).epsilon(1e-6));  // du/dk = -(1/8)/3, times 5 over 1/2
}

TEST_CASE("sensitivities of lognormal, written and tabulated lives are differences of their own intervals", "[law]") {
    const Lognormal life{8, 0.4};
    const auto rows = replacement_sensitivity(life, 150, 900);
    REQUIRE(rows.input == std::vector<std::string>{"life/median", "life/sigma", "planned_cost", "failure_cost"});
    CHECK(rows.value[0] == 8);
    CHECK(rows.value[1] == 0.4);
    CHECK(rows.interval_change[0] == Approx(1).epsilon(1e-6));
    CHECK(rows.cost_change[0] == Approx(-1).epsilon(1e-6));
    const double step = 1e-3;
    const auto up = best_replacement_age(Lognormal{8, 0.4 * std::exp(step)}, 150, 900), down = best_replacement_age(Lognormal{8, 0.4 * std::exp(-step)}, 150, 900);
    CHECK(rows.interval_change[1] == Approx(std::log(up.age / down.age) / (2 * step)).epsilon(1e-4));
    CHECK(rows.cost_change[1] == Approx(std::log(up.cost_rate / down.cost_rate) / (2 * step)).epsilon(1e-4));
    // A formula and a table have a stretch alone: an age stretches with the life, a rate falls by as much.
    const LifeLaw formula([](double t) { return std::exp(-t * t / 64); });
    Column age(4), left(4);
    age << 2, 5, 8, 12;
    left << 0.98, 0.7, 0.3, 0;
    for (const LifeLaw& own : {formula, LifeLaw::table(age, left)}) {
        const auto stretched = replacement_sensitivity(own, 150, 900);
        REQUIRE(stretched.input == std::vector<std::string>{"life/stretch", "planned_cost", "failure_cost"});
        CHECK(stretched.value[0] == 1);
        CHECK(stretched.interval_change[0] == Approx(1).epsilon(1e-5));
        CHECK(stretched.cost_change[0] == Approx(-1).epsilon(1e-6));
        CHECK(stretched.cost_change[1] + stretched.cost_change[2] == Approx(1).epsilon(1e-6));
    }
    // The formula is a Weibull life of scale 8 and shape 2.
    const auto same = replacement_sensitivity(Weibull{8, 2}, 150, 900);
    const auto written = replacement_sensitivity(formula, 150, 900);
    CHECK(written.interval_change[2] == Approx(same.interval_change[3]).epsilon(1e-4));
    CHECK(written.cost_change[2] == Approx(same.cost_change[3]).epsilon(1e-6));
}

TEST_CASE("policies that cost the same are found", "[law]") {
    // Looking pays against waiting until a look costs as much as it saves.
    const auto looks = [](double cost) { return best_inspection_interval(.8, LifeLaw::exponential(2), 1, cost, 150, 1200).cost_rate; };
    const auto fixed = [](double) { return 500.0; };
    const Column even = break_even(looks, fixed, 1, 1000);
    REQUIRE(even.size() == 1);
    CHECK(looks(even[0]) == Approx(500).epsilon(1e-9));
    const Column two = break_even([](double x) { return x * x; }, [](double) { return 4.0; }, -5, 5);
    REQUIRE(two.size() == 2);
    CHECK(two[0] == Approx(-2).epsilon(1e-12));
    CHECK(two[1] == Approx(2).epsilon(1e-12));
    CHECK(break_even(fixed, [](double) { return 1.0; }, 0, 1).size() == 0);
    CHECK_THROWS_AS(break_even(fixed, fixed, 1, 1), ValueError);
    CHECK_THROWS_AS(break_even(fixed, [](double) { return std::nan(""); }, 0, 1), ValueError);
}
