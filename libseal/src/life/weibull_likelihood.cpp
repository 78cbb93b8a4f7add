#include "life/weibull_likelihood.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>
#include <vector>

#include "kernel/column_functions.hpp"

namespace libseal::detail {
namespace {

Column column_of(const std::vector<double>& values) {
    return Eigen::Map<const Column>(values.data(), static_cast<Eigen::Index>(values.size()));
}

/// ln(1 - e^-d), which is log_of_rest unless 1 - e^-d has lost digits.
double log_chance(double log_d, double d, double log_of_rest) {
    // The next term of the series is below 1e-15.
    if (d < 0.1) {
        const double dd = d * d;
        return log_d - d / 2 + dd / 24 - dd * dd / 2880 + dd * dd * dd / 181440;
    }
    return log_of_rest;
}

}  // namespace

WeibullLikelihood::WeibullLikelihood(const LifeData& data) {
    std::vector<std::pair<double, double>> rows;
    for (Eigen::Index i = 0; i < data.lower.size(); ++i) rows.emplace_back(data.lower[i], data.upper[i]);
    std::sort(rows.begin(), rows.end());
    std::vector<double> sound, sound_lives, upper, width, lives;
    for (std::size_t i = 0, end = 0; i < rows.size(); i = end) {
        const auto [from, to] = rows[i];
        while (end < rows.size() && rows[end] == rows[i]) ++end;
        const auto count = static_cast<double>(end - i);
        const double log_from = std::log(from);
        if (from == to) {
            exact_lives_ += count;
            exact_logs_ += count * log_from;
        } else if (std::isfinite(to)) {
            upper.push_back(std::log(to));
            width.push_back(from > 0 ? std::log1p((to - from) / from) : std::numeric_limits<double>::infinity());
            lives.push_back(count);
        }
        if (from == 0) continue;
        if (!sound.empty() && sound.back() == log_from) sound_lives.back() += count;
        else {
            sound.push_back(log_from);
            sound_lives.push_back(count);
        }
    }
    latest_ = sound.empty() ? 0 : sound.back();
    sound_ = column_of(sound);
    sound_lives_ = column_of(sound_lives);
    upper_ = column_of(upper);
    width_ = column_of(width);
    lives_ = column_of(lives);
}

WeibullLikelihood::AtShape::AtShape(const WeibullLikelihood& all, double shape)
    : all_(all), shape_(shape), exact_(all.exact_lives_ * std::log(shape) + (shape - 1) * all.exact_logs_) {
    if (all.sound_.size()) hazards_ = (all.sound_lives_ * exponential(shape * (all.sound_ - all.latest_))).sum();
    log_between_ = shape * all.upper_;
    for (Eigen::Index i = 0; i < log_between_.size(); ++i) log_between_[i] += std::log(-std::expm1(-shape * all.width_[i]));
}

double WeibullLikelihood::AtShape::operator()(double log_scale) const {
    double sum = exact_ - all_.exact_lives_ * shape_ * log_scale;
    if (all_.sound_.size()) sum -= hazards_ * std::exp(shape_ * (all_.latest_ - log_scale));
    if (log_between_.size()) {
        const Column log_d = log_between_ - shape_ * log_scale, d = exponential(log_d);
        const Column rest = logarithm((1 - exponential(-d)).max(1e-300));
        for (Eigen::Index i = 0; i < d.size(); ++i) sum += all_.lives_[i] * log_chance(log_d[i], d[i], rest[i]);
    }
    return std::isnan(sum) ? -std::numeric_limits<double>::infinity() : sum;
}

}  // namespace libseal::detail
