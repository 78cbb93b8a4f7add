#include "libseal/forecast/belief.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"

namespace libseal {
namespace {

// Grid of x = ln(life / scale). The lower end holds lives of a thousandth, the upper end ten times the scale.
constexpr double lowest_x = -7.0;
constexpr double step_x = 0.01;
constexpr int count_x = 961;

double node(int i) { return lowest_x + i * step_x; }

/// Probability of each cell for ln W + sd * Z, W Weibull(1, shape), Z standard normal; cells are centred on the nodes.
/// Cells are differences of the distribution, so that it is exact at their edges.
Column prior_mass(double shape, double sd) {
    constexpr int half = 30;  // trapezoid to six sd on each side
    Column below = Column::Zero(count_x + 1);
    for (int j = -half; j <= half; ++j) {
        const double z = 6.0 * j / half;
        const double weight = std::exp(-0.5 * z * z) * (6.0 / half) / std::sqrt(2 * std::numbers::pi);
        for (int i = 0; i <= count_x; ++i)
            below[i] -= weight * std::expm1(-std::exp(shape * (node(i) - step_x / 2 - sd * z)));
    }
    return below.tail(count_x) - below.head(count_x);
}

/// Where the running sum of cells reaches p; cells are centred on the nodes.
double quantile_x(const Column& mass, double p) {
    double sum = 0;
    for (int i = 0; i < count_x; ++i) {
        if (sum + mass[i] >= p) return node(i) + step_x * ((p - sum) / mass[i] - 0.5);
        sum += mass[i];
    }
    return node(count_x - 1);
}

/// Chance that a look reports a grade in [lowest, highest] when the true one is `grade`.
double look_chance(const Look& look, double grade, double noise) {
    const double above = look.highest >= 5 ? 1.0 : normal_probability((look.highest + 0.5 - grade) / noise);
    const double below = look.lowest <= 0 ? 0.0 : normal_probability((look.lowest - 0.5 - grade) / noise);
    return std::max(above - below, 1e-9);  // no look is proof: people err
}

}  // namespace

GradeScale grade_scale(const Catalogue& catalogue) {
    GradeScale scale;
    for (const char* id : {"model/cut_grade_1", "model/cut_grade_2", "model/cut_grade_3", "model/cut_grade_4", "model/cut_grade_5"})
        scale.cuts.push_back(catalogue.number(id));
    scale.look_noise = catalogue.number("model/look_sd");
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

LifePrior life_prior(const LifeSpread& spread) {
    LifePrior prior;
    prior.mass = prior_mass(spread.shape, spread.log_sd);
    prior.mass /= prior.mass.sum();
    prior.median_log = quantile_x(prior.mass, 0.5);
    return prior;
}

LifeBelief::LifeBelief(const LifePrior& prior, double median_life, int nodes)
    : scale_(median_life / std::exp(prior.median_log)), weight_((prior.mass / nodes).replicate(1, nodes)) {
    make_cumulative();
}

void LifeBelief::see(const Look& look, const std::vector<double>& effective_age, const GradeScale& scale) {
    for (Eigen::Index j = 0; j < weight_.cols(); ++j) {
        const double age = effective_age[static_cast<std::size_t>(j)];
        if (age <= 0) continue;
        for (Eigen::Index i = 0; i < weight_.rows(); ++i) {
            const double r = age / (scale_ * std::exp(node(static_cast<int>(i))));
            weight_(i, j) *= look_chance(look, grade_of_worn_share(scale, r), scale.look_noise);
        }
    }
    const double chance = weight_.sum();
    least_chance_ = std::min(least_chance_, chance);
    weight_ /= chance;
    make_cumulative();
}

void LifeBelief::make_cumulative() {
    cumulative_.resize(weight_.rows(), weight_.cols());
    for (Eigen::Index j = 0; j < weight_.cols(); ++j) {
        double sum = 0;
        for (Eigen::Index i = 0; i < weight_.rows(); ++i) cumulative_(i, j) = sum += weight_(i, j);
    }
}

double LifeBelief::due(const std::vector<double>& effective_age) const {
    double probability = 0;
    for (Eigen::Index j = 0; j < weight_.cols(); ++j) {
        const double age = effective_age[static_cast<std::size_t>(j)];
        if (age <= 0) continue;
        // Position in cells: cell i reaches from i to i + 1, its node in the middle.
        const double position = (std::log(age / scale_) - lowest_x) / step_x + 0.5;
        if (position <= 0) continue;
        const auto cell = static_cast<Eigen::Index>(position);
        if (cell >= weight_.rows())
            probability += cumulative_(weight_.rows() - 1, j);
        else
            probability += cumulative_(cell, j) - weight_(cell, j) * (1 - (position - static_cast<double>(cell)));
    }
    return std::clamp(probability, 0.0, 1.0);
}

double LifeBelief::expected_grade(const std::vector<double>& effective_age, const GradeScale& scale) const {
    double sum = 0;
    for (Eigen::Index j = 0; j < weight_.cols(); ++j) {
        const double age = std::max(0.0, effective_age[static_cast<std::size_t>(j)]);
        for (Eigen::Index i = 0; i < weight_.rows(); ++i)
            sum += weight_(i, j) *
                   std::min(5.0, grade_of_worn_share(scale, age / (scale_ * std::exp(node(static_cast<int>(i))))));
    }
    return sum;
}

double LifeBelief::mean_log() const {
    const Column mass = weight_.rowwise().sum();
    double sum = 0;
    for (int i = 0; i < count_x; ++i) sum += mass[i] * node(i);
    return sum;
}

double LifeBelief::sd_log() const {
    const Column mass = weight_.rowwise().sum();
    const double mean = mean_log();
    double sum = 0;
    for (int i = 0; i < count_x; ++i) sum += mass[i] * (node(i) - mean) * (node(i) - mean);
    return std::sqrt(sum);
}

}  // namespace libseal
