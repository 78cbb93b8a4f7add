#pragma once
// Lives known by intervals, as ranges over the few intervals that can hold probability.

#include <vector>

#include "libseal/core/columns.hpp"
#include "libseal/life/update.hpp"

namespace libseal::detail {

/// Equal lives counted once: the cells that a life may have ended in, and those it could be seen ending in.
struct CellRange {
    int first = 0, last = 0;            ///< cells of the life
    int seen_first = 0, seen_last = 0;  ///< cells that truncation leaves; all without truncation
    double count = 0;
};

/// The cells (left, right] and the lives over them.
struct IntervalSets {
    Column left;   ///< equal to right: the single time
    Column right;  ///< may be infinite
    std::vector<CellRange> ranges;
    std::vector<int> range_of;  ///< of each life
    double lives = 0;
    int cells() const { return static_cast<int>(left.size()); }
};
/// @throws ValueError  as `turnbull` says.
IntervalSets interval_sets(const LifeData& lives, ConstColumn entry, ConstColumn exit);

/// Likeliest probability of each cell, and how it was found.
struct CellFit {
    Column mass;
    double log_likelihood = 0;
    double gap = 0;
    int iterations = 0;
};
CellFit fit_cells(const IntervalSets& sets, double tolerance, int most_iterations);
/// Gradient of the log likelihood per life, one per cell; not above 0 at the optimum.
Column cell_gradient(const IntervalSets& sets, const Column& mass);
/// Minus the second derivatives of the log likelihood per life between the given cells, the sum of mass held.
Eigen::MatrixXd cell_curvature(const IntervalSets& sets, const Column& mass, const std::vector<int>& cells);

}  // namespace libseal::detail
