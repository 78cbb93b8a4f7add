#pragma once
// Products of tables over yes-or-no variables, and their sums.

#include <cstddef>
#include <vector>

namespace libseal::detail {

/// Non-negative numbers over some variables: variable k of `scope` is bit k of the index.
struct Factor {
    std::vector<int> scope;  ///< ascending
    std::vector<double> values;
};

/// What is left of a factor when one variable is known.
Factor with_known(const Factor& factor, int variable, bool value);

/// Exact sums over the product of factors by elimination in a given order.
struct Elimination {
    double total = 0;                 ///< sum of the product over all variables
    std::vector<double> probability;  ///< of each variable being true, under the normalised product
};
/// @param order  Every variable of the factors once.
Elimination eliminate(const std::vector<Factor>& factors, const std::vector<int>& order, int variables);

/// Numbers that tables would need in this order.
double work_of(const std::vector<Factor>& factors, const std::vector<int>& order, int variables);
/// Widest table of the order [variables].
std::size_t width_of(const std::vector<Factor>& factors, const std::vector<int>& order, int variables);

}  // namespace libseal::detail
