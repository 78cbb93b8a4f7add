#include "libseal/life/update.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"
#include "life/special.hpp"

namespace libseal {
namespace {

void check(const BetaBelief& belief) {
    require_positive(belief.a, "a");
    require_positive(belief.b, "b");
}

void check(const GammaBelief& belief) {
    require_positive(belief.shape, "shape");
    require_positive(belief.rate, "rate");
}

std::string row(const char* name, Eigen::Index i) { return std::string(name) + "[" + std::to_string(i) + "]"; }

}  // namespace

double BetaBelief::sd() const {
    check(*this);
    return std::sqrt(a * b / (a + b + 1)) / (a + b);
}

double BetaBelief::quantile(double p) const {
    check(*this);
    return detail::beta_quantile(a, b, require_inside(p, 0, 1, "p"));
}

BetaBelief BetaBelief::after(double successes, double trials) const {
    check(*this);
    require_not_negative(trials, "trials");
    require_between(successes, 0, trials, "successes");
    return {a + successes, b + trials - successes};
}

double GammaBelief::sd() const {
    check(*this);
    return std::sqrt(shape) / rate;
}

double GammaBelief::quantile(double p) const {
    check(*this);
    return detail::gamma_quantile(shape, require_inside(p, 0, 1, "p")) / rate;
}

GammaBelief GammaBelief::after(double events, double exposure) const {
    check(*this);
    return {shape + require_not_negative(events, "events"), rate + require_not_negative(exposure, "exposure")};
}

double NormalBelief::quantile(double p) const {
    return require_finite(mean, "mean") +
           require_positive(sd, "sd") * normal_quantile(require_inside(p, 0, 1, "p"));
}

NormalBelief NormalBelief::after(ConstColumn values, double error) const {
    require_finite(mean, "mean");
    require_positive(sd, "sd");
    require_positive(error, "error");
    double sum = 0;
    for (Eigen::Index i = 0; i < values.size(); ++i) sum += require_finite(values[i], row("values", i));
    if (values.size() == 0) return *this;
    // Precisions in units of the greater one, so that no square leaves the numbers.
    const double least = std::min(sd, error), before = (least / sd) * (least / sd), seen = (least / error) * (least / error);
    const double precision = before + static_cast<double>(values.size()) * seen;
    return {(mean * before + sum * seen) / precision, least / std::sqrt(precision)};
}

Column update_states(ConstColumn prior, ConstColumn likelihood, int times) {
    require_between(times, 0, 1e6, "times");
    if (likelihood.size() != prior.size())
        throw_value_error("likelihood", std::to_string(prior.size()) + " values, as many as prior",
                          std::to_string(likelihood.size()));
    double largest = 0;
    for (Eigen::Index i = 0; i < prior.size(); ++i) {
        require_not_negative(prior[i], row("prior", i));
        require_not_negative(likelihood[i], row("likelihood", i));
        if (prior[i] > 0) largest = std::max(largest, likelihood[i]);
    }
    if (!(prior.size() > 0 && prior.maxCoeff() > 0))
        throw_value_error("prior", "a state with probability > 0", "none");
    if (largest == 0) throw_value_error("likelihood", "a possible state that explains the evidence", "none");
    // Against the largest, so that many repeats do not underflow.
    Column posterior = prior * (likelihood / largest).pow(times);
    return posterior / posterior.sum();
}

}  // namespace libseal
