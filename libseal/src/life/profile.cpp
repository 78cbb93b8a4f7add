// Limits by the profile likelihood: one target is held, all else follows.

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>

#include "life/fitted_life.hpp"

namespace libseal::detail {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

/// Variables of the shift between ln scale and ln quantile: ln sigma, ln odds, ln early life, and the target itself.
using Shift = Dual<4>;
constexpr int target_variable = 3;

/// ln quantile = mu + shift.
Shift shift_of(const FitRecords& data, const VectorXd& at, double p, double target) {
    const FitLayout& layout = data.layout;
    if (p <= 0) return Shift(0.0);
    const Shift sigma = layout.log_sigma >= 0 ? exp_of(Shift::variable(at[layout.log_sigma], 0)) : Shift(1.0);
    switch (data.family) {
        case LifeFamily::lognormal: return sigma * Normal::quantile(p);
        case LifeFamily::loglogistic: return sigma * Logistic::quantile(p);
        case LifeFamily::exponential:
        case LifeFamily::weibull: return sigma * ExtremeValue::quantile(p);
        case LifeFamily::early_and_wear_out: break;
    }
    const Shift share = exp_of(Shift(-softplus(Shift(-Shift::variable(at[layout.log_odds], 1)))));
    const Shift age = exp_of(Shift(Shift::variable(target, target_variable) - Shift::variable(at[layout.log_early], 2)));
    const Shift early = -(share * expm1_of(Shift(-age)));
    const Shift worn = log1p_of(Shift(-early)) - std::log1p(-p);  // hazard that is left to wear-out
    return sigma * log_of(worn);                                   // NaN if early failures alone exceed p
}

/// Places of the variables of a shift among the parameters.
std::vector<int> shift_places(const FitRecords& data) { return {data.layout.log_sigma, data.layout.log_odds, data.layout.log_early}; }

/// The likelihood with the target held: a function of all parameters but one.
class HeldTarget {
public:
    HeldTarget(const FittedLife& life, const LimitTarget& target, SearchReporter& reporter)
        : life_(life), target_(target), reporter_(reporter), out_(target.coordinate >= 0 ? target.coordinate : 0) {}

    VectorXd without(const VectorXd& parameters) const {
        VectorXd rest(parameters.size() - 1);
        rest << parameters.head(out_), parameters.tail(parameters.size() - 1 - out_);
        return rest;
    }
    /// `along` becomes the slope of the likelihood along the target.
    void operator()(double held, const VectorXd& rest, CurvedValue& out, double& along) const {
        const Index size = rest.size() + 1;
        VectorXd at(size);
        at << rest.head(out_), held, rest.tail(size - 1 - out_);
        CurvedValue all;
        if (target_.coordinate >= 0) {
            evaluate(at, all);
            along = all.slope[out_];
            out.value = all.value;
            out.slope = without(all.slope);
            const MatrixXd some = drop_row(all.bend);
            out.bend = drop_row(some.transpose());
            return;
        }
        const Shift shift = shift_of(*life_.data, at, target_.p, held);
        VectorXd v = VectorXd::Zero(size - 1);  // slope of ln scale along the others
        MatrixXd bend = MatrixXd::Zero(size - 1, size - 1);
        v.head(target_.x.size() - 1) = -target_.x.tail(target_.x.size() - 1);
        const std::vector<int> places = shift_places(*life_.data);
        for (std::size_t a = 0; a < places.size(); ++a) {
            if (places[a] < 0) continue;
            v[places[a] - 1] -= shift.slope[static_cast<Index>(a)];
            for (std::size_t b = 0; b < places.size(); ++b)
                if (places[b] >= 0) bend(places[a] - 1, places[b] - 1) -= shift.bend(static_cast<Index>(a), static_cast<Index>(b));
        }
        at[0] = held - target_.x.tail(target_.x.size() - 1).dot(rest.head(target_.x.size() - 1)) - shift.value;
        if (!std::isfinite(at[0])) {
            out = CurvedValue{-std::numeric_limits<double>::infinity(), VectorXd::Zero(size - 1), MatrixXd::Zero(size - 1, size - 1)};
            return;
        }
        evaluate(at, all);
        along = all.slope[0] * (1 - shift.slope[target_variable]);
        out.value = all.value;
        out.slope = all.slope.tail(size - 1) + all.slope[0] * v;
        const VectorXd side = all.bend.col(0).tail(size - 1);
        out.bend = all.bend.bottomRightCorner(size - 1, size - 1) + side * v.transpose() + v * side.transpose() +
                   all.bend(0, 0) * v * v.transpose() + all.slope[0] * bend;
    }

private:
    void evaluate(const VectorXd& at, CurvedValue& all) const {
        reporter_.before_evaluation();
        (*life_.likelihood)(at, all, [this] { reporter_.within_evaluation(); });
    }
    MatrixXd drop_row(const MatrixXd& m) const {
        MatrixXd rest(m.rows() - 1, m.cols());
        rest << m.topRows(out_), m.bottomRows(m.rows() - 1 - out_);
        return rest;
    }
    const FittedLife& life_;
    const LimitTarget& target_;
    SearchReporter& reporter_;
    Index out_;
};

/// A point on the profile.
struct ProfilePoint {
    bool good = false;
    double held = 0;
    VectorXd rest{};
    double root = 0;   ///< square root of twice the fall
    double along = 0;  ///< slope of ln likelihood along the target
};

/// Walks out from the estimate until the fall is reached.
class ProfileWalk {
public:
    ProfileWalk(const FittedLife& life, const LimitTarget& target, double fall, int side, SearchReporter& reporter)
        : life_(life), target_(target), function_(life, target, reporter), wanted_(std::sqrt(fall)), side_(side) {
        VectorXd slope;
        centre_ = target_value(*life.data, life.at, target, slope);
        const VectorXd toward = life.covariance * slope;
        const double variance = slope.dot(toward);
        sd_ = std::sqrt(variance);
        tangent_ = function_.without(toward) / variance;
        near_ = {true, centre_, function_.without(life.at), 0, 0};
        bound_ = side > 0 ? target.highest : target.lowest;
    }

