#pragma once
// What a fitted life remembers, and what is asked of it: curves, targets of limits, the profile likelihood.

#include <memory>
#include <string>
#include <vector>

#include "libseal/core/progress.hpp"
#include "life/likelihood.hpp"

namespace libseal::detail {

/// State of a `LifeFit`. Parameters stand in the order of `FitLayout`, covariates on their inner scale.
struct FittedLife {
    std::shared_ptr<const FitRecords> data{};
    std::shared_ptr<const Likelihood> likelihood{};
    std::string distribution{};
    bool converged = false;
    FitDiagnosis diagnosis{};
    std::vector<std::string> notes{};
    Eigen::VectorXd at{};
    Eigen::MatrixXd covariance{};
    double log_likelihood = 0;
    double gradient = 0;
};

/// Tells the caller of a search, whose length nobody knows, that it goes on.
class SearchReporter {
public:
    SearchReporter(const Watch& watch, std::string stage) : reporter_(watch, std::move(stage)) { before_evaluation(); }
    void before_evaluation() {
        ++evaluations_;
        within_evaluation();
    }
    void within_evaluation() { reporter_.tick(1 - 10 / (9.0 + evaluations_)); }

private:
    ProgressReporter reporter_;
    int evaluations_ = 0;
};

FittedLife search_life(std::shared_ptr<const FitRecords> data, const FitOptions& options);

/// Names of the parameters of `FitLayout` as `LifeFit::coordinates` gives them.
std::vector<std::string> coordinate_names(const FitRecords& data);

/// Calls function(life) with the life of these parameters at ln scale mu.
template <class Function>
auto with_life(const FitRecords& data, const Eigen::VectorXd& at, double mu, Function&& function) {
    const FitLayout& layout = data.layout;
    const double log_sigma = layout.log_sigma >= 0 ? at[layout.log_sigma] : 0, steep = std::exp(-log_sigma);
    switch (data.family) {
        case LifeFamily::lognormal: return function(LogLocationScale<Normal, double>{mu, log_sigma, steep});
        case LifeFamily::loglogistic: return function(LogLocationScale<Logistic, double>{mu, log_sigma, steep});
        case LifeFamily::early_and_wear_out:
            return function(EarlyAndWearOut<double>{{mu, log_sigma, steep}, at[layout.log_odds], at[layout.log_early]});
        case LifeFamily::exponential:
        case LifeFamily::weibull: break;
    }
    return function(LogLocationScale<ExtremeValue, double>{mu, log_sigma, steep});
}

/// Covariates of a caller on the inner scale, with the 1 of ln scale in front.
Eigen::VectorXd inner_covariates(const FitRecords& data, ConstColumn covariates);
/// Outer coordinates are this matrix times the inner ones.
Eigen::MatrixXd outer_from_inner(const FitRecords& data);
/// ln of the time by which a share p has failed.
double log_quantile(const FitRecords& data, const Eigen::VectorXd& at, const Eigen::VectorXd& x, double p);

/// What limits are asked for: one coordinate, or ln scale at covariates x, or ln t by which a share p has failed there.
struct LimitTarget {
    int coordinate = -1;  ///< if >= 0 this parameter, and nothing below counts
    Eigen::VectorXd x{};  ///< as `inner_covariates`
    double p = 0;         ///< 0: ln scale
    double lowest = -1e300, highest = 1e300;  ///< how far it is worth looking
};

/// Value of a target at parameters, and its slope along them.
double target_value(const FitRecords& data, const Eigen::VectorXd& at, const LimitTarget& target, Eigen::VectorXd& slope);

/// A limit on the scale of the target.
struct TargetLimit {
    double value = 0;
    std::string state = "found";
};
/// Where twice the fall of the profile likelihood reaches `fall`, from the estimate in the direction `side` (+1 or -1).
TargetLimit profile_limit(const FittedLife& life, const LimitTarget& target, double fall, int side, SearchReporter& reporter);

}  // namespace libseal::detail
