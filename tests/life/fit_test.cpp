// Fits beside published ones. Values without another source were computed for this project with the R package survival 3.5-3.
#include "libseal/life/fit.hpp"

#include <cmath>
#include <numbers>
#include <vector>

#include "libseal/core/random.hpp"
#include "support/catch.hpp"
#include "support/life_data.hpp"
#include "support/published.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

/// (mu, sigma) of a fit without covariates.
double location(const LifeFit& f) { return f.estimate()[0]; }
double sigma(const LifeFit& f) { return std::exp(f.estimate()[1]); }

}  // namespace

TEST_CASE("shock absorbers have the published Weibull, lognormal and loglogistic lives", "[published]") {
    // Test snapshot of the R package weibulltools for data of Meeker & Escobar 1998. Its optimiser stops near 1e-6.
    const LifeFit weibull = fit(shock_absorbers(), "weibull");
    REQUIRE(weibull.converged());
    CHECK(location(weibull) == Approx(10.2298631).margin(1e-6));
    CHECK(sigma(weibull) == Approx(0.3164092).margin(1e-6));
    CHECK(weibull.log_likelihood() == Approx(-123.9954).margin(5e-5));
    const LifeFit lognormal = fit(shock_absorbers(), "lognormal");
    CHECK(location(lognormal) == Approx(10.1447710).margin(1e-6));
    CHECK(sigma(lognormal) == Approx(0.5300683).margin(1e-6));
    CHECK(lognormal.log_likelihood() == Approx(-124.6085).margin(1e-4));  // the snapshot is cut, not rounded
    const LifeFit loglogistic = fit(shock_absorbers(), "loglogistic");
    CHECK(location(loglogistic) == Approx(10.1291422).margin(1e-5));  // stops earlier
    CHECK(sigma(loglogistic) == Approx(0.2809819).margin(1e-6));
    CHECK(loglogistic.log_likelihood() == Approx(-124.3654).margin(5e-5));
    // Covariance of (mu, sigma), and 90 % limits.
    const auto covariance = weibull.covariance_location_scale();
    CHECK(covariance(0, 0) == Approx(0.012075836).epsilon(1e-4));
    CHECK(covariance(0, 1) == Approx(0.003990396).epsilon(1e-4));
    CHECK(covariance(1, 1) == Approx(0.005353183).epsilon(1e-4));
    const FitLimits scale = weibull.limits("scale", 0.9, "wald"), shape = weibull.limits("shape", 0.9, "wald");
    CHECK(std::log(scale.low.value) == Approx(10.0491099).margin(1e-6));
    CHECK(std::log(scale.high.value) == Approx(10.4106162).margin(1.5e-6));
    CHECK(1 / shape.high.value == Approx(0.2163041).margin(1e-6));
    CHECK(1 / shape.low.value == Approx(0.4628426).margin(1.5e-6));
    count_published("Meeker & Escobar 1998, shock absorbers (weibulltools)", 16);
}

