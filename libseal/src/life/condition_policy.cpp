#include "libseal/life/condition_policy.hpp"

#include <Eigen/Dense>
#include <cmath>
#include <string>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

using Flags = std::vector<bool>;
using Square = Eigen::MatrixXd;

std::string at(const char* name, Eigen::Index i) { return std::string(name) + "[" + std::to_string(i) + "]"; }

void check_model(const Eigen::ArrayXXd& transition, ConstColumn running_cost, ConstColumn renewal_cost) {
    const Eigen::Index n = transition.rows();
    if (n < 2 || transition.cols() != n)
        throw_value_error("transition", "a square table of at least two conditions",
                          std::to_string(n) + " by " + std::to_string(transition.cols()));
    if (n > 500) throw_value_error("transition", "at most 500 conditions", std::to_string(n), "put conditions together");
    if (running_cost.size() != n)
        throw_value_error("running_cost", std::to_string(n) + " values, one per condition", std::to_string(running_cost.size()));
    if (renewal_cost.size() != n)
        throw_value_error("renewal_cost", std::to_string(n) + " values, one per condition", std::to_string(renewal_cost.size()));
    for (Eigen::Index i = 0; i < n; ++i) {
        for (Eigen::Index j = 0; j < n; ++j) require_between(transition(i, j), 0, 1, at("transition", i) + "[" + std::to_string(j) + "]");
        const double sum = transition.row(i).sum();
        if (std::fabs(sum - 1) > 1e-9) throw_value_error(at("transition", i), "chances with sum 1", "sum " + number_text(sum));
        if (std::isnan(running_cost[i]) || running_cost[i] == -INFINITY)
            throw_value_error(at("running_cost", i), "a number, or infinity where it may not be left", number_text(running_cost[i]));
        require_finite(renewal_cost[i], at("renewal_cost", i));
    }
    if (std::isinf(running_cost[0]))
        throw_value_error("running_cost[0]", "a finite cost", "infinity", "condition 0 is new, there is nothing to renew");
}

/// Cost per step and relative costs of a policy; fills everything but the threshold.
ConditionPolicy evaluated(const Square& transition, ConstColumn running_cost, ConstColumn renewal_cost, const Flags& renew) {
    const Eigen::Index n = transition.rows();
    Square moves = transition;
    Eigen::VectorXd cost(n);
    for (Eigen::Index i = 0; i < n; ++i) {
        const bool renewed = renew[static_cast<std::size_t>(i)];
        if (renewed) moves.row(i) = transition.row(0);
        cost[i] = renewed ? renewal_cost[i] : running_cost[i];
    }
    // Unknown: cost per step, and the relative costs of conditions 1 to n - 1.
    Square system = Square::Identity(n, n) - moves;
    system.col(0).setOnes();
    const Eigen::FullPivLU<Square> solver(system);
    if (!solver.isInvertible())
        throw_value_error("transition", "conditions that all lead to one and the same part", "parts that never meet under this policy",
                          "let every condition reach one that must be renewed, or leave the unreachable ones out");
    const Eigen::VectorXd solved = solver.solve(cost);
    ConditionPolicy result;
    result.renew = renew;
    result.cost_rate = solved[0];
    result.relative = solved.array();
    result.relative[0] = 0;
    // Balance of the long run, its last equation replaced by the sum.
    Square balance = (Square::Identity(n, n) - moves).transpose();
    balance.row(n - 1).setOnes();
    Eigen::VectorXd right = Eigen::VectorXd::Zero(n);
    right[n - 1] = 1;
    result.share = balance.fullPivLu().solve(right).array().max(0.0);
    result.share /= result.share.sum();
    return result;
}

int threshold_of(const Flags& renew) {
    std::size_t first = 0;
    while (first < renew.size() && !renew[first]) ++first;
    for (std::size_t i = first; i < renew.size(); ++i)
        if (!renew[i]) return -1;
    return static_cast<int>(first);
}

/// Better action in each condition; an action is changed only for a gain.
Flags improved(const ConditionPolicy& policy, const Square& transition, ConstColumn running_cost, ConstColumn renewal_cost) {
    const Eigen::VectorXd ahead = transition * policy.relative.matrix();
    Flags renew = policy.renew;
    for (Eigen::Index i = 1; i < transition.rows(); ++i) {
        const double leave = running_cost[i] + ahead[i], anew = renewal_cost[i] + ahead[0];
        const double gain = 1e-12 * (1 + std::fabs(anew) + policy.relative.abs().maxCoeff());
        const auto place = static_cast<std::size_t>(i);
        if (renew[place] ? leave < anew - gain : anew < leave - gain) renew[place] = !renew[place];
    }
    return renew;
}

}  // namespace

ConditionPolicy condition_policy(const Eigen::ArrayXXd& transition, ConstColumn running_cost, ConstColumn renewal_cost,
                                 const std::vector<bool>& renew) {
    check_model(transition, running_cost, renewal_cost);
    if (static_cast<Eigen::Index>(renew.size()) != transition.rows())
        throw_value_error("renew", std::to_string(transition.rows()) + " values, one per condition", std::to_string(renew.size()));
    if (renew[0]) throw_value_error("renew[0]", "false", "true", "condition 0 is new, there is nothing to renew");
    for (std::size_t i = 1; i < renew.size(); ++i)
        if (!renew[i] && std::isinf(running_cost[static_cast<Eigen::Index>(i)]))
            throw_value_error("renew[" + std::to_string(i) + "]", "true where the running cost is infinite", "false");
    ConditionPolicy result = evaluated(transition.matrix(), running_cost, renewal_cost, renew);
    result.threshold = threshold_of(renew);
    return result;
}

ConditionPolicy best_condition_policy(const Eigen::ArrayXXd& transition, ConstColumn running_cost, ConstColumn renewal_cost) {
    check_model(transition, running_cost, renewal_cost);
    const Square moves = transition.matrix();
    // To renew everywhere leads from everywhere to one part: a start that can always be evaluated.
    Flags renew(static_cast<std::size_t>(moves.rows()), true);
    renew[0] = false;
    ConditionPolicy result = evaluated(moves, running_cost, renewal_cost, renew);
    for (Eigen::Index step = 0; step < 20 + moves.rows(); ++step) {
        const Flags next = improved(result, moves, running_cost, renewal_cost);
        if (next == result.renew) break;
        result = evaluated(moves, running_cost, renewal_cost, next);
    }
    result.threshold = threshold_of(result.renew);
    return result;
}

}  // namespace libseal
