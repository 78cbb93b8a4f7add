// From records to the maximum of their likelihood, or to the reason why there is none.

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>

#include "libseal/core/text.hpp"
#include "life/fitted_life.hpp"

namespace libseal::detail {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double widest = 300;  // standard error on the inner scale beyond which nothing is known

/// ln of the exponential life with as many failures in as much time, which is near enough to start from.
double first_log_scale(const FitRecords& data) {
    double time = 0, failures = 0;
    for (const LifeRow& row : data.rows) {
        const bool ends = row.upper.t > 0;
        const double until = ends ? (row.lower.t > 0 ? 0.5 * (row.lower.t + row.upper.t) : 0.5 * row.upper.t) : row.lower.t;
        time += row.weight * (until - row.entry.t);
        if (ends) failures += row.weight;
    }
    return std::log(std::max(time, 1e-300) / std::max(failures, 0.5));
}

/// The same records without what the plain family has no parameter for.
FitRecords plain_records(const FitRecords& data) {
    FitRecords plain = data;
    if (data.family == LifeFamily::early_and_wear_out) plain.family = LifeFamily::weibull;
    plain.group_end.clear();
    plain.layout = FitLayout{};
    plain.layout.covariates = data.layout.covariates;
    plain.layout.size = 1 + data.layout.covariates;
    if (data.family != LifeFamily::exponential) plain.layout.log_sigma = plain.layout.size++;
    if (data.layout.detection >= 0 && data.detection == 1) plain.detection = 0.9;
    return plain;
}

double value_at(const VectorXd& at, int place) { return place >= 0 ? at[place] : 0; }

CurvedFunction watched(const Likelihood& function, SearchReporter& reporter) {
    return [&](const VectorXd& at, CurvedValue& out) {
        reporter.before_evaluation();
        function(at, out, [&] { reporter.within_evaluation(); });
    };
}

/// Of many records the peak of a few, spread evenly over them: near enough that two or three steps through all are left.
VectorXd sampled_start(const FitRecords& data, const VectorXd& start, const FitOptions& options, SearchReporter& reporter) {
    constexpr std::size_t many = 20000, few = 4000;
    const std::size_t stride = data.rows.size() / few;
    if (data.rows.size() < many) return start;
    auto sample = std::make_shared<FitRecords>();
    sample->family = data.family;
    sample->layout = data.layout;
    sample->detection = data.detection;
    for (std::size_t i = stride / 2; i < data.rows.size(); i += stride) sample->rows.push_back(data.rows[i]);
    sample->design.resize(static_cast<Index>(sample->rows.size()), data.design.cols());
    for (std::size_t k = 0; k < sample->rows.size(); ++k)
        sample->design.row(static_cast<Index>(k)) = data.design.row(static_cast<Index>(stride / 2 + k * stride));
    const Likelihood function(sample, options.nodes, options.threads);
    const NewtonResult end = maximise(watched(function, reporter), start);
    return end.converged ? end.at : start;
}

/// Parameters of the full layout from those of the plain one.
VectorXd widened(const FitRecords& data, const VectorXd& plain) {
    const FitLayout& layout = data.layout;
    VectorXd at = VectorXd::Zero(layout.size);
    at.head(1 + layout.covariates) = plain.head(1 + layout.covariates);
    if (layout.log_sigma >= 0) at[layout.log_sigma] = plain[1 + layout.covariates];
    if (layout.detection >= 0) {
        const double p = data.detection < 1 ? data.detection : 0.9;
        at[layout.detection] = std::log(p / (1 - p));
    }
    return at;
}

/// Ages of failures, ascending.
std::vector<double> failure_ages(const FitRecords& data) {
    std::vector<double> ages;
    for (const LifeRow& row : data.rows)
        if (row.upper.t > 0) ages.push_back(row.lower.t > 0 ? std::sqrt(row.lower.t * row.upper.t) : 0.5 * row.upper.t);
    std::sort(ages.begin(), ages.end());
    return ages;
}

/// Where a search for the full model may start.
std::vector<VectorXd> starts(const FitRecords& data, const VectorXd& plain) {
    const FitLayout& layout = data.layout;
    std::vector<VectorXd> all{widened(data, plain)};
    if (layout.group_sd >= 0) {
        const double sigma = std::exp(value_at(all[0], layout.log_sigma));
        const VectorXd base = all[0];
        all.clear();
        for (const double share : {0.5, 0.1, 1.5}) {
            all.push_back(base);
            all.back()[layout.group_sd] = share * sigma;
        }
    }
    if (data.family != LifeFamily::early_and_wear_out) return all;
    const std::vector<double> ages = failure_ages(data);
    const auto part = [&](double p) { return ages[static_cast<std::size_t>(p * static_cast<double>(ages.size() - 1))]; };
    std::vector<VectorXd> early;
    for (const VectorXd& base : all)
        for (const double share : {0.05, 0.3})
            for (const double p : {0.05, 0.2})
                for (const double shape : {1.5, 4.0}) {
                    early.push_back(base);
                    early.back()[layout.log_odds] = std::log(share / (1 - share));
                    early.back()[layout.log_early] = std::log(std::max(part(p), 1e-3 * part(0.5)));
                    early.back()[layout.log_sigma] = -std::log(shape);
                }
    return early;
}

/// Inverse of the information; empty if the likelihood does not bend down in every direction.
MatrixXd covariance_of(const MatrixXd& bend) {
    const MatrixXd down = -bend;
    const VectorXd scale = down.diagonal().cwiseMax(1e-300).cwiseSqrt().cwiseInverse();
    const Eigen::LLT<MatrixXd> factor(scale.asDiagonal() * down * scale.asDiagonal());
    if (factor.info() != Eigen::Success || !(down.diagonal().minCoeff() > 0)) return {};
    const MatrixXd inverse = factor.solve(MatrixXd::Identity(down.rows(), down.cols()));
    return scale.asDiagonal() * inverse * scale.asDiagonal();
}

/// Why a search came to no end: the parameter that left, in the words of the data.
FitDiagnosis cause_of_flight(const FitRecords& data, const NewtonResult& end, const VectorXd& start) {
    const FitLayout& layout = data.layout;
    const MatrixXd covariance = covariance_of(end.here.bend);
    const bool late = std::any_of(data.rows.begin(), data.rows.end(), [](const LifeRow& row) { return row.late; });
    if (layout.log_sigma >= 0 && end.at[layout.log_sigma] > std::max(late ? 1.5 : 3.0, start[layout.log_sigma] + 1.5))
        return {"shape_vanishes", late ? "after the late entries the rate of failure falls like 1/age or faster: the shape falls to 0"
                                       : "late looks find no more failures than early ones: the shape falls to 0"};
    if (layout.detection >= 0 && end.at[layout.detection] > 8)
        return {"detection_certain", "no history of looks speaks for a missed defect: the chance of detection rises to 1; fit with detection=1"};
    if (layout.detection >= 0 && end.at[layout.detection] < -8)
        return {"detection_nil", "looks do not find more than if they found nothing: the chance of detection falls to 0"};
    if (data.family == LifeFamily::early_and_wear_out)
        return {"no_early_part", "the failures show no early part that can be told from wear-out: fit the Weibull life"};
    Index worst = 0;
    if (covariance.size()) covariance.diagonal().maxCoeff(&worst);
    else (end.at - start).cwiseAbs().maxCoeff(&worst);
    return {"not_identified", "the likelihood has no maximum within reach: " + number_text(data.failures) + " failures do not tell \"" +
                                  coordinate_names(data)[static_cast<std::size_t>(worst)] + "\""};
}

bool sound(const NewtonResult& end) {
    if (!end.converged) return false;
    const MatrixXd covariance = covariance_of(end.here.bend);
    return covariance.size() && covariance.diagonal().maxCoeff() < widest * widest;
}

/// A peak with an early part that is one: some share, over before wear-out.
bool acceptable(const FitRecords& data, const NewtonResult& end) {
    if (!sound(end)) return false;
    if (data.family != LifeFamily::early_and_wear_out) return true;
    const FitLayout& layout = data.layout;
    // A spike of wear-out on one exact age is a flaw of such likelihoods, not an answer.
    return std::fabs(end.at[layout.log_odds]) < 12 && end.at[layout.log_sigma] > -5 &&
           end.at[layout.log_early] < log_quantile(data, end.at, VectorXd::Unit(1 + layout.covariates, 0), 0.5) + 0.7;
}

NewtonResult best_of(const FitRecords& data, const CurvedFunction& function, const std::vector<VectorXd>& from) {
    NewtonResult best;
    for (const VectorXd& start : from) {
        NewtonResult end = maximise(function, start);
        const bool good = acceptable(data, end), had = acceptable(data, best);
        if (best.at.size() == 0 || (good && !had) || (good == had && end.here.value > best.here.value + 1e-9)) best = std::move(end);
        // Without an early part the first peak is the only one.
        if (data.family != LifeFamily::early_and_wear_out && acceptable(data, best)) break;
    }
    return best;
}

void settle(FittedLife& life, const VectorXd& at, const CurvedValue& here) {
    life.converged = true;
    life.at = at;
    life.log_likelihood = here.value;
    life.covariance = covariance_of(here.bend);
    life.gradient = here.slope.cwiseProduct(life.covariance.diagonal().cwiseSqrt()).cwiseAbs().maxCoeff();
}

/// The effect of groups may be nothing: then the peak lies at 0, where the slope vanishes by symmetry.
bool settle_without_effect(FittedLife& life, const NewtonResult& plain, const NewtonResult& end, SearchReporter& reporter) {
    const FitLayout& layout = life.data->layout;
    if (layout.group_sd < 0 || layout.detection >= 0 || layout.log_odds >= 0) return false;
    const double gain = end.here.value - plain.here.value;
    if (acceptable(*life.data, end) && std::fabs(end.at[layout.group_sd]) > 1e-4 && gain > 1e-9) return false;
    VectorXd at = widened(*life.data, plain.at);
    CurvedValue here;
    watched(*life.likelihood, reporter)(at, here);
    if (!covariance_of(here.bend).size()) return false;
    settle(life, at, here);
    life.notes.push_back("the groups differ no more than chance explains: group_sd is 0");
    return true;
}

}  // namespace

