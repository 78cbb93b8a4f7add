#pragma once
// What is believed of layers that nobody looked at: it hangs on nothing but what others say of their effects, and is shared.

#include <memory>
#include <tuple>
#include <utility>
#include <vector>

#include "forecast/appearance.hpp"
#include "core/recent.hpp"
#include "libseal/forecast/cap_groups.hpp"
#include "libseal/forecast/shared_effects.hpp"

namespace libseal::detail {

/// A joint without looks, whatever its layers.
struct UnseenJoint {
    Column effect;          ///< weights of s, summing to 1
    double effect_mean = 0; ///< [-]
    std::shared_ptr<const LifeTable> life;
    UnseenAppearance appearance;
};

/// Beliefs by mean and variance of s, made as they are asked for and kept while they are.
///
/// @threads  safe.
class UnseenBeliefs {
public:
    UnseenBeliefs(const LifePrior& prior, const AppearanceModel& appearance);
    UnseenBeliefs(const UnseenBeliefs&) = delete;
    UnseenBeliefs& operator=(const UnseenBeliefs&) = delete;

    std::shared_ptr<const UnseenJoint> joint(const EffectMoments& others);
    /// @param classes  Of the cap's life.
    std::shared_ptr<const UnseenPair> pair(const EffectMoments& others, int classes);
    std::shared_ptr<const std::vector<CapClass>> classes(int count);

private:
    using Moments = std::pair<double, double>;
    const LifePrior prior_;
    const AppearanceLives appearance_lives_;
    Recent<Moments, UnseenJoint> joints_;
    Recent<std::pair<Moments, int>, UnseenPair> pairs_;
    Recent<int, std::vector<CapClass>> classes_;
};

}  // namespace libseal::detail
