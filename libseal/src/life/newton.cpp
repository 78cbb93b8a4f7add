#include "life/newton.hpp"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>

namespace libseal::detail {
namespace {

using Eigen::MatrixXd;
using Eigen::VectorXd;

bool usable(const CurvedValue& v) { return std::isfinite(v.value) && v.slope.allFinite() && v.bend.allFinite(); }

/// Step for a stiffness, and what it promises. False if the function bends up even so.
bool stiff_step(const CurvedValue& here, double stiffness, VectorXd& step, double& promised) {
    MatrixXd down = -here.bend;
    const double floor = 1e-12 * (1 + down.diagonal().cwiseAbs().maxCoeff());
    for (Eigen::Index i = 0; i < down.rows(); ++i) down(i, i) += stiffness * std::max(std::fabs(down(i, i)), floor);
    // On one scale, so that coordinates of very different weight do not hide each other.
    const VectorXd scale = down.diagonal().cwiseAbs().cwiseMax(1e-300).cwiseSqrt().cwiseInverse();
    const Eigen::LLT<MatrixXd> factor(scale.asDiagonal() * down * scale.asDiagonal());
    if (factor.info() != Eigen::Success) return false;
    step = scale.asDiagonal() * factor.solve(scale.asDiagonal() * here.slope);
    promised = 0.5 * here.slope.dot(step);
    return step.allFinite() && promised >= 0;
}

/// What one more free step would gain where the search had to end.
NewtonResult& ended(NewtonResult& result) {
    VectorXd step;
    if (!stiff_step(result.here, 1e-6, step, result.promised)) result.promised = std::numeric_limits<double>::infinity();
    result.converged = result.promised <= 1e-13;
    return result;
}

}  // namespace

NewtonResult maximise(const CurvedFunction& function, const VectorXd& start, const NewtonOptions& options) {
    NewtonResult result;
    result.at = start;
    function(start, result.here);
    result.evaluations = 1;
    if (!usable(result.here)) return result;
    if (start.size() == 0) {
        result.converged = true;
        return result;
    }
    double stiffness = 0;
    VectorXd step;
    CurvedValue there;
    const VectorXd unit = options.unit.size() == start.size() ? options.unit : VectorXd(VectorXd::Ones(start.size()));
    for (int round = 0; round < 4 * options.most_evaluations && result.evaluations < options.most_evaluations; ++round) {
        if (!stiff_step(result.here, stiffness, step, result.promised)) {
            stiffness = std::max(1e-6, 10 * stiffness);
            if (stiffness > 1e12) return ended(result);
            continue;
        }
        const double longest = step.cwiseAbs().cwiseQuotient(unit).maxCoeff();
        const bool free = stiffness <= 1e-5;
        if (free && longest <= options.longest_step && result.promised <= options.gain) {
            result.converged = true;
            return result;
        }
        // What is lost in rounding is no loss.
        const double rounding = 1e-13 * (1 + std::fabs(result.here.value));
        if (!free && result.promised <= rounding) {
            stiffness *= 0.01;
            continue;
        }
        const double cut = std::min(1.0, options.longest_step / std::max(longest, 1e-300));
        step *= cut;
        const VectorXd at = result.at + step;
        if ((at - start).cwiseAbs().cwiseQuotient(unit).maxCoeff() > options.furthest) return ended(result);
        function(at, there);
        ++result.evaluations;
        const double gain = there.value - result.here.value;
        const double expected = result.promised * cut * (2 - cut);
        if (usable(there) && gain >= 1e-4 * expected - rounding) {
            const bool last = free && cut == 1 && expected <= rounding;
            result.at = at;
            std::swap(result.here, there);
            stiffness = gain > 0.5 * expected ? (stiffness < 1e-4 ? 0 : stiffness * 0.1) : stiffness;
            if (last) {  // steps of this size cannot be told from rounding any more
                result.converged = true;
                stiff_step(result.here, 0, step, result.promised);
                return result;
            }
        } else {
            stiffness = std::max(1e-3, 8 * stiffness);
            if (stiffness > 1e12) return ended(result);
        }
    }
    return ended(result);
}

}  // namespace libseal::detail
