// Late entry, missed detections, groups and early failures. Data without a named source are synthetic.
#include <algorithm>
#include <cmath>
#include <vector>

#include "libseal/core/error.hpp"
#include "libseal/core/progress.hpp"
#include "libseal/core/random.hpp"
#include "libseal/life/detection.hpp"
#include "libseal/life/fit.hpp"
#include "libseal/life/quadrature.hpp"
#include "libseal/life/weibull.hpp"
#include "life/fitted_life.hpp"
#include "support/catch.hpp"
#include "support/life_data.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

double weibull_life(RandomStream& random, double scale, double shape) {
    return scale * std::pow(-std::log(random.uniform()), 1 / shape);
}

/// ln likelihood of one record at a Weibull life of scale 8 and shape 2.5.
double at_eight(double lower, double upper, const FitOptions& options) {
    Column low = Column::Constant(1, lower), high = Column::Constant(1, upper);
    const auto data = std::make_shared<const detail::FitRecords>(detail::fit_records(low, high, options));
    const detail::Likelihood likelihood(data, 24, 1);
    Eigen::VectorXd at(data->layout.size);
    at.setZero();
    at[0] = std::log(8.0);
    at[1] = -std::log(2.5);
    detail::CurvedValue out;
    likelihood(at, out);
    return out.value;
}

Column times(std::initializer_list<double> values) {
    return Eigen::Map<const Column>(values.begin(), static_cast<Eigen::Index>(values.size()));
}

}  // namespace

TEST_CASE("histories of looks that miss one defect in five have the probabilities of the equation", "[reference]") {
    // Weibull 8, 2.5, looks at 2, 4, 6: closed form, computed for this project.
    FitOptions options;
    options.detection = 0.8;
    const double wanted[] = {.0246134124, .1099357616, .2008555008, .6645953252};
    options.visits = {times({})};
    CHECK(std::exp(at_eight(0, 2, options)) == Approx(wanted[0]).margin(1e-10));
    options.visits = {times({2})};
    CHECK(std::exp(at_eight(2, 4, options)) == Approx(wanted[1]).margin(1e-10));
    options.visits = {times({2, 4})};
    CHECK(std::exp(at_eight(4, 6, options)) == Approx(wanted[2]).margin(1e-10));
    options.visits = {times({2, 4, 6})};
    CHECK(std::exp(at_eight(6, never, options)) == Approx(wanted[3]).margin(1e-10));
    // Looks that miss nothing leave the interval alone.
    options.detection = 1;
    options.visits = {times({2, 4})};
    CHECK(at_eight(4, 6, options) == Approx(at_eight(4, 6, {})).epsilon(1e-14));
    // What was sound at entry cannot have failed before.
    options.detection = 0.8;
    options.entry = Column::Constant(1, 1.0);
    options.visits = {times({2})};
    const Weibull life{8, 2.5};
    const double s1 = life.survival(1), s2 = life.survival(2), s4 = life.survival(4);
    CHECK(std::exp(at_eight(2, 4, options)) == Approx(((s1 - s2) * 0.2 * 0.8 + (s2 - s4) * 0.8) / s1).epsilon(1e-12));
}

TEST_CASE("the chance of detection is learnt from histories", "[synthetic]") {
    RandomStream random(7);
    LifeTable t;
    FitOptions options;
    options.detection = 0.9;
    options.estimate_detection = true;
    for (int i = 0; i < 4000; ++i) {
        const double life = weibull_life(random, 8, 2.5);
        std::vector<double> clean;
        double found = never;
        for (double look = 2; look <= 12 && found == never; look += 2) {
            if (life < look && random.uniform() < 0.6) found = look;
            else clean.push_back(look);
        }
        t.add(clean.empty() ? 0 : clean.back(), found);
        options.visits.emplace_back(Eigen::Map<const Column>(clean.data(), static_cast<Eigen::Index>(clean.size())));
    }
    const LifeFit f = fit(t, options);
    REQUIRE(f.converged());
    for (const auto& [name, truth] : {std::pair{"scale", 8.0}, std::pair{"shape", 2.5}, std::pair{"detection", 0.6}}) {
        INFO(name);
        const FitLimits limits = f.limits(name, 0.999);
        CHECK(limits.low.value < truth);
        CHECK(limits.high.value > truth);
    }
    // Sigma and a share in the place of their ln and ln odds: d(share)/d(ln odds) = share (1 - share), d(sigma)/d(ln sigma) = sigma.
    const auto names = f.coordinates();
    const auto place = [&](const char* name) { return static_cast<Eigen::Index>(std::find(names.begin(), names.end(), name) - names.begin()); };
    const Eigen::Index odds = place("detection_log_odds"), spread = place("log_sigma");
    REQUIRE((odds < f.estimate().size() && spread < f.estimate().size()));
    const double share = parameter(f, "detection"), sigma = 1 / parameter(f, "shape");
    const Eigen::ArrayXXd inner = f.covariance(), outer = f.covariance_location_scale();
    CHECK(outer(odds, odds) == Approx(inner(odds, odds) * std::pow(share * (1 - share), 2)).epsilon(1e-10));
    CHECK(outer(spread, spread) == Approx(inner(spread, spread) * sigma * sigma).epsilon(1e-10));
    CHECK(outer(odds, spread) == Approx(inner(odds, spread) * share * (1 - share) * sigma).epsilon(1e-10));
    CHECK(outer(0, 0) == inner(0, 0));
    // Believing every look makes lives too long.
    options.estimate_detection = false;
    options.detection = 0.6;
    const FitLimits known = fit(t, options).limits("scale", 0.999);
    CHECK(known.low.value < 8);
    CHECK(known.high.value > 8);
    options.detection = 1;
    CHECK(parameter(fit(t, options), "scale") > known.high.value);
}