std::vector<std::string> coordinate_names(const FitRecords& data) {
    std::vector<std::string> names(static_cast<std::size_t>(data.layout.size), "log_scale");
    for (int j = 0; j < data.layout.covariates; ++j) names[static_cast<std::size_t>(1 + j)] = data.names[static_cast<std::size_t>(j)];
    const auto put = [&](int place, const char* name) {
        if (place >= 0) names[static_cast<std::size_t>(place)] = name;
    };
    put(data.layout.log_sigma, "log_sigma");
    put(data.layout.log_odds, "early_log_odds");
    put(data.layout.log_early, "log_early_life");
    put(data.layout.detection, "detection_log_odds");
    put(data.layout.group_sd, "group_sd");
    return names;
}

FittedLife search_life(std::shared_ptr<const FitRecords> data, const FitOptions& options) {
    SearchReporter reporter(options.watch, "fit of lives");
    FittedLife life;
    life.data = data;
    life.distribution = options.distribution;
    life.diagnosis = cause_in_records(*data);
    if (life.diagnosis.cause.empty()) life.diagnosis = cause_by_direction(*data);
    if (!life.diagnosis.cause.empty()) return life;
    const auto likelihood = std::make_shared<const Likelihood>(data, options.nodes, options.threads);
    life.likelihood = likelihood;

    const FitLayout& layout = data->layout;
    const bool plain_enough = layout.group_sd < 0 && layout.detection < 0 && data->family != LifeFamily::early_and_wear_out;
    VectorXd start = VectorXd::Zero(layout.size);
    start[0] = first_log_scale(*data);
    NewtonResult plain, end;
    if (plain_enough) {
        const VectorXd near = sampled_start(*data, start, options, reporter);
        end = best_of(*data, watched(*likelihood, reporter), {near});
    } else {
        const auto simple = std::make_shared<const FitRecords>(plain_records(*data));
        const Likelihood function(simple, options.nodes, options.threads);
        start = VectorXd::Zero(simple->layout.size);
        start[0] = first_log_scale(*data);
        plain = best_of(*simple, watched(function, reporter), {start});
        if (!sound(plain)) {
            life.diagnosis = cause_of_flight(*simple, plain, start);
            return life;
        }
        const auto from = starts(*data, plain.at);
        end = best_of(*data, watched(*likelihood, reporter), from);
        start = from[0];
        if (settle_without_effect(life, plain, end, reporter)) return life;
        // The sign of an effect means nothing.
        if (layout.group_sd >= 0 && end.at[layout.group_sd] < 0) {
            end.at[layout.group_sd] *= -1;
            watched(*likelihood, reporter)(end.at, end.here);
        }
    }
    if (acceptable(*data, end)) settle(life, end.at, end.here);
    else life.diagnosis = cause_of_flight(*data, end, start);
    return life;
}

}  // namespace libseal::detail
