#pragma once
// Groups of a cap's lives, and how worn a bedding is under each: with s, the sum over s is all that is left to do.

#include <vector>

#include "libseal/forecast/belief.hpp"

namespace libseal {

/// Neighbouring cells [first, end) of a cap's life. Lives as ln(life / scale).
struct CapClass {
    Eigen::Index first = 0;  ///< index of the first cell
    Eigen::Index end = 0;    ///< index after the last cell
    double shortest = 0;  ///< [-]
    double middle = 0;    ///< [-]
    double longest = 0;   ///< [-]
};
/// Cuts the lives of a cap into `count` classes; the outermost hold all that is shorter and longer.
std::vector<CapClass> cap_classes(const LifePrior& prior, int count);

/// P(group, s) of groups of a cap's life, and of a bedding under them that has worn beyond an age.
///
/// beyond = sum over s of P(group, s) F(ln(age / scale) + s), F the distribution of ln(threshold).
class GroupEffects {
public:
    GroupEffects() = default;
    /// @param weights  P(group, s), one column a group, in blocks of `block` groups each. [-]
    GroupEffects(const LifePrior& prior, Eigen::ArrayXXd weights, Eigen::Index block);

    Eigen::Index groups() const { return weights_.cols(); }
    const Eigen::ArrayXXd& weights() const { return weights_; }
    double weight(Eigen::Index group) const { return weights_.col(group).sum(); }
    /// @param position  Of ln(age / scale) on the grid, from the lower edge of the first. [cells]
    double beyond(Eigen::Index group, double position) const { return summed(weights_, group, position); }
    /// The sum of `beyond` from this group to the end of its block.  @param position  [cells]
    double beyond_from(Eigen::Index group, double position) const { return summed(from_, group, position); }

private:
    double summed(const Eigen::ArrayXXd& weights, Eigen::Index group, double position) const;

    const LifePrior* prior_ = nullptr;
    Eigen::ArrayXXd weights_;
    Eigen::ArrayXXd from_;  ///< sums from a group to the end of its block
};

/// The same for a pair of which nothing was seen, tabulated: shared by all pairs that hear the same of their effects.
///
/// Between whole positions F is straight, and so is its sum over s: the table gives what the sum gives.
/// @threads  Read it from as many threads as you like. The prior must outlive it.
class UnseenPair {
public:
    /// @param effect  Weights of s, summing to 1. [-]
    UnseenPair(const LifePrior& prior, const Column& effect, const std::vector<CapClass>& classes);

    Eigen::Index classes() const { return sums_.groups(); }
    const GroupEffects& sums() const { return sums_; }
    double weight(Eigen::Index cap_class) const { return weight_[cap_class]; }
    /// @param position  As `GroupEffects::beyond`. [cells]
    double beyond(Eigen::Index cap_class, double position) const;
    /// @param position  [cells]
    double beyond_from(Eigen::Index cap_class, double position) const;

private:
    bool outside(double position) const { return !(position >= 0 && position < static_cast<double>(table_.cols() - 1)); }
    GroupEffects sums_;
    Column weight_;          ///< per class
    Eigen::MatrixXd table_;  ///< `beyond` at whole positions: (class, position)
};

}  // namespace libseal