TEST_CASE("late entry is no bias", "[synthetic]") {
    RandomStream random(11);
    LifeTable t, naive;
    std::vector<double> entries;
    while (entries.size() < 3000) {
        const double life = weibull_life(random, 8, 2.5), entry = 10 * random.uniform();
        if (life <= entry) continue;
        const double end = entry + 4;
        entries.push_back(entry);
        t.add(life < end ? life : end, life < end ? life : never);
    }
    FitOptions options;
    options.entry = Eigen::Map<const Column>(entries.data(), static_cast<Eigen::Index>(entries.size()));
    const LifeFit f = fit(t, options);
    REQUIRE(f.converged());
    for (const auto& [name, truth] : {std::pair{"scale", 8.0}, std::pair{"shape", 2.5}}) {
        const FitLimits limits = f.limits(name, 0.999);
        CHECK(limits.low.value < truth);
        CHECK(limits.high.value > truth);
    }
    CHECK(parameter(fit(t, "weibull"), "scale") > f.limits("scale", 0.999).high.value);
}

TEST_CASE("groups share an effect that is found again, and none where there is none", "[synthetic]") {
    RandomStream random(3);
    LifeTable t, alike;
    FitOptions options;
    for (int group = 0; group < 30; ++group) {
        const double effect = 0.3 * random.normal();
        for (int i = 0; i < 30; ++i) {
            const double life = weibull_life(random, 8 * std::exp(effect), 2.5), same = weibull_life(random, 8, 2.5);
            const double low = std::floor(life), end = 12;
            t.add(std::min(low, end), life < end ? low + 1 : never);
            alike.add(std::min(same, end), same < end ? same : never);
            options.groups.push_back("coach " + std::to_string(group));
        }
    }
    const LifeFit f = fit(t, options);
    REQUIRE(f.converged());
    for (const auto& [name, truth] : {std::pair{"scale", 8.0}, std::pair{"shape", 2.5}, std::pair{"group_sd", 0.3}}) {
        INFO(name);
        const FitLimits limits = f.limits(name, 0.999);
        CHECK(limits.low.value < truth);
        CHECK(limits.high.value > truth);
    }
    CHECK(likelihood_ratio_test(fit(t, "weibull"), f).p < 1e-6);
    // More nodes change nothing; fewer, little.
    options.nodes = 48;
    CHECK(fit(t, options).log_likelihood() == Approx(f.log_likelihood()).epsilon(1e-10));
    // Over all groups the life is that of `frailty_survival` with the mean of the factor taken out.
    const double shape = parameter(f, "shape"), sd = shape * parameter(f, "group_sd");
    const Weibull centred{parameter(f, "scale") * std::exp(-0.5 * sd * sd / shape), shape};
    CHECK(f.survival_over_groups(6) == Approx(frailty_survival(centred, sd, 6)).epsilon(1e-9));

    const LifeFit none = fit(alike, options);
    REQUIRE(none.converged());
    const FitLimits limits = none.limits("group_sd");
    CHECK(limits.low.value == 0);
    CHECK(limits.low.state == "unbounded");
    CHECK(limits.high.value < 0.15);
}

