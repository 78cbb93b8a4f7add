#include "forecast/appearance.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "forecast/grade_sum.hpp"

namespace libseal::detail {
namespace {

constexpr int half = 20;          // nodes of ln(life) on each side
constexpr double reach = 5.0;     // [sd]
constexpr double highest = 2.49;  // appearance alone is never graded above 2

constexpr double worst = 2.0;     // of an expected grade

double z_node(Eigen::Index z) { return reach * static_cast<double>(z - half) / half; }

}  // namespace

void AppearanceModel::ready(const LifePrior& prior) {
    worn.resize(2 * half + 1, prior.effect_count());
    for (Eigen::Index z = 0; z < worn.rows(); ++z)
        for (int k = 0; k < prior.effect_count(); ++k) worn(z, k) = std::exp(effect * prior.effect_node(k) - log_sd * z_node(z));
}

AppearanceBelief::AppearanceBelief(const AppearanceModel& model, const LifePrior& prior, double life)
    : model_(&model), prior_(&prior), life_(life), seen_(2 * half + 1, prior.effect_count()) {
    for (Eigen::Index z = 0; z < seen_.rows(); ++z) seen_.row(z) = std::exp(-0.5 * z_node(z) * z_node(z));
    seen_ /= seen_.col(0).sum();
}

double AppearanceBelief::grade(double age, Eigen::Index z, int k) const {
    return std::min(highest, grade_of_worn_share(model_->scale, std::max(0.0, age) / life_ * model_->worn(z, k)));
}

void AppearanceBelief::see(const Look& look, double age) {
    if (age <= 0) return;
    double last = std::numeric_limits<double>::quiet_NaN(), chance = 0;  // many nodes are as bad as they can look
    for (Eigen::Index z = 0; z < seen_.rows(); ++z)
        for (int k = 0; k < prior_->effect_count(); ++k) {
            const double now = grade(age, z, k);
            if (now != last) chance = look_chance(look, model_->scale, last = now);
            seen_(z, k) *= chance;
        }
    seen_ /= seen_.maxCoeff();
}

Column AppearanceBelief::effect_likelihood() const {
    const Column likelihood = seen_.colwise().sum().transpose();
    return likelihood / likelihood.maxCoeff();
}

double AppearanceBelief::expected_grade(double age, const Column& effect) const {
    double sum = 0, weight = 0;
    for (int k = 0; k < prior_->effect_count(); ++k) {
        const double all = seen_.col(k).sum();
        for (Eigen::Index z = 0; z < seen_.rows(); ++z) {
            const double share = effect[k] * seen_(z, k) / all;
            sum += share * std::min(worst, grade(age, z, k));
            weight += share;
        }
    }
    return sum / weight;
}

AppearanceLives::AppearanceLives(const AppearanceModel& model, const LifePrior& prior) : scale_(model.scale) {
    double all = 0;
    for (Eigen::Index z = 0; z <= 2 * half; ++z) all += std::exp(-0.5 * z_node(z) * z_node(z));
    for (Eigen::Index z = 0; z <= 2 * half; ++z)
        for (int k = 0; k < prior.effect_count(); ++k)
            points_.push_back({std::exp(model.log_sd * z_node(z) - model.effect * prior.effect_node(k)),
                               std::exp(-0.5 * z_node(z) * z_node(z)) / all, k});
    std::stable_sort(points_.begin(), points_.end(), [](const Point& a, const Point& b) { return a.life < b.life; });
}

UnseenAppearance::UnseenAppearance(const AppearanceLives& lives, const Column& effect)
    : lives_(&lives), weight_(static_cast<Eigen::Index>(lives.points_.size()) + 1), rate_(weight_.size()) {
    weight_[0] = rate_[0] = 0;
    for (Eigen::Index i = 0; i + 1 < weight_.size(); ++i) {
        const AppearanceLives::Point& point = lives.points_[static_cast<std::size_t>(i)];
        const double weight = effect[point.effect] * point.weight;
        weight_[i + 1] = weight_[i] + weight;
        rate_[i + 1] = rate_[i] + weight / point.life;
    }
}

double UnseenAppearance::expected_grade(double age_over_life) const {
    const double age = std::max(0.0, age_over_life);
    const auto lives_beyond = [&](double r) {
        const auto end = std::partition_point(lives_->points_.begin(), lives_->points_.end(),
                                              [&](const AppearanceLives::Point& point) { return age >= r * point.life; });
        return static_cast<Eigen::Index>(end - lives_->points_.begin());
    };
    return grade_sum(lives_->scale_, worst, age, weight_, rate_, lives_beyond) / weight_[weight_.size() - 1];
}

}  // namespace libseal::detail
