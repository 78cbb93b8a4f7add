// Answers of a fitted life.

#include "libseal/life/fit.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/problem.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/core/require.hpp"
#include "life/fitted_life.hpp"
#include "life/special.hpp"

namespace libseal {
namespace {

using detail::FittedLife;
using detail::LifeFamily;
using detail::LimitTarget;
using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double infinity = std::numeric_limits<double>::infinity();

/// From a coordinate to what people read, and back to how far limits are looked for.
enum class ParameterForm { logarithm, negative_logarithm, log_odds, plain, size };

struct NamedParameter {
    std::string name;
    LimitTarget target;
    ParameterForm form = ParameterForm::plain;
    double unit = 1;  ///< of a plain one, in inner units
};

double shown(const NamedParameter& parameter, double coordinate) {
    switch (parameter.form) {
        case ParameterForm::logarithm: return std::exp(coordinate);
        case ParameterForm::negative_logarithm: return std::exp(-coordinate);
        case ParameterForm::log_odds: return 1 / (1 + std::exp(-coordinate));
        case ParameterForm::plain: return coordinate / parameter.unit;
        case ParameterForm::size: break;
    }
    return std::max(coordinate, 0.0);
}

/// End of the range of a parameter.
double range_end(const NamedParameter& parameter, bool high) {
    switch (parameter.form) {
        case ParameterForm::log_odds: return high ? 1 : 0;
        case ParameterForm::plain: return high ? infinity : -infinity;
        default: return high ? infinity : 0;
    }
}

LimitTarget coordinate(const FittedLife& life, int place, double reach) {
    LimitTarget target;
    target.coordinate = place;
    target.lowest = life.at[place] - reach;
    target.highest = life.at[place] + reach;
    return target;
}

/// With late entries a life that spreads without end turns into one whose rate falls like 1/age: there ln scale runs away, and
/// nothing more can be learnt.
LimitTarget spread(const FittedLife& life) {
    const int place = life.data->layout.log_sigma;
    LimitTarget target = coordinate(life, place, 12);
    const bool late = std::any_of(life.data->rows.begin(), life.data->rows.end(), [](const auto& row) { return row.late; });
    if (late) target.highest = std::max(2.5, life.at[place] + 1);
    return target;
}

LimitTarget location(const FittedLife& life, const VectorXd& x, double p) {
    LimitTarget target;
    target.x = x;
    target.p = p;
    VectorXd slope;
    const double here = target_value(*life.data, life.at, target, slope);
    target.lowest = here - 40;
    target.highest = here + 40;
    return target;
}

/// All parameters in the order in which they are shown.
std::vector<NamedParameter> named_parameters(const FittedLife& life) {
    const auto& data = *life.data;
    const auto& layout = data.layout;
    const bool lognormal = data.family == LifeFamily::lognormal;
    std::vector<NamedParameter> all;
    const Column origin = Column::Zero(layout.covariates);
    all.push_back({lognormal ? "median" : "scale", location(life, inner_covariates(data, origin), 0), ParameterForm::logarithm});
    if (layout.log_sigma >= 0)
        all.push_back({lognormal ? "sigma" : "shape", spread(life),
                       lognormal ? ParameterForm::logarithm : ParameterForm::negative_logarithm});
    for (int j = 0; j < layout.covariates; ++j)
        all.push_back({data.names[static_cast<std::size_t>(j)], coordinate(life, 1 + j, 40), ParameterForm::plain, data.spread[j]});
    if (layout.log_odds >= 0) {
        all.push_back({"early_share", coordinate(life, layout.log_odds, 25), ParameterForm::log_odds});
        all.push_back({"early_life", coordinate(life, layout.log_early, 25), ParameterForm::logarithm});
    }
    if (layout.detection >= 0) all.push_back({"detection", coordinate(life, layout.detection, 25), ParameterForm::log_odds});
    if (layout.group_sd >= 0) {
        LimitTarget target = coordinate(life, layout.group_sd, 20);
        target.lowest = 0;
        all.push_back({"group_sd", target, ParameterForm::size});
    }
    return all;
}

FitLimits limits_of(const FittedLife& life, const NamedParameter& parameter, double confidence, const std::string& method, const Watch& watch) {
    require_inside(confidence, 0, 1, "confidence");
    if (method != "profile" && method != "wald") throw_value_error("method", "profile or wald", "\"" + method + "\"");
    VectorXd slope;
    const double here = target_value(*life.data, life.at, parameter.target, slope);
    const double wide = normal_quantile(0.5 + 0.5 * confidence);
    detail::SearchReporter reporter(watch, "limits");
    const auto end = [&](int side) -> FitLimit {
        const bool high = parameter.form == ParameterForm::negative_logarithm ? side < 0 : side > 0;
        if (method == "wald") {
            const double at = here + side * wide * std::sqrt(slope.dot(life.covariance * slope));
            if (parameter.form == ParameterForm::size && !(at > 0)) return {0, "unbounded"};
            return {shown(parameter, at), "found"};
        }
        const detail::TargetLimit limit = profile_limit(life, parameter.target, wide * wide, side, reporter);
        if (limit.state == "unbounded") return {range_end(parameter, high), limit.state};
        return {shown(parameter, limit.value), limit.state};
    };
    FitLimits limits;
    limits.estimate = shown(parameter, here);
    const int low = parameter.form == ParameterForm::negative_logarithm ? 1 : -1;
    limits.low = end(low);
    limits.high = end(-low);
    return limits;
}

MatrixXd outer_covariance(const FittedLife& life) {
    const MatrixXd outer = outer_from_inner(*life.data);
    return outer * life.covariance * outer.transpose();
}

/// Narrower family first; 0 for those that contain none.
bool contains(const std::string& wide, const std::string& narrow) {
    if (wide == narrow) return true;
    if (narrow == "exponential") return wide == "weibull" || wide == "early_and_wear_out";
    return narrow == "weibull" && wide == "early_and_wear_out";
}

/// Whether looks miss as much under `wide` as under `narrow`, or as much as `wide` estimates.
bool holds_looks(const detail::FitRecords& wide, const detail::FitRecords& narrow) {
    const auto given = [](const detail::FitRecords& data) { return data.looks.empty() ? 1.0 : data.detection; };
    const bool misses = narrow.layout.detection >= 0 || given(narrow) < 1;
    if (misses && narrow.look_fingerprint != wide.look_fingerprint) return false;
    return wide.layout.detection >= 0 || given(narrow) == given(wide);
}

/// @throws ValueError  if a parameter of `narrow` means something else in `wide`, or is missing there.
void check_nested(const LifeFit& narrow, const LifeFit& wide) {
    const auto &a = *narrow.state().data, &b = *wide.state().data;
    if (a.fingerprint != b.fingerprint) throw_value_error("wide", "a fit to the same records as narrow", "other records");
    if (!contains(wide.distribution(), narrow.distribution()))
        throw_value_error("wide", "a family that holds " + narrow.distribution() + " as a special case", wide.distribution());
    const std::vector<std::string> more = wide.coordinates();
    for (const std::string& name : narrow.coordinates())
        if (std::find(more.begin(), more.end(), name) == more.end())
            throw_value_error("wide", "a fit with all parameters of narrow", "one without \"" + name + "\"");
    for (std::size_t j = 0; j < a.names.size(); ++j) {
        const auto place = static_cast<std::size_t>(std::find(b.names.begin(), b.names.end(), a.names[j]) - b.names.begin());
        if (a.covariate_fingerprint[j] != b.covariate_fingerprint[place])
            throw_value_error("wide", "a fit with the values that narrow has of \"" + a.names[j] + "\"", "others");
    }
    if (a.layout.group_sd >= 0 && a.group_fingerprint != b.group_fingerprint) throw_value_error("wide", "a fit with the groups of narrow", "others");
    if (!holds_looks(b, a)) throw_value_error("wide", "a fit with the looks of narrow and its chance of detection, given or estimated", "others");
}

}  // namespace

LifeFit::LifeFit(std::shared_ptr<const FittedLife> state) : state_(std::move(state)) {}

const FittedLife& LifeFit::fitted() const {
    if (state_->converged) return *state_;
    throw StateError(detail::field_problem("fit_life", "records that determine a life", state_->diagnosis.sentence));
}

bool LifeFit::converged() const { return state_->converged; }
const std::string& LifeFit::cause() const { return state_->diagnosis.cause; }
const std::string& LifeFit::sentence() const { return state_->diagnosis.sentence; }
const std::vector<std::string>& LifeFit::notes() const { return state_->notes; }
const std::string& LifeFit::distribution() const { return state_->distribution; }
double LifeFit::records() const { return state_->data->records; }
double LifeFit::failures() const { return state_->data->failures; }
double LifeFit::log_likelihood() const { return fitted().log_likelihood; }
double LifeFit::aic() const { return 2 * (static_cast<double>(fitted().at.size()) - fitted().log_likelihood); }
double LifeFit::gradient() const { return fitted().gradient; }

std::vector<std::pair<std::string, double>> LifeFit::parameters() const {
    const FittedLife& life = fitted();
    std::vector<std::pair<std::string, double>> values;
    VectorXd slope;
    for (const NamedParameter& parameter : named_parameters(life))
        values.emplace_back(parameter.name, shown(parameter, target_value(*life.data, life.at, parameter.target, slope)));
    return values;
}

std::vector<std::string> LifeFit::coordinates() const { return coordinate_names(*state_->data); }

Column LifeFit::estimate() const { return (outer_from_inner(*fitted().data) * fitted().at).array(); }

Eigen::ArrayXXd LifeFit::covariance() const { return outer_covariance(fitted()).array(); }

Eigen::ArrayXXd LifeFit::covariance_location_scale() const {
    const FittedLife& life = fitted();
    const auto& layout = life.data->layout;
    VectorXd slope = VectorXd::Ones(life.at.size());
    if (layout.log_sigma >= 0) slope[layout.log_sigma] = std::exp(life.at[layout.log_sigma]);
    for (const int place : {layout.log_odds, layout.detection}) {
        if (place < 0) continue;
        const double share = 1 / (1 + std::exp(-life.at[place]));
        slope[place] = share * (1 - share);
    }
    return (slope.asDiagonal() * outer_covariance(life) * slope.asDiagonal()).array();
}

double LifeFit::survival(double t, ConstColumn covariates) const {
    const FittedLife& life = fitted();
    const VectorXd x = inner_covariates(*life.data, covariates);
    if (!(t > 0)) return require_between(t, -infinity, 0, "t") <= 0 ? 1 : 0;
    if (std::isinf(t)) return 0;
    return with_life(*life.data, life.at, x.dot(life.at.head(x.size())),
                     [&](const auto& curve) { return std::exp(curve.log_survival({t, std::log(t)})); });
}

double LifeFit::density(double t, ConstColumn covariates) const {
    const FittedLife& life = fitted();
    const VectorXd x = inner_covariates(*life.data, covariates);
    if (!(t > 0)) return require_between(t, -infinity, 0, "t") <= 0 ? 0 : 1;
    if (std::isinf(t)) return 0;
    return with_life(*life.data, life.at, x.dot(life.at.head(x.size())),
                     [&](const auto& curve) { return std::exp(curve.log_density({t, std::log(t)})); });
}

double LifeFit::hazard(double t, ConstColumn covariates) const {
    const FittedLife& life = fitted();
    const VectorXd x = inner_covariates(*life.data, covariates);
    require_finite(t, "t");
    if (t <= 0) return 0;
    return with_life(*life.data, life.at, x.dot(life.at.head(x.size())),
                     [&](const auto& curve) { return std::exp(curve.log_hazard({t, std::log(t)})); });
}

double LifeFit::quantile(double p, ConstColumn covariates) const {
    const FittedLife& life = fitted();
    require_inside(p, 0, 1, "p");
    return std::exp(log_quantile(*life.data, life.at, inner_covariates(*life.data, covariates), p));
}

double LifeFit::survival_over_groups(double t, ConstColumn covariates) const {
    const FittedLife& life = fitted();
    const int place = life.data->layout.group_sd;
    if (place < 0 || !(t > 0) || std::isinf(t)) return survival(t, covariates);
    const VectorXd x = inner_covariates(*life.data, covariates);
    const double mu = x.dot(life.at.head(x.size()));
    const Quadrature rule = normal_trapezoid();
    double sum = 0;
    for (Index q = 0; q < rule.node.size(); ++q)
        sum += rule.weight[q] * with_life(*life.data, life.at, mu + life.at[place] * rule.node[q],
                                          [&](const auto& curve) { return std::exp(curve.log_survival({t, std::log(t)})); });
    return sum;
}

FitLimits LifeFit::limits(const std::string& name, double confidence, const std::string& method, const Watch& watch) const {
    const FittedLife& life = fitted();
    std::vector<std::string> known;
    for (const NamedParameter& parameter : named_parameters(life)) {
        if (parameter.name == name) return limits_of(life, parameter, confidence, method, watch);
        known.push_back(parameter.name);
    }
    throw_value_error("name", "one of " + detail::quoted_list(known), "\"" + name + "\"");
}

FitLimits LifeFit::quantile_limits(double p, ConstColumn covariates, double confidence, const std::string& method, const Watch& watch) const {
    const FittedLife& life = fitted();
    require_inside(p, 0, 1, "p");
    return limits_of(life, {"quantile", location(life, inner_covariates(*life.data, covariates), p), ParameterForm::logarithm},
                     confidence, method, watch);
}

LifeFit fit_life(ConstColumn lower, ConstColumn upper, const FitOptions& options) {
    auto data = std::make_shared<const detail::FitRecords>(detail::fit_records(lower, upper, options));
    return LifeFit(std::make_shared<const FittedLife>(detail::search_life(std::move(data), options)));
}

LikelihoodRatio likelihood_ratio_test(const LifeFit& narrow, const LifeFit& wide) {
    const auto &a = *narrow.state().data, &b = *wide.state().data;
    LikelihoodRatio ratio;
    const double gain = wide.log_likelihood() - narrow.log_likelihood();
    check_nested(narrow, wide);
    ratio.freedom = b.layout.size - a.layout.size;
    if (ratio.freedom <= 0) throw_value_error("wide", "a fit with more parameters than narrow", "as many");
    ratio.statistic = std::max(0.0, 2 * gain);
    ratio.p = detail::gamma_above(0.5 * ratio.freedom, 0.5 * ratio.statistic);
    // A standard deviation cannot fall below 0: half of the chance lies there. (Self & Liang 1987, from memory)
    const bool group_alone = ratio.freedom == 1 && b.layout.group_sd >= 0 && a.layout.group_sd < 0;
    if (group_alone) ratio.p = ratio.statistic > 0 ? 0.5 * ratio.p : 1;
    return ratio;
}

}  // namespace libseal
