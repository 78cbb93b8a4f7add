#pragma once
// A distribution of life on the grid of its logarithm with its running sums: questions are looked up, not summed.

#include "libseal/core/columns.hpp"

namespace libseal {

struct GradeScale;

/// Probability of each cell of ln(life / scale). Immutable, shared by all layers that are believed to live alike.
///
/// @threads  Read it from as many threads as you like.
class LifeTable {
public:
    /// @param cells  Probability of each cell [-]; their sum is the table's and need not be 1.
    explicit LifeTable(Column cells);

    /// Probability that ln(life / scale) is below; straight within a cell. [-]  @param log_life  [-]
    double below(double log_life) const;
    /// Where `below` reaches p; the last node if it never does. [-]  @param p  [-]
    double quantile(double p) const;
    /// Sum over the cells of probability times condition grade (at most 5) at an age in units of the scale.
    ///
    /// The grade is straight in r = age / life between its cuts: running sums of P and of P / life are all it takes.
    /// @param age  [-], in units of the scale
    double grade(double age, const GradeScale& scale) const;
    double sum() const { return running_[running_.size() - 1]; }
    const Column& cells() const { return cells_; }

private:
    Column cells_;
    Column running_;  ///< sums of the cells before, one more than cells
    Column rate_;     ///< the same of P / life
};

}  // namespace libseal
