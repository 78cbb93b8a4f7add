#pragma once
// Maxima of smooth functions whose two derivatives are known: Newton steps that never go down.

#include <Eigen/Core>
#include <functional>
#include <limits>

namespace libseal::detail {

/// A function at a point. A value that is not finite means "not there".
struct CurvedValue {
    double value = -std::numeric_limits<double>::infinity();
    Eigen::VectorXd slope{};
    Eigen::MatrixXd bend{};
};
using CurvedFunction = std::function<void(const Eigen::VectorXd&, CurvedValue&)>;

struct NewtonOptions {
    double gain = 1e-19;        ///< ends when a step promises to gain no more
    double longest_step = 3;    ///< of any coordinate, in its unit
    double furthest = 80;       ///< from the start, of any coordinate, in its unit
    Eigen::VectorXd unit{};     ///< of each coordinate; 1 if empty
    int most_evaluations = 200;
};

struct NewtonResult {
    bool converged = false;
    Eigen::VectorXd at{};
    CurvedValue here{};
    double promised = 0;  ///< gain that one more step promises: half the square of the distance in standard errors
    int evaluations = 0;
};

/// Steps by Newton; where the function bends the wrong way or a step disappoints, the bend is stiffened (Levenberg, Marquardt).
NewtonResult maximise(const CurvedFunction& function, const Eigen::VectorXd& start, const NewtonOptions& options = {});

}  // namespace libseal::detail
