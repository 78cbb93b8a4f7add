#pragma once
// Empirical Bayes: the spreads of lines, coaches and joints under which the messages of a fleet are most likely.

#include "libseal/core/progress.hpp"
#include "libseal/tuning/recalibrate.hpp"
#include "tuning/sites.hpp"

namespace libseal::detail {

/// Messages of one family, with the sd of its own life.
struct FamilyMessages {
    double prior_sd = 0;
    MessageTree tree;
};

/// Climbs one spread after the other. Without messages the old ones stand.
EffectSpreads likely_spreads(const std::vector<FamilyMessages>& families, const EffectSpread& old, const Watch& watch);

}  // namespace libseal::detail
