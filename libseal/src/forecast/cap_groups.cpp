#include "libseal/forecast/cap_groups.hpp"

#include <cmath>
#include <utility>

namespace libseal {
namespace {

/// P(class, s) when nothing was seen of the cap: differences of the threshold's running sums.
Eigen::ArrayXXd unseen_weights(const LifePrior& prior, const Column& effect, const std::vector<CapClass>& classes) {
    Eigen::ArrayXXd weights(effect.size(), static_cast<Eigen::Index>(classes.size()));
    for (Eigen::Index c = 0; c < weights.cols(); ++c) {
        const CapClass& lives = classes[static_cast<std::size_t>(c)];
        for (Eigen::Index k = 0; k < weights.rows(); ++k) {
            const Eigen::Index shift = k * prior.stride;
            weights(k, c) = effect[k] * (prior.below[lives.end + shift] - prior.below[lives.first + shift]);
        }
    }
    return weights / weights.sum();
}

}  // namespace

std::vector<CapClass> cap_classes(const LifePrior& prior, int count) {
    constexpr double tail = 3e-4;  // shorter and longer lives go with the outermost classes
    const Column& mass = prior.mass;
    Eigen::Index low = 0, high = mass.size();
    for (double sum = 0; (sum += mass[low]) < tail;) ++low;
    for (double sum = 0; (sum += mass[high - 1]) < tail;) --high;
    const double half_cell = 0.5 * (LifePrior::life_node(1) - LifePrior::life_node(0));
    std::vector<CapClass> classes;
    for (int c = 0; c < count; ++c) {
        const Eigen::Index first = low + (high - low) * c / count, end = low + (high - low) * (c + 1) / count;
        const double shortest = LifePrior::life_node(first) - half_cell, longest = LifePrior::life_node(end - 1) + half_cell;
        classes.push_back({c == 0 ? 0 : first, c + 1 == count ? mass.size() : end, shortest, (shortest + longest) / 2, longest});
    }
    return classes;
}

GroupEffects::GroupEffects(const LifePrior& prior, Eigen::ArrayXXd weights, Eigen::Index block)
    : prior_(&prior), weights_(std::move(weights)), from_(weights_) {
    for (Eigen::Index g = from_.cols() - 2; g >= 0; --g)
        if ((g + 1) % block != 0) from_.col(g) += from_.col(g + 1);
}

double GroupEffects::summed(const Eigen::ArrayXXd& weights, Eigen::Index group, double position) const {
    // Threshold cells start below the life cells by half the span of s; one fraction of a cell serves all of s.
    const Column& below = prior_->below;
    const Eigen::Index last = below.size() - 1;
    if (!(position > -static_cast<double>(last))) return 0;  // younger than any life on the grid, or not fitted
    const double cell = std::floor(std::min(position, static_cast<double>(last))), part = position - cell;
    const double* effect = weights.col(group).data();
    double sum = 0;
    for (Eigen::Index k = 0, i = static_cast<Eigen::Index>(cell); k < weights.rows(); ++k, i += prior_->stride) {
        if (i < 0) continue;
        sum += effect[k] * (i >= last ? below[last] : below[i] + part * (below[i + 1] - below[i]));
    }
    return sum;
}

UnseenPair::UnseenPair(const LifePrior& prior, const Column& effect, const std::vector<CapClass>& classes)
    : sums_(prior, unseen_weights(prior, effect, classes), static_cast<Eigen::Index>(classes.size())),
      weight_(sums_.weights().colwise().sum().transpose()) {
    // Row p of this view is F at position p + s for all s: a matrix whose columns are the running sums, each one step on.
    const Eigen::Index positions = prior.mass.size() + 1;
    const Eigen::Map<const Eigen::MatrixXd, 0, Eigen::OuterStride<>> shifted(prior.below.data(), positions, effect.size(),
                                                                             Eigen::OuterStride<>(prior.stride));
    table_.noalias() = sums_.weights().matrix().transpose() * shifted.transpose();
}

double UnseenPair::beyond(Eigen::Index c, double position) const {
    if (outside(position)) return sums_.beyond(c, position);
    const auto cell = static_cast<Eigen::Index>(position);
    const double here = table_(c, cell);
    return here + (position - static_cast<double>(cell)) * (table_(c, cell + 1) - here);
}

double UnseenPair::beyond_from(Eigen::Index c, double position) const {
    if (outside(position)) return sums_.beyond_from(c, position);
    const auto cell = static_cast<Eigen::Index>(position);
    const Eigen::Index count = table_.rows() - c;
    const double here = table_.col(cell).tail(count).sum(), next = table_.col(cell + 1).tail(count).sum();
    return here + (position - static_cast<double>(cell)) * (next - here);
}

}  // namespace libseal