TEST_CASE("an exponential life with looks that miss is that of its own likelihood", "[reference]") {
    // Synthetic counts. A look at 2 and one at 4, each seeing a defect with chance d = 0.8: found at 2, found at 4 after a clean look, never found.
    const double counts[] = {30, 22, 48}, d = 0.8;
    Column lower(3), upper(3);
    lower << 0, 2, 4;
    upper << 2, 4, never;
    FitOptions options;
    options.distribution = "exponential";
    options.detection = d;
    options.weights = times({counts[0], counts[1], counts[2]});
    options.visits = {times({}), times({2}), times({2, 4})};
    const LifeFit f = fit_life(lower, upper, options);
    REQUIRE(f.converged());
    const auto value = [&](double scale) {
        const double by_2 = 1 - std::exp(-2 / scale), between = std::exp(-2 / scale) - std::exp(-4 / scale), after = std::exp(-4 / scale);
        return counts[0] * std::log(by_2 * d) + counts[1] * std::log((by_2 * (1 - d) + between) * d) +
               counts[2] * std::log(by_2 * (1 - d) * (1 - d) + between * (1 - d) + after);
    };
    const double scale = parameter(f, "scale");
    CHECK(f.log_likelihood() == Approx(value(scale)).epsilon(1e-12));
    const double h = 1e-3;
    CHECK((value(scale * (1 + h)) - value(scale * (1 - h))) / (2 * h) == Approx(0).margin(1e-3));
    const double bend = (value(scale * std::exp(h)) - 2 * value(scale) + value(scale * std::exp(-h))) / (h * h);
    CHECK(f.covariance()(0, 0) == Approx(-1 / bend).epsilon(1e-4));
}

TEST_CASE("effects of a group that no life could have are left out of its likelihood, not taken for a fault", "[law]") {
    // Lives that hardly spread within a group, exp(-(t/scale e^-u)^500): sound at t means u > ln(t/scale), chance Phi(ln(scale/t)). Far out
    // the exponent runs over: such effects have no weight.
    for (const double reach : {2.0, 3.0, 4.0}) {
        INFO(reach);
        FitOptions options;
        options.groups = {"g"};
        const auto data = std::make_shared<const detail::FitRecords>(detail::fit_records(Column::Constant(1, 5.0), Column::Constant(1, never), options));
        REQUIRE(data->layout.group_sd >= 0);
        const detail::Likelihood likelihood(data, 64, 1);
        Eigen::VectorXd at = Eigen::VectorXd::Zero(data->layout.size);
        at[0] = std::log(5.0) + reach;
        at[data->layout.log_sigma] = -std::log(500.0);
        at[data->layout.group_sd] = 1;
        detail::CurvedValue out;
        likelihood(at, out);
        CHECK(out.value == Approx(std::log(normal_probability(reach))).margin(0.02));
        CHECK(out.slope.cwiseAbs().maxCoeff() < 1);
        CHECK(out.bend.allFinite());
    }
}

TEST_CASE("early defects and wear-out are told apart", "[synthetic]") {
    RandomStream random(5);
    LifeTable t;
    for (int i = 0; i < 2000; ++i) {
        double life = weibull_life(random, 10, 4);
        if (random.uniform() < 0.15) life = std::min(life, weibull_life(random, 1, 1));
        t.add(std::min(life, 14.0), life < 14 ? life : never);
    }
    const LifeFit f = fit(t, "early_and_wear_out");
    REQUIRE(f.converged());
    CHECK(f.gradient() < 1e-6);
    for (const auto& [name, truth] : {std::pair{"scale", 10.0}, std::pair{"shape", 4.0}, std::pair{"early_share", 0.15}, std::pair{"early_life", 1.0}}) {
        INFO(name);
        const FitLimits limits = f.limits(name, 0.999);
        CHECK(limits.low.value < truth);
        CHECK(limits.high.value > truth);
        CHECK(limits.low.state == "found");
        CHECK(limits.high.state == "found");
    }
    CHECK(1 - f.survival(f.quantile(0.1)) == Approx(0.1).epsilon(1e-10));
    const FitLimits profile = f.quantile_limits(0.05), wald = f.quantile_limits(0.05, Column(), 0.95, "wald");
    CHECK(profile.low.value == Approx(wald.low.value).epsilon(0.05));
    CHECK(profile.high.value == Approx(wald.high.value).epsilon(0.05));
    CHECK(likelihood_ratio_test(fit(t, "weibull"), f).p < 1e-6);
    // Without early defects there is nothing to tell apart.
    LifeTable plain;
    for (int i = 0; i < 200; ++i) {
        const double life = weibull_life(random, 10, 4);
        plain.add(std::floor(life), std::floor(life) + 1);
    }
    const LifeFit doubtful = fit(plain, "early_and_wear_out");
    CHECK((doubtful.cause() == "no_early_part" || likelihood_ratio_test(fit(plain, "weibull"), doubtful).p > 0.01));
}

