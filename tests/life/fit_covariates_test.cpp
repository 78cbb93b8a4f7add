// Accelerated lives beside published ones. Values without another source were computed for this project with the R package
// survival 3.5-3.
#include <cmath>

#include "libseal/core/error.hpp"
#include "libseal/life/fit.hpp"
#include "support/catch.hpp"
#include "support/life_data.hpp"
#include "support/published.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

Column at(std::initializer_list<double> values) {
    return Eigen::Map<const Column>(values.begin(), static_cast<Eigen::Index>(values.size()));
}

LifeFit named(const LifeTable& table, const std::string& distribution, std::vector<std::string> names) {
    FitOptions options;
    options.distribution = distribution;
    options.names = std::move(names);
    return fit(table, options);
}

/// Covariates 11605/(degrees C + 273.15) in the place of degrees, ln V in the place of volts.
LifeTable arrhenius(LifeTable t) {
    for (auto& x : t.covariates) {
        x[0] = 11605 / (x[0] + 273.15);
        if (x.size() > 1) x[1] = std::log(x[1]);
    }
    return t;
}

}  // namespace

TEST_CASE("the drug lengthens remission as computed", "[reference]") {
    const LifeFit f = named(leukaemia(), "weibull", {"drug"});
    CHECK(f.estimate()[0] == Approx(2.2483523591).epsilon(1e-8));
    CHECK(f.estimate()[1] == Approx(1.2673345874).epsilon(1e-8));
    CHECK(f.estimate()[2] == Approx(-.31170922093).epsilon(1e-8));
    CHECK(std::sqrt(f.covariance()(0, 0)) == Approx(.165971793).epsilon(1e-7));
    CHECK(std::sqrt(f.covariance()(1, 1)) == Approx(.310639936).epsilon(1e-7));
    CHECK(std::sqrt(f.covariance()(2, 2)) == Approx(.147291883).epsilon(1e-7));
    CHECK(1 / parameter(f, "shape") == Approx(.73219440408).epsilon(1e-9));
    CHECK(parameter(f, "drug") == f.estimate()[1]);
    CHECK(f.log_likelihood() == Approx(-106.579491582).epsilon(1e-11));
    CHECK(f.quantile(0.5, at({0})) == Approx(7.242696991).epsilon(1e-8));
    CHECK(f.quantile(0.5, at({1})) == Approx(25.721526210).epsilon(1e-8));
    LifeTable alone = leukaemia();
    for (auto& x : alone.covariates) x.clear();
    const LifeFit null = fit(alone, "weibull");
    CHECK(null.log_likelihood() == Approx(-116.405406980).epsilon(1e-11));
    const LikelihoodRatio ratio = likelihood_ratio_test(null, f);
    CHECK(ratio.statistic == Approx(2 * (116.405406980 - 106.579491582)).margin(1e-8));
    CHECK(ratio.p < 1e-4);
    const LifeFit exponential = named(leukaemia(), "exponential", {"drug"});
    CHECK(exponential.estimate()[0] == Approx(2.1594842494).epsilon(1e-9));
    CHECK(exponential.estimate()[1] == Approx(1.5266135618).epsilon(1e-9));
    CHECK(exponential.log_likelihood() == Approx(-108.524049537).epsilon(1e-11));
}

TEST_CASE("motor insulation ages with temperature as published", "[published]") {
    // tests/survreg1.Rout.save of the R package survival, data of Nelson & Hahn 1972.
    const LifeFit f = fit(motor_insulation(), "weibull");
    CHECK(f.estimate()[0] == Approx(16.31852).margin(5e-6));
    CHECK(f.estimate()[1] == Approx(-0.04531).margin(5e-6));
    CHECK(f.estimate()[2] == Approx(-1.09564).margin(5e-6));
    CHECK(1 / parameter(f, "shape") == Approx(0.334).margin(5e-4));
    CHECK(f.log_likelihood() == Approx(-147.4).margin(0.05));
    LifeTable alone = motor_insulation();
    for (auto& x : alone.covariates) x.clear();
    CHECK(fit(alone, "weibull").log_likelihood() == Approx(-169.5).margin(0.05));
    // Quantiles of ln t at 130 degrees with their standard errors.
    for (const auto& [p, log_t, error] : {std::tuple{0.5, 10.306068, .2135247}, std::tuple{0.1, 9.676248, .2202088}}) {
        CHECK(std::log(f.quantile(p, at({130}))) == Approx(log_t).margin(5e-7));
        const FitLimits limits = f.quantile_limits(p, at({130}), 0.95, "wald");
        CHECK(std::log(limits.high.value / limits.low.value) / (2 * 1.959963984540054) == Approx(error).margin(5e-8));
    }
    count_published("R survival, motor insulation", 10);
    CHECK(f.estimate()[0] == Approx(16.318519382).epsilon(1e-9));
    CHECK(f.estimate()[1] == Approx(-.045307053479).epsilon(1e-9));
    CHECK(f.estimate()[2] == Approx(-1.0956408942).epsilon(1e-9));
    CHECK(f.log_likelihood() == Approx(-147.365061177).epsilon(1e-11));
}