TEST_CASE("shock absorbers to all digits, with limits of both kinds", "[reference]") {
    const LifeFit f = fit(shock_absorbers(), "weibull");
    CHECK(location(f) == Approx(10.2298632087).epsilon(1e-9));
    CHECK(sigma(f) == Approx(0.316408603935).epsilon(1e-9));
    CHECK(parameter(f, "scale") == Approx(27718.71813).epsilon(2e-9));
    CHECK(parameter(f, "shape") == Approx(3.160470315).epsilon(2e-9));
    CHECK(f.log_likelihood() == Approx(-123.995361189).epsilon(1e-11));
    CHECK(f.covariance()(0, 0) == Approx(0.01207591714).epsilon(1e-7));
    CHECK(f.covariance()(0, 1) == Approx(0.01261167000).epsilon(1e-7));
    CHECK(f.covariance()(1, 1) == Approx(0.0534706556).epsilon(1e-7));
    CHECK(f.aic() == Approx(2 * 2 + 2 * 123.995361189).epsilon(1e-11));
    CHECK(f.records() == 38);
    CHECK(f.failures() == 11);
    const FitLimits scale = f.limits("scale", 0.95, "wald"), shape = f.limits("shape", 0.95, "wald");
    CHECK(scale.low.value == Approx(22347.77024).epsilon(1e-8));
    CHECK(scale.high.value == Approx(34380.49194).epsilon(1e-8));
    CHECK(shape.low.value == Approx(2.008733).margin(5e-7));
    CHECK(shape.high.value == Approx(4.972573).margin(1e-6));
    const FitLimits profile = f.limits("shape");
    CHECK(profile.low.value == Approx(1.89853).margin(5e-6));
    CHECK(profile.high.value == Approx(4.77139).margin(5e-6));
    CHECK(profile.low.state == "found");
    CHECK(f.quantile(0.10) == Approx(13600.03).margin(5e-3));
    CHECK(f.quantile(0.01) == Approx(6466.1517).margin(5e-4));
    CHECK(f.quantile(0.05) == Approx(10829.919).margin(5e-3));
    CHECK(f.quantile(0.50) == Approx(24683.626).margin(5e-3));
    const FitLimits wald10 = f.quantile_limits(0.1, Column(), 0.95, "wald"), profile10 = f.quantile_limits(0.1);
    CHECK(wald10.low.value == Approx(10221.842).margin(5e-3));
    CHECK(wald10.high.value == Approx(18094.679).margin(5e-3));
    CHECK(profile10.low.value == Approx(9371.20).margin(5e-3));
    CHECK(profile10.high.value == Approx(17291.24).margin(5e-3));
    CHECK(fit(shock_absorbers(), "exponential").log_likelihood() == Approx(-131.423728215).epsilon(1e-11));
    const LifeFit lognormal = fit(shock_absorbers(), "lognormal"), loglogistic = fit(shock_absorbers(), "loglogistic");
    CHECK(location(lognormal) == Approx(10.1447706903).epsilon(1e-8));
    CHECK(sigma(lognormal) == Approx(0.530068030373).epsilon(1e-8));
    CHECK(lognormal.log_likelihood() == Approx(-124.60854999).epsilon(1e-10));
    CHECK(location(loglogistic) == Approx(10.1291399642).epsilon(1e-9));
    CHECK(sigma(loglogistic) == Approx(0.28098176138).epsilon(1e-8));
    CHECK(loglogistic.log_likelihood() == Approx(-124.365440105).epsilon(1e-11));
}

TEST_CASE("cracks found at inspections have Nelson's Weibull life", "[published]") {
    // Nelson 1982 p. 415 (data); the estimates as printed elsewhere, quoted from memory: 71.6904, 1.4854, -309.6684.
    const LifeFit f = fit(part_cracks(), "weibull");
    CHECK(location(f) == Approx(4.2724).margin(5e-5));
    CHECK(sigma(f) == Approx(0.6732).margin(5e-5));
    CHECK(std::sqrt(f.covariance_location_scale()(0, 0)) == Approx(0.0744).margin(5e-5));
    CHECK(std::sqrt(f.covariance_location_scale()(1, 1)) == Approx(0.0664).margin(5e-5));
    CHECK(parameter(f, "scale") == Approx(71.6904).margin(5e-5));
    CHECK(parameter(f, "shape") == Approx(1.4854).margin(5e-5));
    CHECK(f.log_likelihood() == Approx(-309.6684).margin(5e-5));
    count_published("Nelson 1982, part cracking", 7);
    // To all digits.
    CHECK(parameter(f, "scale") == Approx(71.69040556).epsilon(1e-9));
    CHECK(parameter(f, "shape") == Approx(1.485367365).epsilon(1e-9));
    CHECK(f.log_likelihood() == Approx(-309.668408928).epsilon(1e-11));
    CHECK(std::sqrt(f.covariance()(1, 1)) == Approx(0.0986564000).epsilon(1e-7));
    const FitLimits scale = f.limits("scale", 0.95, "wald"), shape = f.limits("shape", 0.95, "wald");
    CHECK(scale.low.value == Approx(61.96336).margin(5e-6));
    CHECK(scale.high.value == Approx(82.94441).margin(5e-6));
    CHECK(shape.low.value == Approx(1.224214).margin(5e-7));
    CHECK(shape.high.value == Approx(1.802231).margin(5e-7));
    CHECK(f.quantile(0.1) == Approx(15.757758).margin(5e-7));
    CHECK(f.quantile(0.5) == Approx(56.014351).margin(5e-7));
    const LifeFit lognormal = fit(part_cracks(), "lognormal");
    CHECK(location(lognormal) == Approx(4.02685363327).epsilon(1e-7));  // R stops there
    CHECK(sigma(lognormal) == Approx(.998525122185).epsilon(1e-7));
    CHECK(lognormal.log_likelihood() == Approx(-311.914784437).epsilon(1e-11));
    const LifeFit exponential = fit(part_cracks(), "exponential");
    CHECK(location(exponential) == Approx(4.41480266127).epsilon(1e-9));
    CHECK(exponential.log_likelihood() == Approx(-316.670548388).epsilon(1e-11));
}

