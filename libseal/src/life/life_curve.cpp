// Curves and quantiles of fitted lives.

#include <cmath>

#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/core/text.hpp"
#include "life/fitted_life.hpp"

namespace libseal::detail {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

double Normal::quantile(double p) { return normal_quantile(p); }

VectorXd inner_covariates(const FitRecords& data, ConstColumn covariates) {
    const Index count = data.layout.covariates;
    if (covariates.size() != count)
        throw_value_error("covariates", count == 0 ? "none, as the life was fitted without" : std::to_string(count) + " values: " + quoted_list(data.names),
                          std::to_string(covariates.size()) + " values");
    VectorXd x = VectorXd::Ones(count + 1);
    for (Index j = 0; j < count; ++j) {
        if (!std::isfinite(covariates[j]))
            throw_value_error("covariates[" + std::to_string(j) + "]", "a finite number", number_text(covariates[j]));
        x[j + 1] = (covariates[j] - data.centre[j]) / data.spread[j];
    }
    return x;
}

MatrixXd outer_from_inner(const FitRecords& data) {
    MatrixXd outer = MatrixXd::Identity(data.layout.size, data.layout.size);
    for (Index j = 0; j < data.layout.covariates; ++j) {
        outer(0, j + 1) = -data.centre[j] / data.spread[j];
        outer(j + 1, j + 1) = 1 / data.spread[j];
    }
    return outer;
}

double log_quantile(const FitRecords& data, const VectorXd& at, const VectorXd& x, double p) {
    const double mu = x.dot(at.head(x.size()));
    const double sigma = data.layout.log_sigma >= 0 ? std::exp(at[data.layout.log_sigma]) : 1;
    switch (data.family) {
        case LifeFamily::lognormal: return mu + sigma * Normal::quantile(p);
        case LifeFamily::loglogistic: return mu + sigma * Logistic::quantile(p);
        case LifeFamily::exponential:
        case LifeFamily::weibull: return mu + sigma * ExtremeValue::quantile(p);
        case LifeFamily::early_and_wear_out: break;
    }
    // Early failures bring it forward, by halving of what lies before the quantile of wear-out.
    const double wanted = std::log1p(-p);
    const auto below = [&](double log_t) {
        return with_life(data, at, mu, [&](const auto& life) { return life.log_survival(Moment{std::exp(log_t), log_t}); }) > wanted;
    };
    double high = mu + sigma * ExtremeValue::quantile(p), low = high - 1;
    while (!below(low) && low > -700) low -= 2 * (high - low);
    for (int k = 0; k < 200; ++k) {
        const double middle = 0.5 * (low + high);
        if (middle <= low || middle >= high) break;
        (below(middle) ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

}  // namespace libseal::detail
