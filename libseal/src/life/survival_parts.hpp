#pragma once
// What the survival estimates and tests share.

#include <string>
#include <vector>

#include "libseal/life/survival.hpp"

namespace libseal::detail {

/// A time at which something failed.
struct RiskStep {
    double time = 0;
    Column at_risk;  ///< by group, just before
    Column failed;   ///< by group
};

/// Places of values in ascending order.
std::vector<Eigen::Index> by_time(ConstColumn time);
/// @throws ValueError  as `kaplan_meier` says.
void check_lives(ConstColumn time, const std::vector<bool>& failed, ConstColumn entry);
/// Times of failure in order. @param entry  None: all from the start.  @param group  0 to groups - 1; none: one group
std::vector<RiskStep> risk_steps(ConstColumn time, const std::vector<bool>& failed, ConstColumn entry, const std::vector<int>& group, int groups);

/// Labels in order, and the place of each member's label among them.
struct GroupPlaces {
    std::vector<int> label;
    std::vector<int> place;
};
/// @throws ValueError  not as many as lives, or fewer than two labels.
GroupPlaces group_places(const std::vector<int>& group, Eigen::Index lives);
/// Fills chi_square, degrees, z and p_value from the scores and their covariance.
void conclude(GroupTest& test, const Eigen::MatrixXd& covariance);

}  // namespace libseal::detail