TEST_CASE("exchanger tubes of three plants share one life", "[reference]") {
    const LifeFit f = fit(exchanger_tubes(), "weibull");
    CHECK(location(f) == Approx(3.16209058971).epsilon(1e-5));
    CHECK(parameter(f, "scale") == Approx(23.61992392).epsilon(1e-5));
    CHECK(parameter(f, "shape") == Approx(1.345515028).epsilon(1e-5));
    CHECK(f.log_likelihood() == Approx(-54.4147053343).epsilon(1e-10));
    CHECK(std::sqrt(f.covariance()(0, 0)) == Approx(0.7983394).epsilon(1e-5));
    const double failed[] = {.01409788, .03543744, .06036116, .11644023, .26991358}, year[] = {1, 2, 3, 5, 10};
    for (int i = 0; i < 5; ++i) CHECK(1 - f.survival(year[i]) == Approx(failed[i]).margin(1e-7));
    const LifeFit lognormal = fit(exchanger_tubes(), "lognormal");
    CHECK(location(lognormal) == Approx(3.73756699177).epsilon(1e-5));
    CHECK(sigma(lognormal) == Approx(1.69628565282).epsilon(1e-5));
    CHECK(lognormal.log_likelihood() == Approx(-54.3504677948).epsilon(1e-10));
    const LifeFit exponential = fit(exchanger_tubes(), "exponential");
    CHECK(location(exponential) == Approx(3.97965253818).epsilon(1e-9));
    CHECK(exponential.log_likelihood() == Approx(-54.7763380583).epsilon(1e-11));
}

TEST_CASE("fans that fail by chance have total time over failures as their mean", "[reference]") {
    const LifeFit f = fit(diesel_fans(), "exponential");
    CHECK(f.records() == 70);
    CHECK(parameter(f, "scale") == Approx(344440.0 / 12).epsilon(1e-9));
    CHECK(f.log_likelihood() == Approx(-135.177222468).epsilon(1e-11));
    const LifeFit weibull = fit(diesel_fans(), "weibull");
    CHECK(parameter(weibull, "scale") == Approx(26296.84517).epsilon(1e-8));
    CHECK(parameter(weibull, "shape") == Approx(1.05844585).epsilon(1e-8));
    CHECK(weibull.log_likelihood() == Approx(-135.152719943).epsilon(1e-11));
    const LifeFit lognormal = fit(diesel_fans(), "lognormal");
    CHECK(location(lognormal) == Approx(10.1432390946).epsilon(1e-7));
    CHECK(sigma(lognormal) == Approx(1.679592614).epsilon(1e-7));
    CHECK(lognormal.log_likelihood() == Approx(-134.549648222).epsilon(1e-11));
    // The exponential life is not worse by more than chance.
    const LikelihoodRatio ratio = likelihood_ratio_test(f, weibull);
    CHECK(ratio.freedom == 1);
    CHECK(ratio.statistic == Approx(2 * (135.177222468 - 135.152719943)).margin(1e-8));
    CHECK(ratio.p > 0.8);
}

