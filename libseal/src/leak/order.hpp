#pragma once
// In which order to eliminate the variables of a cause network.

#include <vector>

#include "leak/factor.hpp"

namespace libseal::detail {

/// A step of a chain that stands for a noisy-OR: with cause `cause`, variable `before` becomes `after`.
struct ChainStep {
    int cause = 0;
    int before = -1;  ///< -1 at the first cause
    int after = 0;
    bool last = false;
};

/// The cheaper of two orders: sweeping from cause to cause along the chains, which keeps one variable a chain open, and
/// joining fewest new pairs at each step (min-fill). Ties go to the lower variable.
std::vector<int> elimination_order(const std::vector<Factor>& factors, const std::vector<ChainStep>& steps, int variables);

}  // namespace libseal::detail
