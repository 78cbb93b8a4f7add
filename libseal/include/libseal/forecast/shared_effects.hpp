#pragma once
// What joints teach each other: effects of family, model line, coach and joint, passed along a tree as normal messages.

#include <map>
#include <string>
#include <string_view>
#include <tuple>
#include <vector>

#include "libseal/catalogue/catalogue.hpp"
#include "libseal/forecast/belief.hpp"

namespace libseal {

/// Spread of the parts of s = ln(phi). [-]
struct EffectSpread {
    double family = 0.10;      ///< [-]
    double model_line = 0.12;  ///< [-]
    double coach = 0.16;       ///< [-]
    double joint = 0.19;       ///< [-]
    /// All together [-].
    double total() const;
};
/// The spread as the catalogue has it ("model/sd_family", ...).
EffectSpread effect_spread(const Catalogue& catalogue);

/// A normal message or belief in its natural form: precision, and precision times mean. Zero: says nothing.
struct NormalMessage {
    double precision = 0;  ///< [-]
    double shift = 0;      ///< [-]
    /// [-]
    double mean() const { return shift / precision; }
    /// [-]
    double variance() const { return 1 / precision; }
    /// What remains of the message on the far side of an own effect of this variance.  @param effect_variance  [-]
    NormalMessage through(double effect_variance) const;
    friend NormalMessage operator+(NormalMessage a, NormalMessage b) { return {a.precision + b.precision, a.shift + b.shift}; }
    friend NormalMessage operator-(NormalMessage a, NormalMessage b) { return {a.precision - b.precision, a.shift - b.shift}; }
};

/// Place of a joint in the tree.
struct EffectKey {
    std::string family;      ///< of the joint's outermost sealing layer
    std::string model_line;  ///< "" stands for a line of its own
    std::string coach;
    std::string joint;
    auto operator<=>(const EffectKey&) const = default;
};

/// A joint with looks: how likely they are, as a function of its s.
struct JointEvidence {
    EffectKey key;
    Column likelihood;  ///< on the grid of s of the prior [-], any scale
};

/// Mean and variance of a joint's s, from everything but its own looks.
struct EffectMoments {
    double mean = 0;      ///< [-]
    double variance = 0;  ///< [-]
};

/// Beliefs of all shared effects after all looks of a fleet. Small: one message per joint that was looked at.
class SharedEffects {
public:
    /// Nothing seen yet.
    explicit SharedEffects(const EffectSpread& spread = {}) : spread_(spread) {}
    /// Takes in the looks of a fleet. The order of `evidence` does not matter: sums run by id.
    ///
    /// Messages are matched to the exact likelihood in mean and variance, around what the others say, and repeated
    /// until they stand still. Cost grows with the number of joints that were looked at.
    /// @param threads  0: one per processor; no result depends on it.
    /// @throws ValueError  if a joint comes twice, or a likelihood does not fit the grid.
    /// @source  Minka 2001 (expectation propagation); Pearl 1988 (messages on a tree).
    SharedEffects(const EffectSpread& spread, const LifePrior& prior, std::vector<JointEvidence> evidence, int threads = 1);

    /// What the others say of a joint's s: its own looks are left out.
    EffectMoments without_own(const EffectKey& key) const;
    /// Belief of the sum of effects down to a family, or a model line in it. [-]
    EffectMoments family(const std::string& family) const;
    EffectMoments model_line(const std::string& family, const std::string& model_line) const;

    const EffectSpread& spread() const { return spread_; }
    /// Joints with looks.
    std::size_t size() const { return sites_.size(); }
    /// The messages as text that reads back equal, to the bit.
    std::string to_json() const;
    /// @throws ValueError  with line, column and field.
    static SharedEffects from_json(std::string_view text, const std::string& name = "shared effects");

private:
    using LineKey = std::pair<std::string, std::string>;
    using CoachKey = std::tuple<std::string, std::string, std::string>;
    void pass_up();
    NormalMessage from_above(const CoachKey& coach) const;

    EffectSpread spread_;
    std::map<EffectKey, NormalMessage> sites_;  ///< likelihood of each joint's s
    // Sums of the messages that come from below.
    std::map<std::string, NormalMessage> family_;
    std::map<LineKey, NormalMessage> line_;
    std::map<CoachKey, NormalMessage> coach_;
};

}  // namespace libseal
