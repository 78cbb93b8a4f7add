#include "support/catch.hpp"
#include "support/problems.hpp"

#include <algorithm>
#include <cmath>

#include <Eigen/Cholesky>

#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/forecast/shared_effects.hpp"

using namespace libseal;

namespace {

const EffectSpread spread{0.10, 0.12, 0.16, 0.20};

LifePrior prior() { return life_prior({2.75, 0.30, 0.01, 1.5}); }

Column normal_likelihood(const LifePrior& p, double mean, double sd) {
    Column likelihood(p.effect_count());
    for (int k = 0; k < p.effect_count(); ++k) likelihood[k] = std::exp(-0.5 * std::pow((p.effect_node(k) - mean) / sd, 2));
    return likelihood;
}

/// Covariance of the sums of effects of joints, as the tree states it.
double covariance(const EffectKey& a, const EffectKey& b) {
    double sum = 0;
    if (a.family != b.family) return sum;
    sum += spread.family * spread.family;
    if (a.model_line != b.model_line || a.model_line.empty()) return sum;
    sum += spread.model_line * spread.model_line;
    if (a.coach != b.coach) return sum;
    sum += spread.coach * spread.coach;
    return a.joint == b.joint ? sum + spread.joint * spread.joint : sum;
}

std::vector<JointEvidence> evidence(const LifePrior& p) {
    return {{{"lap", "a", "c1", "j1"}, normal_likelihood(p, 0.5, 0.4)},
            {{"lap", "a", "c1", "j2"}, normal_likelihood(p, 0.1, 0.3)},
            {{"lap", "a", "c2", "j1"}, normal_likelihood(p, -0.4, 0.5)},
            {{"lap", "b", "c3", "j1"}, normal_likelihood(p, 0.3, 0.2)},
            {{"gasket", "a", "c1", "j9"}, normal_likelihood(p, 0.9, 0.3)}};
}

}  // namespace

TEST_CASE("messages on the tree equal the normal posterior by matrices", "[reference]") {
    // Conditioning of a multivariate normal: Rasmussen & Williams 2006, eq. 2.25 and 2.26.
    const LifePrior p = prior();
    const auto seen = evidence(p);
    const std::vector<double> mean = {0.5, 0.1, -0.4, 0.3, 0.9}, sd = {0.4, 0.3, 0.5, 0.2, 0.3};
    const SharedEffects effects(spread, p, seen);
    for (const EffectKey& asked : {EffectKey{"lap", "a", "c1", "j7"}, EffectKey{"lap", "a", "c9", "j1"},
                                   EffectKey{"lap", "z", "c8", "j1"}, EffectKey{"gasket", "a", "c1", "j1"}}) {
        Eigen::MatrixXd all(5, 5);
        Eigen::VectorXd with(5), values(5);
        for (int i = 0; i < 5; ++i) {
            values[i] = mean[static_cast<std::size_t>(i)];
            with[i] = covariance(asked, seen[static_cast<std::size_t>(i)].key);
            for (int j = 0; j < 5; ++j)
                all(i, j) = covariance(seen[static_cast<std::size_t>(i)].key, seen[static_cast<std::size_t>(j)].key) +
                            (i == j ? std::pow(sd[static_cast<std::size_t>(i)], 2) : 0.0);
        }
        const Eigen::VectorXd solved = all.ldlt().solve(with);
        const EffectMoments moments = effects.without_own(asked);
        CHECK(moments.mean == Approx(solved.dot(values)).margin(2e-5));
        CHECK(moments.variance == Approx(covariance(asked, asked) - solved.dot(with)).epsilon(1e-4));
    }
}

TEST_CASE("likelihoods that are not normal are matched closely", "[reference]") {
    // Two joints of one coach, one likelihood lopsided; the exact answer by a double sum over their common part.
    const LifePrior p = prior();
    Column lopsided(p.effect_count());
    for (int k = 0; k < p.effect_count(); ++k) lopsided[k] = normal_probability((p.effect_node(k) - 0.4) / 0.15);
    const SharedEffects effects(spread, p, {{{"lap", "a", "c", "1"}, lopsided}});
    const double common = std::sqrt(0.01 + 0.0144 + 0.0256);
    double weight = 0, first = 0, second = 0;
    for (int i = -400; i <= 400; ++i)
        for (int j = -200; j <= 200; ++j) {
            const double t = common * i / 60.0, s = t + 0.20 * j / 30.0;
            const double w = std::exp(-0.5 * (i / 60.0) * (i / 60.0) - 0.5 * (j / 30.0) * (j / 30.0)) * normal_probability((s - 0.4) / 0.15);
            weight += w;
            first += w * t;
            second += w * t * t;
        }
    const double mean = first / weight, variance = second / weight - mean * mean;
    const EffectMoments other = effects.without_own({"lap", "a", "c", "2"});
    CHECK(other.mean == Approx(mean).margin(0.002));
    CHECK(other.variance - 0.04 == Approx(variance).margin(0.002));
}

