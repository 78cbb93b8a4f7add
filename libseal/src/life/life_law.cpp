#include "libseal/life/life_law.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "life/law_body.hpp"
#include "life/law_kinds.hpp"
#include "life/special.hpp"

namespace libseal {
namespace detail {
namespace {

struct WeibullBody final : LawBody {
    explicit WeibullBody(const Weibull& l) : life(l) {}
    double survival(double t) const override { return life.survival(t); }
    double density(double t) const override { return life.density(t); }
    double hazard(double t) const override { return life.hazard(t); }
    double area(double t) const override {
        const double x = std::pow(t / life.scale(), life.shape());
        if (x < 1e-17) return t;  // nothing has failed; powers of steep lives vanish long before the first failure
        if (std::isinf(x)) return life.mean();
        // Early, the lower function keeps the digits; late, the mean less what is still to be lived.
        return life.mean() * gamma_below(1 / life.shape(), x);
    }
    double mean() const override { return life.mean(); }
    double quantile(double p) const override { return life.quantile(p); }
    std::vector<std::string> names() const override { return {"scale", "shape"}; }
    std::vector<double> values() const override { return {life.scale(), life.shape()}; }
    std::shared_ptr<const LawBody> with(const std::vector<double>& v) const override {
        return std::make_shared<WeibullBody>(Weibull{v[0], v[1]});
    }
    Weibull life;
};

struct LognormalBody final : LawBody {
    explicit LognormalBody(const Lognormal& l) : life(l) {}
    double survival(double t) const override { return life.survival(t); }
    double density(double t) const override { return life.density(t); }
    double hazard(double t) const override { return life.hazard(t); }
    double area(double t) const override {
        const double z = std::log(t / life.median()) / life.sigma();
        return t * life.survival(t) + life.mean() * normal_probability(z - life.sigma());
    }
    double mean() const override { return life.mean(); }
    double quantile(double p) const override { return life.quantile(p); }
    std::vector<std::string> names() const override { return {"median", "sigma"}; }
    std::vector<double> values() const override { return {life.median(), life.sigma()}; }
    std::shared_ptr<const LawBody> with(const std::vector<double>& v) const override {
        return std::make_shared<LognormalBody>(Lognormal{v[0], v[1]});
    }
    Lognormal life;
};

struct ExponentialBody final : LawBody {
    explicit ExponentialBody(double m) : mean_time(require_positive(m, "mean")) {}
    double survival(double t) const override { return std::exp(-t / mean_time); }
    double density(double t) const override { return std::exp(-t / mean_time) / mean_time; }
    double hazard(double) const override { return 1 / mean_time; }
    double area(double t) const override { return -mean_time * std::expm1(-t / mean_time); }
    double mean() const override { return mean_time; }
    double quantile(double p) const override { return -mean_time * std::log1p(-p); }
    std::vector<std::string> names() const override { return {"mean"}; }
    std::vector<double> values() const override { return {mean_time}; }
    std::shared_ptr<const LawBody> with(const std::vector<double>& v) const override {
        return std::make_shared<ExponentialBody>(v[0]);
    }
    double mean_time;
};

struct UniformBody final : LawBody {
    UniformBody(double l, double h) : low(require_not_negative(l, "low")), high(require_positive(h, "high")) {
        if (high <= low) throw_value_error("high", "a time above low = " + number_text(low), number_text(high));
    }
    double survival(double t) const override { return std::clamp((high - t) / (high - low), 0.0, 1.0); }
    double density(double t) const override { return t < low || t > high ? 0 : 1 / (high - low); }
    double area(double t) const override {
        if (t <= low) return t;
        const double into = std::min(t, high) - low;
        return low + into - 0.5 * into * into / (high - low);
    }
    double mean() const override { return 0.5 * (low + high); }
    double quantile(double p) const override { return low + p * (high - low); }
    bool smooth() const override { return false; }
    std::vector<std::string> names() const override { return {"low", "high"}; }
    std::vector<double> values() const override { return {low, high}; }
    std::shared_ptr<const LawBody> with(const std::vector<double>& v) const override {
        return std::make_shared<UniformBody>(v[0], v[1]);
    }
    double low, high;
};

std::size_t place_of(const LawBody& body, const std::string& name) {
    const auto names = body.names();
    const auto at = std::find(names.begin(), names.end(), name);
    if (at == names.end()) {
        std::string known;
        for (const auto& n : names) known += (known.empty() ? "" : ", ") + n;
        throw_value_error("name", "one of " + known, name);
    }
    return static_cast<std::size_t>(at - names.begin());
}

}  // namespace

double LawBody::hazard(double t) const {
    const double left = survival(t);
    return left > 0 ? density(t) / left : INFINITY;
}

double LawBody::quantile(double p) const {
    double low = 0, high = mean();
    while (survival(high) > 1 - p && high < 1e300) high *= 2;
    for (int k = 0; k < 200; ++k) {
        const double middle = 0.5 * (low + high);
        if (middle <= low || middle >= high) break;
        (survival(middle) > 1 - p ? low : high) = middle;
    }
    return high;
}

}  // namespace detail

namespace {
/// @throws ValueError  for a spread so wide that the mean has no number.
std::shared_ptr<const detail::LawBody> with_mean(std::shared_ptr<const detail::LawBody> body) {
    if (!std::isfinite(body->mean()) || !(body->mean() > 0))
        throw_value_error("life", "a life with a finite mean > 0", number_text(body->mean()), "the spread is too wide to plan by");
    return body;
}
}  // namespace

LifeLaw::LifeLaw(const Weibull& life) : body_(with_mean(std::make_shared<detail::WeibullBody>(life))) {}
LifeLaw::LifeLaw(const Lognormal& life) : body_(with_mean(std::make_shared<detail::LognormalBody>(life))) {}
LifeLaw::LifeLaw(std::function<double(double)> survival, std::function<double(double)> density)
    : body_(detail::formula_body(std::move(survival), std::move(density))) {}

LifeLaw LifeLaw::exponential(double mean) { return LifeLaw(std::make_shared<detail::ExponentialBody>(mean)); }
LifeLaw LifeLaw::uniform(double low, double high) { return LifeLaw(std::make_shared<detail::UniformBody>(low, high)); }
LifeLaw LifeLaw::table(ConstColumn age, ConstColumn survival) { return LifeLaw(detail::table_body(age, survival)); }

double LifeLaw::survival(double t) const { return t <= 0 ? 1 : std::isinf(t) ? 0 : body_->survival(t); }
double LifeLaw::density(double t) const { return t < 0 || std::isinf(t) ? 0 : body_->density(t); }
double LifeLaw::hazard(double t) const { return t < 0 ? 0 : body_->hazard(t); }
double LifeLaw::area(double t) const { return t <= 0 ? 0 : std::isinf(t) ? mean() : std::min(body_->area(t), mean()); }
double LifeLaw::mean() const { return body_->mean(); }
double LifeLaw::quantile(double p) const { return body_->quantile(require_inside(p, 0, 1, "p")); }
double LifeLaw::horizon() const { return body_->quantile(1 - 1e-12); }
bool LifeLaw::smooth() const { return body_->smooth(); }

std::vector<std::string> LifeLaw::parameter_names() const { return body_->names(); }
double LifeLaw::parameter(const std::string& name) const { return body_->values()[detail::place_of(*body_, name)]; }
LifeLaw LifeLaw::with_parameter(const std::string& name, double value) const {
    auto values = body_->values();
    values[detail::place_of(*body_, name)] = value;
    return LifeLaw(with_mean(body_->with(values)));
}

}  // namespace libseal
