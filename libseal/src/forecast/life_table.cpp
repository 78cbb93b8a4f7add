#include "libseal/forecast/life_table.hpp"

#include <algorithm>
#include <cmath>

#include "forecast/grade_sum.hpp"

namespace libseal {
namespace {

Column running_sums(const Column& cells) {
    Column sums(cells.size() + 1);
    double sum = sums[0] = 0;
    for (Eigen::Index i = 0; i < cells.size(); ++i) sums[i + 1] = sum += cells[i];
    return sums;
}

/// Place in cells from the lower edge of the first.
double position_of(double log_life) {
    static const double lowest = LifePrior::life_node(0), step = LifePrior::life_node(1) - LifePrior::life_node(0);
    return (log_life - lowest) / step + 0.5;
}

/// 1 / life at each node.
Column inverse_lives(Eigen::Index cells) {
    Column inverse(cells);
    for (Eigen::Index i = 0; i < cells; ++i) inverse[i] = std::exp(-LifePrior::life_node(i));
    return inverse;
}

}  // namespace

LifeTable::LifeTable(Column cells) : cells_(std::move(cells)), running_(running_sums(cells_)) {
    static const Column usual = inverse_lives(cells_.size());  // nearly all tables are of one size
    rate_ = running_sums(cells_.size() == usual.size() ? (cells_ * usual).eval() : (cells_ * inverse_lives(cells_.size())).eval());
}

double LifeTable::below(double log_life) const {
    const double position = position_of(log_life);
    if (position <= 0) return 0;
    if (position >= static_cast<double>(cells_.size())) return sum();
    const auto cell = static_cast<Eigen::Index>(position);
    return running_[cell] + cells_[cell] * (position - static_cast<double>(cell));
}

double LifeTable::quantile(double p) const {
    const double* end = running_.data() + running_.size();
    const auto reached = std::lower_bound(running_.data() + 1, end, p) - (running_.data() + 1);
    if (reached >= cells_.size()) return LifePrior::life_node(cells_.size() - 1);
    const double part = cells_[reached] > 0 ? (p - running_[reached]) / cells_[reached] : 0.0;
    const double step = LifePrior::life_node(1) - LifePrior::life_node(0);
    return LifePrior::life_node(reached) + step * (part - 0.5);
}

double LifeTable::grade(double age, const GradeScale& scale) const {
    if (!(age > 0)) return 0;
    const double log_age = std::log(age);
    return detail::grade_sum(scale, 5, age, running_, rate_, [&](double r) {
        const double lives = std::floor(position_of(log_age - std::log(r)) + 0.5);
        return static_cast<Eigen::Index>(std::clamp(lives, 0.0, static_cast<double>(cells_.size())));
    });
}

}  // namespace libseal
