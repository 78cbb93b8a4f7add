#include "libseal/forecast/belief.hpp"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/core/require.hpp"

namespace libseal {
namespace {

// Cells of x = ln(life / scale): lives from 0.7 % of the scale (one in a million is shorter) to eleven times the scale.
constexpr double lowest_x = -5.0;
constexpr double step_x = 0.01;
constexpr int count_x = 741;

}  // namespace

GradeScale grade_scale(const Catalogue& catalogue) {
    GradeScale scale;
    for (const char* id : {"model/cut_grade_1", "model/cut_grade_2", "model/cut_grade_3", "model/cut_grade_4", "model/cut_grade_5"})
        scale.cuts.push_back(catalogue.number(id));
    scale.look_noise = catalogue.number("model/look_sd");
    scale.measured_noise = catalogue.number("model/look_sd_measured");
    scale.detection = catalogue.number("model/look_detection");
    scale.stray = catalogue.number("model/look_stray");
    if (!std::is_sorted(scale.cuts.begin(), scale.cuts.end()) || scale.cuts[2] != 1)
        throw_value_error("model/cut_grade_1 to 5", "rising numbers, the third 1", "others");
    return scale;
}

double grade_of_worn_share(const GradeScale& scale, double r) {
    double from_r = 0, from_grade = 0;
    for (std::size_t k = 0; k < scale.cuts.size(); ++k) {
        const double to_grade = static_cast<double>(k) + 0.5;
        if (r < scale.cuts[k]) return from_grade + (to_grade - from_grade) * (r - from_r) / (scale.cuts[k] - from_r);
        from_r = scale.cuts[k];
        from_grade = to_grade;
    }
    const double last = scale.cuts[scale.cuts.size() - 1] - scale.cuts[scale.cuts.size() - 2];
    return std::min(5.5, from_grade + (r - from_r) / last);
}

double LifePrior::effect_node(int k) const { return (k - (effect_count() - 1) / 2) * stride * step_x; }

double LifePrior::life_node(Eigen::Index cell) { return lowest_x + static_cast<double>(cell) * step_x; }

LifePrior life_prior(const LifeSpread& spread) {
    constexpr double reach = 6.5;       // sd of s on each side
    constexpr double steps_per_sd = 3;  // trapezoid over a normal: exact to all digits, also of half its width
    LifePrior prior;
    prior.stride = std::max(1, static_cast<int>(spread.log_sd / (steps_per_sd * step_x) + 1e-9));
    const int half = spread.log_sd > 0 ? static_cast<int>(std::ceil(reach * spread.log_sd / (prior.stride * step_x))) : 0;
    prior.effect = Column::Zero(2 * half + 1);
    // Differences of the distribution at the edges of the cells: exact there.
    const double lowest = lowest_x - half * prior.stride * step_x - step_x / 2;
    const Eigen::Index count = count_x + 2 * half * prior.stride;
    Column below(count + 1);
    for (Eigen::Index i = 0; i <= count; ++i)
        below[i] = -std::expm1(-std::exp(spread.shape * (lowest + static_cast<double>(i) * step_x)));
    prior.threshold = below.tail(count) - below.head(count);
    prior.below = Column::Zero(count + 1);
    for (Eigen::Index i = 0; i < count; ++i) prior.below[i + 1] = prior.below[i] + prior.threshold[i];
    prior.effect = effect_weights(prior, 0, spread.log_sd * spread.log_sd);
    prior.mass = mixed_mass(prior, prior.effect);
    prior.mass /= prior.mass.sum();
    prior.life = std::make_shared<const LifeTable>(prior.mass);
    prior.median_log = quantile_log(prior.mass, 0.5);
    return prior;
}

Column effect_weights(const LifePrior& prior, double mean, double variance) {
    require_not_negative(variance, "variance");
    Column weights(prior.effect.size());
    const double least = 0.25 * prior.stride * step_x;  // narrower than the grid: the nearest nodes
    const double spread = std::max(variance, least * least);
    for (int k = 0; k < prior.effect_count(); ++k) {
        const double away = prior.effect_node(k) - mean;
        weights[k] = std::exp(-0.5 * away * away / spread);
    }
    return weights / weights.sum();
}

Column mixed_mass(const LifePrior& prior, const Column& effect) {
    Column mass(count_x);
    const double nothing = 1e-14 * effect.maxCoeff();
    std::vector<std::pair<double, const double*>> parts;
    for (Eigen::Index k = 0; k < effect.size(); ++k)
        if (effect[k] > nothing) parts.emplace_back(effect[k], prior.threshold.data() + k * prior.stride);
    // A few cells at a time over all of s: their sums stay in registers.
    constexpr int together = 16;
    for (Eigen::Index first = 0; first < count_x; first += together) {
        double sums[together] = {};
        const Eigen::Index from = std::min<Eigen::Index>(first, count_x - together);
        for (const auto& [weight, threshold] : parts)
            for (int i = 0; i < together; ++i) sums[i] += weight * threshold[from + i];
        std::copy(sums, sums + together, mass.data() + from);
    }
    return mass;
}

double quantile_log(const Column& mass, double p) {
    double sum = 0;
    for (Eigen::Index i = 0; i < mass.size(); ++i) {
        if (sum + mass[i] >= p) return LifePrior::life_node(i) + step_x * ((p - sum) / mass[i] - 0.5);
        sum += mass[i];
    }
    return LifePrior::life_node(mass.size() - 1);
}

LifeBelief::LifeBelief(const LifePrior& prior, double median_life, int nodes)
    : scale_(median_life / std::exp(prior.median_log)), nodes_(nodes), lives_{prior.life} {}

Eigen::ArrayXXd LifeBelief::chances(const LookTable& table, const std::vector<double>& effective_age) const {
    Eigen::ArrayXXd chance = Eigen::ArrayXXd::Ones(cells(), nodes_);
    for (Eigen::Index j = 0; j < chance.cols(); ++j) {
        const double age = effective_age[static_cast<std::size_t>(j)];
        if (age <= 0) continue;
        const double log_age = std::log(age / scale_);
        for (Eigen::Index i = 0; i < chance.rows(); ++i) chance(i, j) = table(log_age - LifePrior::life_node(i));
    }
    return chance;
}

double LifeBelief::see(const LookTable& look, const std::vector<double>& effective_age) {
    const Eigen::ArrayXXd chance = chances(look, effective_age);
    const double before = mean_of(chance);
    weigh(chance);
    return before;
}

double LifeBelief::chance(const LookTable& look, const std::vector<double>& effective_age) const {
    return mean_of(chances(look, effective_age));
}

double LifeBelief::mean_of(const Eigen::ArrayXXd& chance) const {
    double sum = 0;
    for (Eigen::Index j = 0; j < chance.cols(); ++j) sum += (table(j).cells() * chance.col(j)).sum();
    return share() * sum;
}

void LifeBelief::see_open(double chance_open, double chance_closed, const std::vector<double>& effective_age,
                          const GradeScale& scale) {
    Eigen::ArrayXXd chance = Eigen::ArrayXXd::Ones(cells(), nodes_);
    for (Eigen::Index j = 0; j < chance.cols(); ++j) {
        const double age = effective_age[static_cast<std::size_t>(j)];
        if (age <= 0) continue;
        for (Eigen::Index i = 0; i < chance.rows(); ++i)
            chance(i, j) = age >= scale.cuts.back() * scale_ * std::exp(LifePrior::life_node(i)) ? chance_open : chance_closed;
    }
    weigh(chance);
}

void LifeBelief::weigh(const Eigen::ArrayXXd& chance) {
    Eigen::ArrayXXd weight = chance;
    for (Eigen::Index j = 0; j < weight.cols(); ++j) weight.col(j) *= share() * table(j).cells();
    const double total = weight.sum();
    least_chance_ = std::min(least_chance_, total);
    gather(chance);
    hold(weight / total);
}

void LifeBelief::gather(const Eigen::ArrayXXd& chance) {
    if (is_seen()) seen_ *= chance;
    else seen_ = chance;
    seen_ /= seen_.maxCoeff();
}

void LifeBelief::hold(const Eigen::ArrayXXd& weight) {
    lives_.clear();
    for (Eigen::Index j = 0; j < weight.cols(); ++j) lives_.push_back(std::make_shared<const LifeTable>(weight.col(j)));
}

void LifeBelief::set_effect(const LifePrior& prior, const Column& effect) {
    const Column mixed = mixed_mass(prior, effect);
    if (!is_seen()) return set_effect(std::make_shared<const LifeTable>(mixed / mixed.sum()));
    const Eigen::ArrayXXd weight = seen_.colwise() * mixed;
    hold(weight / weight.sum());
}

void LifeBelief::set_effect(std::shared_ptr<const LifeTable> life) { lives_.assign(1, std::move(life)); }

Column LifeBelief::effect_likelihood(const LifePrior& prior) const {
    const Column all = is_seen() ? seen_.rowwise().sum().eval() : Column::Ones(cells()).eval();
    Column likelihood(prior.effect_count());
    for (int k = 0; k < prior.effect_count(); ++k) likelihood[k] = (all * prior.threshold.segment(k * prior.stride, count_x)).sum();
    return likelihood / likelihood.maxCoeff();
}

double LifeBelief::due(const std::vector<double>& effective_age) const {
    double probability = 0;
    for (Eigen::Index j = 0; j < nodes_; ++j) {
        const double age = effective_age[static_cast<std::size_t>(j)];
        if (age > 0) probability += table(j).below(std::log(age / scale_));
    }
    return std::clamp(share() * probability, 0.0, 1.0);
}

double LifeBelief::age_of(double p) const {
    const double log_life = lives_.size() == 1 ? table(0).quantile(p) : LifeTable(mass()).quantile(p);
    return scale_ * std::exp(log_life);
}

double LifeBelief::expected_grade(const std::vector<double>& effective_age, const GradeScale& scale) const {
    double sum = 0;
    for (Eigen::Index j = 0; j < nodes_; ++j)
        sum += table(j).grade(std::max(0.0, effective_age[static_cast<std::size_t>(j)]) / scale_, scale);
    return share() * sum;
}

Column LifeBelief::mass() const {
    Column mass = table(0).cells();
    for (std::size_t j = 1; j < lives_.size(); ++j) mass += lives_[j]->cells();
    return mass;
}

double LifeBelief::mean_log() const {
    const Column all = mass();
    double sum = 0;
    for (Eigen::Index i = 0; i < all.size(); ++i) sum += all[i] * LifePrior::life_node(i);
    return sum;
}

double LifeBelief::sd_log() const {
    const Column all = mass();
    const double mean = mean_log();
    double sum = 0;
    for (Eigen::Index i = 0; i < all.size(); ++i) sum += all[i] * std::pow(LifePrior::life_node(i) - mean, 2);
    return std::sqrt(sum);
}

}  // namespace libseal
