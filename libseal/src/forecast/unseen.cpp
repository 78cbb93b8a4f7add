#include "forecast/unseen.hpp"

namespace libseal::detail {
namespace {

// Tables in use: families times model lines that were looked at, and the coaches at work. A pair takes 0.4 MB, a joint 0.1 MB.
constexpr std::size_t most_pairs = 192, most_joints = 512, most_counts = 64;

UnseenJoint unseen_joint(const LifePrior& prior, const AppearanceLives& lives, const EffectMoments& others) {
    Column effect = effect_weights(prior, others.mean, others.variance);
    effect /= effect.sum();
    double mean = 0;
    for (int k = 0; k < prior.effect_count(); ++k) mean += effect[k] * prior.effect_node(k);
    const Column mass = mixed_mass(prior, effect);
    UnseenAppearance appearance(lives, effect);
    return {std::move(effect), mean, std::make_shared<const LifeTable>(mass / mass.sum()), std::move(appearance)};
}

}  // namespace

UnseenBeliefs::UnseenBeliefs(const LifePrior& prior, const AppearanceModel& appearance)
    : prior_(prior), appearance_lives_(appearance, prior), joints_(most_joints), pairs_(most_pairs), classes_(most_counts) {}

std::shared_ptr<const UnseenJoint> UnseenBeliefs::joint(const EffectMoments& others) {
    return joints_.get({others.mean, others.variance}, [&] { return unseen_joint(prior_, appearance_lives_, others); });
}

std::shared_ptr<const UnseenPair> UnseenBeliefs::pair(const EffectMoments& others, int count) {
    return pairs_.get({{others.mean, others.variance}, count},
                      [&] { return UnseenPair(prior_, joint(others)->effect, *classes(count)); });
}

std::shared_ptr<const std::vector<CapClass>> UnseenBeliefs::classes(int count) {
    return classes_.get(count, [&] { return cap_classes(prior_, count); });
}

}  // namespace libseal::detail
