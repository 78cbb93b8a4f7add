#pragma once
// From which condition on to renew: average-cost decisions over grades that move by chance.

#include <vector>

#include "libseal/core/columns.hpp"

namespace libseal {

/// Which conditions to renew in, and what that costs per step.
struct ConditionPolicy {
    std::vector<bool> renew;  ///< one per condition
    int threshold = 0;        ///< renew from here on; number of conditions: never; -1: the renewed ones are no upper end
    double cost_rate = 0;     ///< long-run cost per step [unit of cost/step]
    Column share;             ///< long-run share of steps in each condition [-], sum 1
    Column relative;          ///< cost to come in each condition [unit of cost], less that in condition 0
};
/// The policy that costs least per step, by policy iteration. A renewed part moves on like one in condition 0. [any unit of cost]
/// @param transition    Chance to go from condition (row) to condition (column) in a step if left. [-], rows sum to 1
/// @param running_cost  Of a step in each condition if left. [unit of cost]; infinite where leaving is not allowed.
/// @param renewal_cost  Of a step in each condition if renewed. [unit of cost], finite; that of condition 0 is not used.
/// @throws ValueError  shapes differ, a row is no distribution, or some conditions never meet, so that no one cost per step exists.
/// @source  Howard 1960, Dynamic Programming and Markov Processes (from memory).
ConditionPolicy best_condition_policy(const Eigen::ArrayXXd& transition, ConstColumn running_cost, ConstColumn renewal_cost);
/// The cost of a policy that is given. [any unit of cost]
/// @param transition  [-]  @param running_cost, renewal_cost  [unit of cost]
/// @param renew  One per condition; false in condition 0.
ConditionPolicy condition_policy(const Eigen::ArrayXXd& transition, ConstColumn running_cost, ConstColumn renewal_cost,
                                 const std::vector<bool>& renew);

}  // namespace libseal