TEST_CASE("the energy of activation of motor insulation", "[reference]") {
    const LifeFit f = fit(arrhenius(motor_insulation()), "weibull");
    CHECK(f.estimate()[0] == Approx(-13.35300324).epsilon(1e-8));
    CHECK(f.estimate()[1] == Approx(.83790427).epsilon(1e-8));
    CHECK(1 / parameter(f, "shape") == Approx(.3254442914).epsilon(1e-8));
    CHECK(f.log_likelihood() == Approx(-146.254296075).epsilon(1e-11));
    const LifeFit lognormal = fit(arrhenius(motor_insulation()), "lognormal");
    CHECK(lognormal.estimate()[0] == Approx(-13.85750351).epsilon(1e-7));
    CHECK(lognormal.estimate()[1] == Approx(.85522262).epsilon(1e-7));
    CHECK(parameter(lognormal, "sigma") == Approx(.5967874853).epsilon(1e-8));
    CHECK(lognormal.log_likelihood() == Approx(-148.537306207).epsilon(1e-11));
}

TEST_CASE("glass capacitors age with temperature and voltage", "[reference]") {
    const LifeFit f = fit(glass_capacitors(), "weibull");
    CHECK(f.estimate()[0] == Approx(13.407016880).epsilon(1e-8));
    CHECK(f.estimate()[1] == Approx(-.0289046626870).epsilon(1e-8));
    CHECK(f.estimate()[2] == Approx(-.0059108195037).epsilon(1e-8));
    CHECK(f.estimate()[3] == Approx(-1.0111257768).epsilon(1e-8));
    CHECK(1 / parameter(f, "shape") == Approx(.36380918102).epsilon(1e-8));
    CHECK(f.log_likelihood() == Approx(-244.242343346).epsilon(1e-11));
    const double error[] = {2.29583778, .0128969525, .00103979269, .152340975};
    for (int i = 0; i < 4; ++i) CHECK(std::sqrt(f.covariance()(i, i)) == Approx(error[i]).epsilon(1e-7));
    const LifeFit physics = fit(arrhenius(glass_capacitors()), "weibull");
    CHECK(physics.estimate()[0] == Approx(1.92229085752).epsilon(1e-7));
    CHECK(physics.estimate()[1] == Approx(.53568367449).epsilon(1e-8));
    CHECK(physics.estimate()[2] == Approx(-1.62333794980).epsilon(1e-8));
    CHECK(1 / parameter(physics, "shape") == Approx(.35539654441).epsilon(1e-8));
    CHECK(physics.log_likelihood() == Approx(-243.628474429).epsilon(1e-11));
}