    TargetLimit limit() {
        const double furthest = std::fabs(bound_ - centre_);
        if (!(furthest > 0)) return {bound_, "unbounded"};
        double inside = 0, outside = -1, offset = std::min(sd_ * wanted_, furthest);
        int failures = 0;
        for (int step = 0; step < 80; ++step) {
            const ProfilePoint point = solve(offset);
            if (!point.good) {
                if (++failures > 12) break;
                offset = 0.5 * (inside + offset);
                continue;
            }
            if (std::fabs(point.root - wanted_) < 1e-8 * wanted_) return {point.held, "found"};
            const bool in = point.root < wanted_;
            if (in && offset >= furthest) return {bound_, "unbounded"};
            (in ? inside : outside) = offset;
            if (in || near_.root > wanted_) accept(point);
            if (outside >= 0 && outside - inside < 1e-12 * (1 + std::fabs(centre_) + outside)) return {point.held, "found"};
            offset = next(point, offset, inside, outside, furthest);
        }
        return {near_.held, "failed"};
    }

private:
    double next(const ProfilePoint& point, double offset, double inside, double outside, double furthest) const {
        const double steep = -side_ * point.along / std::max(point.root, 1e-12);
        double guess = steep > 0 ? offset + (wanted_ - point.root) / steep : 3 * offset;
        if (outside >= 0) {
            if (!(guess > inside && guess < outside)) guess = 0.5 * (inside + outside);
            return guess;
        }
        return std::min({std::max(guess, 1.05 * offset), 3 * offset, furthest});
    }
    void accept(const ProfilePoint& point) {
        if (point.held != near_.held) tangent_ = (point.rest - near_.rest) / (point.held - near_.held);
        near_ = point;
    }
    ProfilePoint solve(double offset) const {
        const double held = offset >= std::fabs(bound_ - centre_) ? bound_ : centre_ + side_ * offset;
        ProfilePoint point = from(held, near_.rest + (held - near_.held) * tangent_);
        return point.good ? point : from(held, near_.rest);
    }
    /// Where lives spread wide, ln scale and coefficients move far.
    VectorXd units(double held, const VectorXd& rest) const {
        const FitLayout& layout = life_.data->layout;
        if (layout.log_sigma < 0) return {};
        VectorXd all = VectorXd::Ones(rest.size() + 1);
        const bool spread_held = target_.coordinate == layout.log_sigma;
        const double log_sigma = spread_held ? held : rest[layout.log_sigma - (target_.coordinate < 0 || target_.coordinate < layout.log_sigma ? 1 : 0)];
        all.head(1 + layout.covariates).setConstant(std::max(1.0, std::exp(log_sigma)));
        return function_.without(all);
    }
    ProfilePoint from(double held, const VectorXd& start) const {
        ProfilePoint point;
        point.held = held;
        NewtonOptions options;
        options.gain = 1e-11;
        options.unit = units(held, start);
        const auto evaluate = [&](const VectorXd& rest, CurvedValue& out) {
            function_(held, rest, out, point.along);
        };
        const NewtonResult best = maximise(evaluate, start, options);
        // A supremum that lies at infinity is near enough once nothing is gained any more.
        point.good = best.converged || (std::isfinite(best.here.value) && best.promised < 1e-8);
        if (!point.good) return point;
        CurvedValue again;
        function_(held, best.at, again, point.along);
        point.rest = best.at;
        const double fall = 2 * (life_.log_likelihood - best.here.value);
        if (fall < -1e-5) point.good = false;  // higher than the estimate: another peak
        point.root = std::sqrt(std::max(fall, 0.0));
        return point;
    }

    const FittedLife& life_;
    const LimitTarget& target_;
    HeldTarget function_;
    double wanted_, side_;
    double centre_ = 0, sd_ = 0, bound_ = 0;
    VectorXd tangent_;
    ProfilePoint near_;
};

}  // namespace

double target_value(const FitRecords& data, const VectorXd& at, const LimitTarget& target, VectorXd& slope) {
    slope = VectorXd::Zero(at.size());
    if (target.coordinate >= 0) {
        slope[target.coordinate] = 1;
        return at[target.coordinate];
    }
    slope.head(target.x.size()) = target.x;
    if (target.p <= 0) return target.x.dot(at.head(target.x.size()));
    const double value = log_quantile(data, at, target.x, target.p);
    const Shift shift = shift_of(data, at, target.p, value);
    const std::vector<int> places = shift_places(data);
    for (std::size_t a = 0; a < places.size(); ++a)
        if (places[a] >= 0) slope[places[a]] += shift.slope[static_cast<Index>(a)];
    slope /= 1 - shift.slope[target_variable];
    return value;
}

TargetLimit profile_limit(const FittedLife& life, const LimitTarget& target, double fall, int side, SearchReporter& reporter) {
    return ProfileWalk(life, target, fall, side, reporter).limit();
}

}  // namespace libseal::detail
