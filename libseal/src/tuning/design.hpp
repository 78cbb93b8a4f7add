#pragma once
// Precision of a family's effect as a function of the set of looks, and the greedy choice of the next one.

#include <map>
#include <string>
#include <utility>
#include <vector>

#include "libseal/forecast/shared_effects.hpp"

namespace libseal::detail {

/// A look that could be made.
struct EffectLook {
    std::size_t joint = 0;   ///< number of its joint in the tree
    double precision = 0;    ///< that it adds to what is known of the joint's own effect
};

/// Precisions of a tree of effects: joints on coaches on lines.
class PrecisionTree {
public:
    explicit PrecisionTree(const EffectSpread& spread) : spread_(spread) {}
    /// Adds a joint with the precision of what is known of its effect. Returns its number.
    std::size_t add_joint(const EffectKey& key, double precision);
    /// Precision of the family's effect with all joints as they stand, and if one joint knew more.
    double family() const { return family_; }
    double family_with(const EffectLook& look) const;
    void take(const EffectLook& look);

private:
    double through(double precision, double sd) const { return precision / (1 + precision * sd * sd); }

    EffectSpread spread_;
    struct Node {
        double own = 0;      ///< sum of what comes from below
        std::size_t up = 0;
    };
    std::vector<Node> joints_, coaches_, lines_;
    std::map<std::string, std::size_t> line_numbers_;
    std::map<std::pair<std::string, std::string>, std::size_t> coach_numbers_;
    double family_ = 0;
};

/// Up to `most` candidates, each the one that adds most to the precision of the family. Indices into `candidates`.
std::vector<std::size_t> greedy_looks(PrecisionTree& tree, const std::vector<EffectLook>& candidates, std::size_t most,
                                      std::vector<double>& precision_after);

}  // namespace libseal::detail