TEST_CASE("cosmetic decline seen between visits", "[reference]") {
    struct Wanted {
        const char* distribution;
        double location, effect, sigma, log_likelihood;
    };
    for (const Wanted& w : {Wanted{"weibull", 3.89927623037, -.56755053656, std::exp(-.47910136004), -143.320827110},
                            Wanted{"lognormal", 3.54787488056, -.42100045637, .88214142785, -146.622331968},
                            Wanted{"loglogistic", 3.60924507916, -.48730687371, .49962187085, -145.585062168},
                            Wanted{"exponential", 4.11855978105, -.74158119873, 1, -149.866355669}}) {
        INFO(w.distribution);
        const LifeFit f = fit(cosmesis(), w.distribution);
        REQUIRE(f.converged());
        CHECK(f.records() == 94);
        CHECK(f.estimate()[0] == Approx(w.location).epsilon(1e-7));
        CHECK(f.estimate()[1] == Approx(w.effect).epsilon(1e-7));
        if (f.estimate().size() > 2) CHECK(std::exp(f.estimate()[2]) == Approx(w.sigma).epsilon(1e-7));
        CHECK(f.log_likelihood() == Approx(w.log_likelihood).epsilon(1e-10));
    }
    const LifeFit f = fit(cosmesis(), "weibull");
    CHECK(std::sqrt(f.covariance()(0, 0)) == Approx(.140529791).epsilon(1e-6));
    CHECK(std::sqrt(f.covariance()(1, 1)) == Approx(.175729563).epsilon(1e-6));
    // Each treatment alone.
    const double location[] = {4.0520126764, 3.3337202917}, log_sigma[] = {-.11476769032, -.70815324002};
    const double value[] = {-64.7314706153, -75.7150683948};
    for (int arm = 0; arm < 2; ++arm) {
        LifeTable part;
        const LifeTable all = cosmesis();
        for (std::size_t i = 0; i < all.lower.size(); ++i)
            if (all.covariates[i][0] == arm) part.add(all.lower[i], all.upper[i]);
        const LifeFit alone = fit(part, "weibull");
        CHECK(alone.estimate()[0] == Approx(location[arm]).epsilon(1e-7));
        CHECK(alone.estimate()[1] == Approx(log_sigma[arm]).epsilon(1e-6));
        CHECK(alone.log_likelihood() == Approx(value[arm]).epsilon(1e-10));
    }
}

TEST_CASE("ovarian cancer by status and treatment", "[reference]") {
    const LifeFit f = named(ovarian(), "weibull", {"status", "treatment"});
    CHECK(f.estimate()[0] == Approx(6.89669312858).epsilon(1e-8));
    CHECK(f.estimate()[1] == Approx(-.38504254935).epsilon(1e-7));
    CHECK(f.estimate()[2] == Approx(.52864549626).epsilon(1e-7));
    CHECK(1 / parameter(f, "shape") == Approx(.8838730717).epsilon(1e-8));
    CHECK(f.log_likelihood() == Approx(-97.0844931684).epsilon(1e-11));
    LifeTable alone = ovarian();
    for (auto& x : alone.covariates) x.clear();
    CHECK(fit(alone, "weibull").log_likelihood() == Approx(-97.9539010471).epsilon(1e-11));
}

TEST_CASE("limits of covariates far from zero are those of covariates near it", "[law]") {
    LifeTable moved = leukaemia();
    for (auto& x : moved.covariates) x[0] = 1000 * x[0] + 50000;
    const LifeFit near = fit(leukaemia(), "weibull"), far = fit(moved, "weibull");
    CHECK(far.log_likelihood() == Approx(near.log_likelihood()).epsilon(1e-12));
    CHECK(1000 * parameter(far, "x1") == Approx(parameter(near, "x1")).epsilon(1e-9));
    const FitLimits a = near.limits("x1"), b = far.limits("x1");
    CHECK(1000 * b.low.value == Approx(a.low.value).epsilon(1e-6));
    CHECK(1000 * b.high.value == Approx(a.high.value).epsilon(1e-6));
    const FitLimits c = near.quantile_limits(0.2, at({1})), d = far.quantile_limits(0.2, at({51000}));
    CHECK(d.low.value == Approx(c.low.value).epsilon(1e-6));
    CHECK(d.high.value == Approx(c.high.value).epsilon(1e-6));
}

TEST_CASE("covariates are asked for by number and name", "[bad_input]") {
    const LifeFit f = named(leukaemia(), "weibull", {"drug"});
    CHECK_THROWS_WITH(f.quantile(0.5), "covariates: expected 1 values: \"drug\", got 0 values");
    CHECK_THROWS_AS(f.survival(1, at({1, 2})), ValueError);
    CHECK_THROWS_WITH(f.limits("dose"), "name: expected one of \"scale\", \"shape\" and \"drug\", got \"dose\"");
    CHECK_THROWS_AS(named(leukaemia(), "weibull", {"drug", "dose"}), ValueError);
    CHECK_THROWS_AS(named(leukaemia(), "weibull", {"scale"}), ValueError);
}
