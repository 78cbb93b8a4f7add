// A few joints with normal looks: messages on the tree of shared effects against the normal posterior by matrices.

#include <Eigen/Cholesky>
#include <cmath>
#include <vector>

#include "libseal/forecast/shared_effects.hpp"
#include "target.hpp"

using namespace libseal;
using namespace libseal_fuzz;

namespace {

const EffectSpread spread{0.10, 0.12, 0.16, 0.20};

/// Covariance of the sums of effects of two joints, as the tree states it.
double covariance(const EffectKey& a, const EffectKey& b) {
    if (a.family != b.family) return 0;
    double sum = spread.family * spread.family;
    const bool line = a.model_line.empty() ? a.coach == b.coach : a.model_line == b.model_line;
    if (!line || a.model_line.empty() != b.model_line.empty()) return sum;
    sum += spread.model_line * spread.model_line;
    if (a.coach != b.coach) return sum;
    sum += spread.coach * spread.coach;
    return a.joint == b.joint ? sum + spread.joint * spread.joint : sum;
}

EffectKey key_of(Bytes& bytes) {
    static const char *families[] = {"lap", "gasket"}, *lines[] = {"", "a", "b"};
    const std::size_t coach = static_cast<std::size_t>(bytes.below(6));
    // A coach has one model line.
    return {families[bytes.below(2)], lines[coach % 3], "c" + std::to_string(coach), "j" + std::to_string(bytes.below(3))};
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const LifePrior prior = life_prior({2.75, 0.30, 0.01, 1.5});
    Bytes bytes(data, size);
    std::vector<JointEvidence> seen;
    std::vector<double> mean, sd;
    for (int left = bytes.below(6); left > 0; --left) {
        JointEvidence one{key_of(bytes), Column(prior.effect_count())};
        bool known = false;
        for (const JointEvidence& other : seen) known = known || other.key == one.key;
        if (known) continue;
        mean.push_back(bytes.between(-0.5, 0.5));
        sd.push_back(bytes.between(0.2, 0.6));
        for (int k = 0; k < prior.effect_count(); ++k)
            one.likelihood[k] = std::exp(-0.5 * std::pow((prior.effect_node(k) - mean.back()) / sd.back(), 2));
        seen.push_back(one);
    }
    EffectKey asked = key_of(bytes);
    asked.joint = "asked";
    const EffectMoments got = SharedEffects(spread, prior, seen).without_own(asked);
    const auto n = static_cast<Eigen::Index>(seen.size());
    Eigen::MatrixXd all(n, n);
    Eigen::VectorXd with(n), values(n);
    for (Eigen::Index i = 0; i < n; ++i) {
        const auto at = static_cast<std::size_t>(i);
        values[i] = mean[at];
        with[i] = covariance(asked, seen[at].key);
        for (Eigen::Index j = 0; j < n; ++j)
            all(i, j) = covariance(seen[at].key, seen[static_cast<std::size_t>(j)].key) + (i == j ? sd[at] * sd[at] : 0.0);
    }
    const Eigen::VectorXd solved = n > 0 ? Eigen::VectorXd(all.ldlt().solve(with)) : Eigen::VectorXd(with);
    // The grid of s and the 1e-9 at which messages stand still leave this much.
    require(std::abs(got.mean - solved.dot(values)) < 1e-3, "messages give the mean of the posterior");
    require(std::abs(got.variance - (covariance(asked, asked) - solved.dot(with))) < 1e-3, "messages give the variance of the posterior");
    return 0;
}
