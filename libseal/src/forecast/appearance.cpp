#include "forecast/appearance.hpp"

#include <algorithm>
#include <cmath>

namespace libseal::detail {
namespace {

constexpr int half = 20;          // nodes of ln(life) on each side
constexpr double reach = 5.0;     // [sd]
constexpr double highest = 2.49;  // appearance alone is never graded above 2

double z_node(Eigen::Index z) { return reach * static_cast<double>(z - half) / half; }

}  // namespace

AppearanceBelief::AppearanceBelief(const AppearanceModel& model, const LifePrior& prior, double life)
    : model_(&model), prior_(&prior), life_(life), seen_(2 * half + 1, prior.effect_count()) {
    for (Eigen::Index z = 0; z < seen_.rows(); ++z) seen_.row(z) = std::exp(-0.5 * z_node(z) * z_node(z));
    seen_ /= seen_.col(0).sum();
}

double AppearanceBelief::grade(double age, Eigen::Index z, int k) const {
    const double log_ratio = model_->effect * prior_->effect_node(k) - model_->log_sd * z_node(z);
    return std::min(highest, grade_of_worn_share(model_->scale, std::max(0.0, age) / life_ * std::exp(log_ratio)));
}

void AppearanceBelief::see(const Look& look, double age) {
    if (age <= 0) return;
    for (Eigen::Index z = 0; z < seen_.rows(); ++z)
        for (int k = 0; k < prior_->effect_count(); ++k) seen_(z, k) *= look_chance(look, model_->scale, grade(age, z, k));
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
            sum += share * std::min(2.0, grade(age, z, k));
            weight += share;
        }
    }
    return sum / weight;
}

}  // namespace libseal::detail
