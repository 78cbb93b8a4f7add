#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <string>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/life/survival.hpp"
#include "life/special.hpp"
#include "life/survival_parts.hpp"

namespace libseal {
namespace detail {

GroupPlaces group_places(const std::vector<int>& group, Eigen::Index lives) {
    if (static_cast<Eigen::Index>(group.size()) != lives)
        throw_value_error("group", std::to_string(lives) + " labels, one per life", std::to_string(group.size()));
    GroupPlaces result{group, {}};
    std::sort(result.label.begin(), result.label.end());
    result.label.erase(std::unique(result.label.begin(), result.label.end()), result.label.end());
    if (result.label.size() < 2) throw_value_error("group", "at least two different labels", std::to_string(result.label.size()));
    if (result.label.size() > 500)
        throw_value_error("group", "at most 500 different labels", std::to_string(result.label.size()), "put small groups together");
    for (const int one : group)
        result.place.push_back(static_cast<int>(std::lower_bound(result.label.begin(), result.label.end(), one) - result.label.begin()));
    return result;
}

void conclude(GroupTest& test, const Eigen::MatrixXd& covariance) {
    // Scores sum to nothing: the covariance has no full rank; groups that never meet take more of it.
    const double size = covariance.diagonal().cwiseAbs().maxCoeff();
    test.chi_square = test.z = 0;
    test.degrees = 0;
    test.p_value = 1;
    if (!(size > 0)) return;
    Eigen::CompleteOrthogonalDecomposition<Eigen::MatrixXd> solver;
    solver.setThreshold(1e-10);
    solver.compute(covariance);
    test.degrees = static_cast<int>(solver.rank());
    if (test.degrees == 0) return;
    test.chi_square = std::max(0.0, test.score.matrix().dot(solver.solve(test.score.matrix())));
    if (test.score.size() == 2) test.z = test.score[0] / std::sqrt(covariance(0, 0));
    test.p_value = std::min(1.0, gamma_above(0.5 * test.degrees, 0.5 * test.chi_square));
}

}  // namespace detail

GroupTest log_rank(ConstColumn time, const std::vector<bool>& failed, const std::vector<int>& group, const LogRankOptions& options) {
    detail::check_lives(time, failed, options.entry);
    require_not_negative(options.rho, "rho");
    const auto groups = detail::group_places(group, time.size());
    const auto count = static_cast<Eigen::Index>(groups.label.size());
    GroupTest test;
    test.group = groups.label;
    test.count = test.observed = test.expected = test.score = Column::Zero(count);
    for (const int place : groups.place) ++test.count[place];
    Eigen::MatrixXd covariance = Eigen::MatrixXd::Zero(count, count);
    double survival = 1;
    for (const auto& step : detail::risk_steps(time, failed, options.entry, groups.place, static_cast<int>(count))) {
        const double risk = step.at_risk.sum(), died = step.failed.sum();
        const Column share = step.at_risk / risk;
        const double weight = std::pow(survival, options.rho);
        test.observed += step.failed;
        test.expected += died * share;
        test.score += weight * (step.failed - died * share);
        if (risk > 1) {
            const double spread = weight * weight * died * (risk - died) / (risk - 1);
            covariance += spread * Eigen::MatrixXd(share.matrix().asDiagonal());
            covariance -= spread * share.matrix() * share.matrix().transpose();
        }
        survival *= 1 - died / risk;
    }
    detail::conclude(test, covariance);
    return test;
}

}  // namespace libseal
