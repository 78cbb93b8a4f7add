#pragma once
// What each joint says of its s as a normal message, and how likely the messages of a fleet are under given spreads.

#include <map>
#include <string>
#include <vector>

#include "tuning/seen.hpp"

namespace libseal::detail {

/// The layers of one family, with what their looks say as functions of s.
struct FamilyEvidence {
    std::vector<JointEvidence> joints;                ///< one for each joint; generations of it are multiplied
    std::vector<const SeenGeneration*> generations;   ///< by coach, joint and layer as given
};

/// By family of the layer itself.
std::map<std::string, FamilyEvidence> evidence_by_family(const ForecastBasis& basis, const std::vector<SeenCoach>& by_coach,
                                                         const Watch& watch);

/// Place of a layer in the tree of its own family.
EffectKey key_of(const ForecastBasis& basis, const SeenGeneration& seen);

/// Sd of ln(life) of a family before anything is seen. @param wanted  NaN: by the range of the catalogue.
double family_prior_sd(const Catalogue& catalogue, const std::string& family, double wanted);

/// Shared effects of one family alone.
SharedEffects effects_of_family(const LifeModel& model, double prior_sd, std::vector<JointEvidence> evidence, int threads);

/// Messages of the joints at the fixed point of `effects`.
std::map<EffectKey, NormalMessage> joint_messages(const SharedEffects& effects, const LifePrior& prior, const std::vector<JointEvidence>& evidence);

/// The messages of one family as a tree: how likely they are under given spreads, asked many times.
class MessageTree {
public:
    explicit MessageTree(const std::map<EffectKey, NormalMessage>& messages);
    /// ln of the integral over all effects of the product of the messages, up to what does not depend on the spread. Sums run by id.
    double log_evidence(const EffectSpread& spread) const;

private:
    std::vector<NormalMessage> joints_;
    std::vector<std::size_t> coach_of_joint_;
    std::vector<std::size_t> line_of_coach_;
    std::size_t lines_ = 0;
};

}  // namespace libseal::detail