TEST_CASE("the order of findings is irrelevant to the last bit", "[law]") {
    const LifePrior p = prior();
    auto seen = evidence(p);
    const SharedEffects one(spread, p, seen);
    std::reverse(seen.begin(), seen.end());
    std::swap(seen[1], seen[3]);
    const SharedEffects two(spread, p, seen);
    CHECK(one.to_json() == two.to_json());
    for (const auto& joint : seen) {
        CHECK(one.without_own(joint.key).mean == two.without_own(joint.key).mean);
        CHECK(one.without_own(joint.key).variance == two.without_own(joint.key).variance);
    }
}

TEST_CASE("what a joint hears does not hold its own looks", "[law]") {
    const LifePrior p = prior();
    const EffectKey alone{"lap", "a", "c", "1"};
    const SharedEffects effects(spread, p, {{alone, normal_likelihood(p, 0.8, 0.1)}});
    CHECK(effects.without_own(alone).mean == Approx(0).margin(1e-6));
    CHECK(effects.without_own(alone).variance == Approx(0.09).epsilon(1e-6));
    const EffectMoments sister = effects.without_own({"lap", "a", "c", "2"});
    const EffectMoments cousin = effects.without_own({"lap", "a", "d", "1"});
    const EffectMoments family = effects.without_own({"lap", "b", "e", "1"});
    const EffectMoments stranger = effects.without_own({"gasket", "a", "c", "1"});
    CHECK(sister.mean > cousin.mean);
    CHECK(cousin.mean > family.mean);
    CHECK(family.mean > stranger.mean);
    CHECK(stranger.mean == 0);
    CHECK(sister.variance < cousin.variance);
}

TEST_CASE("a coach without a model line shares with its family alone", "[law]") {
    const LifePrior p = prior();
    const SharedEffects effects(spread, p, {{{"lap", "", "c", "1"}, normal_likelihood(p, 0.8, 0.1)}});
    CHECK(effects.without_own({"lap", "", "d", "1"}).mean == Approx(effects.without_own({"lap", "x", "e", "1"}).mean).epsilon(1e-12));
}

TEST_CASE("shared effects go through text to the bit", "[forecast]") {
    const LifePrior p = prior();
    const SharedEffects effects(spread, p, evidence(p));
    const SharedEffects back = SharedEffects::from_json(effects.to_json(), "test");
    CHECK(back.to_json() == effects.to_json());
    const EffectKey asked{"lap", "a", "c1", "j7"};
    CHECK(back.without_own(asked).mean == effects.without_own(asked).mean);
    CHECK(back.without_own(asked).variance == effects.without_own(asked).variance);
    CHECK(back.size() == 5);
}

TEST_CASE("shared effects refuse what makes no sense", "[bad_input]") {
    const LifePrior p = prior();
    const JointEvidence joint{{"lap", "a", "c", "1"}, normal_likelihood(p, 0, 1)};
    CHECK_THROWS_AS(SharedEffects(spread, p, {joint, joint}), ValueError);
    CHECK_THROWS_AS(SharedEffects(spread, p, {{{"lap", "a", "c", "1"}, Column::Ones(3)}}), ValueError);
    CHECK_THROWS_AS(SharedEffects({0.1, 0.1, 0.1, 0.0}, p, {}), ValueError);
    CHECK_THROWS_AS(SharedEffects::from_json("{}", "test"), ValueError);
    CHECK_THROWS_AS(SharedEffects::from_json(R"({"schema": "libseal/shared_effects/1", "sd_family": -1, "sd_model_line": 0.1,
        "sd_coach": 0.1, "sd_joint": 0.2, "joints": []})", "test"), ValueError);
    // A joint speaks once.
    const std::string one = R"({"family": "lap", "model_line": "a", "coach": "c", "joint": "1", "precision": 1, "shift": 0.5})";
    const std::string begin = R"({"schema": "libseal/shared_effects/1", "sd_family": 0.1, "sd_model_line": 0.1, "sd_coach": 0.1, "sd_joint": 0.2, "joints": [)";
    CHECK(SharedEffects::from_json(begin + one + "]}", "test").size() == 1);
    const auto problems = libseal_test::problems_of([&] { SharedEffects::from_json(begin + one + ", " + one + "]}", "test"); });
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].field == "joints[1]");
    CHECK(problems[0].expected == "each joint once");
}