TEST_CASE("equal records count as one with a weight, and threads change no bit", "[law]") {
    RandomStream random(9);
    LifeTable t;
    for (int i = 0; i < 20000; ++i) {
        const double x = random.normal(), life = weibull_life(random, 8 * std::exp(0.3 * x), 2.5);
        t.add(std::floor(life), std::floor(life) + 1, 1, {x});
    }
    FitOptions options;
    options.threads = 1;
    const LifeFit one = fit(t, options);
    options.threads = 3;
    const LifeFit three = fit(t, options);
    CHECK((one.estimate() == three.estimate()).all());
    CHECK(one.log_likelihood() == three.log_likelihood());
    CHECK((one.covariance() == three.covariance()).all());
    // Twice the records: the same estimate, half the variance.
    LifeTable twice = t;
    for (double& weight : twice.weights) weight = 2;
    const LifeFit doubled = fit(twice, options);
    CHECK((doubled.estimate() - one.estimate()).abs().maxCoeff() < 1e-9);
    CHECK(doubled.covariance()(0, 0) == Approx(one.covariance()(0, 0) / 2).epsilon(1e-7));
    CHECK(doubled.log_likelihood() == Approx(2 * one.log_likelihood()).epsilon(1e-12));
}

TEST_CASE("a stop ends a fit and its limits, and both can be asked again", "[synthetic]") {
    RandomStream random(11);
    Column life(60);
    for (double& t : life) t = weibull_life(random, 9, 2);
    Watch stopped;
    stopped.stop.stop();
    FitOptions options;
    const LifeFit fit = fit_life(life, life, options);
    options.watch = stopped;
    CHECK_THROWS_AS(fit_life(life, life, options), Cancelled);
    const FitLimits wanted = fit.limits("shape");
    CHECK_THROWS_AS(fit.limits("shape", 0.95, "profile", stopped), Cancelled);
    CHECK_THROWS_AS(fit.quantile_limits(0.1, Column(), 0.95, "profile", stopped), Cancelled);
    CHECK(fit.limits("shape").low.value == wanted.low.value);
    std::vector<double> fractions;
    Watch watched;
    watched.progress = [&](const Progress& state) { fractions.push_back(state.fraction); };
    CHECK(fit.limits("shape", 0.95, "profile", watched).high.value == wanted.high.value);
    REQUIRE(!fractions.empty());
    CHECK(std::is_sorted(fractions.begin(), fractions.end()));
    CHECK(fractions.back() <= 1);
}

TEST_CASE("one evaluation of a long likelihood is left in its middle and made again to the bit", "[synthetic]") {
    RandomStream random(5);
    Column life(60000);
    FitOptions options;
    for (Eigen::Index i = 0; i < life.size(); ++i) {
        life[i] = weibull_life(random, 8, 2.5);
        options.groups.push_back(std::to_string(i % 400));
    }
    const auto data = std::make_shared<const detail::FitRecords>(detail::fit_records(life, life, options));
    const Eigen::Vector3d at(std::log(8.0), -std::log(2.5), 0.2);
    detail::CurvedValue wanted;
    detail::Likelihood(data, 64, 1)(at, wanted);
    struct Enough {};
    for (const int threads : {1, 2}) {
        INFO(threads);
        const detail::Likelihood likelihood(data, 64, threads);
        detail::CurvedValue out;
        int calls = 0;
        const auto left = [&](int most) {
            calls = 0;
            try {
                likelihood(at, out, [&] { if (++calls == most) throw Enough{}; });
            } catch (const Enough&) {
                return true;
            }
            return false;
        };
        // With threads the caller waits and is asked by the clock: on a crowded machine perhaps not once.
        const bool ended = left(1);
        CHECK(ended == (calls == 1));
        if (threads == 1) {
            CHECK(left(3));
            CHECK(calls == 3);
        }
        CHECK_FALSE(left(-1));
        if (threads == 1) CHECK(calls > 500);
        CHECK(out.value == wanted.value);
        CHECK(out.slope == wanted.slope);
        CHECK(out.bend == wanted.bend);
    }
}

TEST_CASE("only nested fits to the same records are compared", "[bad_input]") {
    const LifeFit weibull = fit(shock_absorbers(), "weibull"), lognormal = fit(shock_absorbers(), "lognormal");
    CHECK_THROWS_AS(likelihood_ratio_test(weibull, lognormal), ValueError);
    CHECK_THROWS_AS(likelihood_ratio_test(weibull, weibull), ValueError);
    CHECK_THROWS_AS(likelihood_ratio_test(fit(diesel_fans(), "exponential"), weibull), ValueError);
}