TEST_CASE("exact, right-, left- and interval-censored records mix", "[reference]") {
    // R and SciPy agree to these digits.
    const LifeFit f = fit(four_kinds(), "weibull");
    CHECK(parameter(f, "scale") == Approx(5.8087034436).epsilon(1e-8));
    CHECK(parameter(f, "shape") == Approx(2.6489901101).epsilon(1e-8));
    CHECK(f.log_likelihood() == Approx(-10.779930699).epsilon(1e-10));
    const LifeFit lognormal = fit(four_kinds(), "lognormal");
    CHECK(location(lognormal) == Approx(1.59815637245).epsilon(1e-8));
    CHECK(sigma(lognormal) == Approx(.520078936994).epsilon(1e-8));
    CHECK(lognormal.log_likelihood() == Approx(-11.0268522001).epsilon(1e-10));
}

TEST_CASE("limits of lognormal and loglogistic quantiles are where the profile falls by 1.92", "[reference]") {
    // Synthetic ages, three of them not failed. With q held, mu = ln q - sigma z_p; the best sigma by a search of its own.
    const std::vector<double> failed{1.1, 1.9, 2.4, 3.0, 3.3, 4.1, 5.2, 6.6, 7.9}, sound{4.0, 8.0, 9.0};
    LifeTable t;
    for (const double age : failed) t.add(age, age);
    for (const double age : sound) t.add(age, never);
    for (const bool normal : {true, false})
        for (const double p : {0.1, 0.5, 0.8}) {
            INFO((normal ? "lognormal " : "loglogistic ") << p);
            const double z_p = normal ? normal_quantile(p) : std::log(p / (1 - p));
            const auto value = [&](double log_q, double sigma) {
                double sum = 0;
                const auto z_of = [&](double age) { return (std::log(age) - log_q) / sigma + z_p; };
                for (const double age : failed) {
                    const double z = z_of(age);
                    sum += (normal ? -0.5 * z * z - 0.5 * std::log(2 * std::numbers::pi) : z - 2 * std::log1p(std::exp(z))) - std::log(sigma * age);
                }
                for (const double age : sound) sum += normal ? std::log(normal_probability(-z_of(age))) : -std::log1p(std::exp(z_of(age)));
                return sum;
            };
            const auto profile = [&](double log_q) {
                double low = std::log(0.02), high = std::log(20.0);
                for (int k = 0; k < 200; ++k) {
                    const double a = low + (high - low) / 3, b = high - (high - low) / 3;
                    if (value(log_q, std::exp(a)) < value(log_q, std::exp(b))) low = a;
                    else high = b;
                }
                return value(log_q, std::exp(low));
            };
            const LifeFit f = fit(t, normal ? "lognormal" : "loglogistic");
            REQUIRE(f.converged());
            const FitLimits limits = f.quantile_limits(p);
            CHECK(limits.estimate == Approx(f.quantile(p)).epsilon(1e-10));
            CHECK(profile(std::log(limits.estimate)) == Approx(f.log_likelihood()).epsilon(1e-10));
            for (const FitLimit& end : {limits.low, limits.high}) {
                CHECK(end.state == "found");
                // 3.8414588: the point of chi-square with one degree that one in twenty exceeds.
                CHECK(2 * (f.log_likelihood() - profile(std::log(end.value))) == Approx(3.841458820694124).epsilon(1e-6));
            }
            CHECK(limits.low.value < limits.estimate);
            CHECK(limits.estimate < limits.high.value);
        }
}

TEST_CASE("complete samples have Fisher's covariance", "[reference]") {
    // Closed form of the expected information, times the size of the sample: scores of evenly spread quantiles come near.
    LifeTable t;
    const int n = 20000;
    for (int i = 0; i < n; ++i) {
        const double life = 8 * std::pow(-std::log1p(-(i + 0.5) / n), 1 / 2.5);
        t.add(life, life);
    }
    const LifeFit f = fit(t, "weibull");
    const double shape = parameter(f, "shape");
    CHECK(shape == Approx(2.5).epsilon(1e-3));
    const auto covariance = f.covariance();
    CHECK(covariance(0, 0) * n * shape * shape == Approx(1.108664899).epsilon(2e-3));
    CHECK(covariance(1, 1) * n == Approx(0.607927102).epsilon(2e-3));
    CHECK(-covariance(0, 1) * n * shape == Approx(0.257022056).epsilon(1e-2));
}
