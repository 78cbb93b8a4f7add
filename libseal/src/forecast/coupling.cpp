#include "libseal/forecast/coupling.hpp"

#include <algorithm>
#include <cmath>

namespace libseal {
namespace {

/// Place on the grid of ln(life / scale), in cells from the lower edge of the first.
double cell_position(double log_life) {
    return (log_life - LifePrior::life_node(0)) / (LifePrior::life_node(1) - LifePrior::life_node(0)) + 0.5;
}

/// Share of a group's lives for which the cap is open.
double open_share(const CapGroup& group, Date day) {
    if (day < group.open_first) return 0;
    if (day >= group.open_last) return 1;
    return (day - group.open_first + 0.5) / (group.open_last - group.open_first + 0.5);
}

/// Interpolates running sums of cells at a position measured in cells.
double running_at(const Column& sums, double position) {
    if (position <= 0) return 0;
    const auto cell = static_cast<Eigen::Index>(position);
    if (cell >= sums.size()) return sums[sums.size() - 1];
    const double before = cell > 0 ? sums[cell - 1] : 0.0;
    return before + (sums[cell] - before) * (position - static_cast<double>(cell));
}

Column running_sums(const Column& cells) {
    Column sums(cells.size());
    double sum = 0;
    for (Eigen::Index i = 0; i < cells.size(); ++i) sums[i] = sum += cells[i];
    return sums;
}

/// Worn share at which a continuous grade is reached; the inverse of grade_of_worn_share.
double worn_share_of_grade(const GradeScale& scale, double grade) {
    double from_r = 0, from_grade = 0;
    for (std::size_t k = 0; k < scale.cuts.size(); ++k) {
        const double to_grade = static_cast<double>(k) + 0.5;
        if (grade < to_grade) return from_r + (scale.cuts[k] - from_r) * (grade - from_grade) / (to_grade - from_grade);
        from_r = scale.cuts[k];
        from_grade = to_grade;
    }
    return from_r + (grade - from_grade) * (scale.cuts[scale.cuts.size() - 1] - scale.cuts[scale.cuts.size() - 2]);
}

}  // namespace

BeddingBelief::BeddingBelief(const LifePrior& prior, double median_life, const GradeScale& scale,
                             std::vector<Date> installed, std::vector<CapGroup> groups, const AgeTrack& sheltered,
                             const AgeTrack& exposed)
    : prior_(&prior),
      life_scale_(median_life / std::exp(prior.median_log)),
      scale_(scale),
      installed_(std::move(installed)),
      groups_(std::move(groups)),
      sheltered_(&sheltered),
      exposed_(&exposed),
      below_(Column::Zero(prior.threshold.size() + 1)) {
    below_.tail(prior.threshold.size()) = running_sums(prior.threshold);
    for (const CapGroup& group : groups_) {
        const Date from = installed_[static_cast<std::size_t>(group.bedding_node)];
        const Date change = std::max(from, group.failed);
        start_.push_back(sheltered.at(from).total());
        change_.push_back(sheltered.at(change).total() - start_.back() - exposed.at(change).total());
    }
    take_in_looks();
}

double BeddingBelief::total_age(std::size_t group, const Ages& ages) const {
    return groups_[group].failed < ages.day ? change_[group] + ages.exposed : ages.sheltered - start_[group];
}

ClockTerms BeddingBelief::age(const CapGroup& group, Date day) const {
    return switched_age(*sheltered_, *exposed_, installed_[static_cast<std::size_t>(group.bedding_node)], group.failed, day);
}

void BeddingBelief::see(const Look& look) {
    const LookTable table(look, scale_);
    multiply_seen(look.date, [&](const CapGroup&, double log_ratio) { return table(log_ratio); });
}

void BeddingBelief::see_water(Date day, double chance_open, double chance_closed) {
    const double open_from = std::log(scale_.cuts.back());
    multiply_seen(day, [&](const CapGroup& group, double log_ratio) {
        const double cap_open = log_ratio >= open_from ? open_share(group, day) : 0.0;
        return cap_open * chance_open + (1 - cap_open) * chance_closed;
    });
}

/// @param chance  (group, ln(age on that day / life)) -> chance of what was seen.
template <class Chance>
void BeddingBelief::multiply_seen(Date day, const Chance& chance) {
    if (seen_.empty()) seen_.assign(groups_.size(), Column::Ones(prior_->mass.size()));
    double largest = 0;
    for (std::size_t g = 0; g < groups_.size(); ++g) {
        const double now = age(groups_[g], day).total();
        if (now > 0) {
            const double log_age = std::log(now / life_scale_);
            for (Eigen::Index i = 0; i < seen_[g].size(); ++i)
                seen_[g][i] *= chance(groups_[g], log_age - LifePrior::life_node(i));
        }
        largest = std::max(largest, seen_[g].maxCoeff());
    }
    for (auto& seen : seen_) seen /= largest;
    by_group_.clear();
}

void BeddingBelief::take_in_looks() {
    by_group_.assign(groups_.size(), Column::Ones(prior_->effect_count()));
    for (std::size_t g = 0; g < seen_.size(); ++g)
        for (int k = 0; k < prior_->effect_count(); ++k)
            by_group_[g][k] = (seen_[g] * prior_->threshold.segment(k * prior_->stride, seen_[g].size())).sum();
}

Column BeddingBelief::effect_likelihood() const {
    Column sum = Column::Zero(prior_->effect_count());
    for (std::size_t g = 0; g < groups_.size(); ++g) sum += groups_[g].likelihood * by_group_[g];
    return sum / sum.maxCoeff();
}

void BeddingBelief::settle(const Column& effect) {
    effect_.assign(groups_.size(), Column());
    double total = 0;
    for (std::size_t g = 0; g < groups_.size(); ++g) {
        effect_[g] = effect * groups_[g].likelihood;
        total += (effect_[g] * by_group_[g]).sum();
    }
    for (auto& weights : effect_) weights /= total;
    life_.clear();
    for (std::size_t g = 0; g < seen_.size(); ++g)
        life_.push_back(running_sums(seen_[g] * mixed_mass(*prior_, effect_[g])));
}

/// P(s, worn beyond an age whose logarithm over the scale is given), summed over s.
double BeddingBelief::beyond(const Column& effect, double log_age) const {
    // Threshold cells start below the life cells by half the span of s; one fraction of a cell serves all of s.
    const double position = cell_position(log_age), cell = std::floor(position), part = position - cell;
    const Eigen::Index last = below_.size() - 1;
    double sum = 0;
    for (Eigen::Index k = 0, i = static_cast<Eigen::Index>(cell); k < effect.size(); ++k, i += prior_->stride) {
        if (i < 0) continue;
        sum += effect[k] * (i >= last ? below_[last] : below_[i] + part * (below_[i + 1] - below_[i]));
    }
    return sum;
}

double BeddingBelief::beyond(std::size_t group, double log_age) const {
    return life_.empty() ? beyond(effect_[group], log_age) : running_at(life_[group], cell_position(log_age));
}

double BeddingBelief::worse_than(Date day, double worn_share) const {
    const Ages ages = ages_on(day);
    const auto chance = [&](std::size_t g) {
        const double now = total_age(g, ages);
        return now > 0 ? beyond(g, std::log(now / (life_scale_ * worn_share))) : 0.0;
    };
    double sum = 0;
    if (!life_.empty()) {
        for (std::size_t g = 0; g < groups_.size(); ++g) sum += chance(g);
        return std::clamp(sum, 0.0, 1.0);
    }
    // Under caps that have not failed yet the bedding is equally old: one question for all of them.
    std::vector<Column> waiting(installed_.size());
    std::vector<std::size_t> one(installed_.size());
    for (std::size_t g = 0; g < groups_.size(); ++g) {
        const auto node = static_cast<std::size_t>(groups_[g].bedding_node);
        if (groups_[g].failed < day) {
            sum += chance(g);
        } else if (waiting[node].size() == 0) {
            waiting[node] = effect_[g];
            one[node] = g;
        } else {
            waiting[node] += effect_[g];
        }
    }
    for (std::size_t node = 0; node < waiting.size(); ++node) {
        if (waiting[node].size() == 0) continue;
        const double now = total_age(one[node], ages);
        if (now > 0) sum += beyond(waiting[node], std::log(now / (life_scale_ * worn_share)));
    }
    return std::clamp(sum, 0.0, 1.0);
}

double BeddingBelief::open(Date day) const {
    const Ages ages = ages_on(day);
    double sum = 0;
    for (std::size_t g = 0; g < groups_.size(); ++g) {
        const double cap = open_share(groups_[g], day), now = total_age(g, ages);
        if (cap > 0 && now > 0) sum += cap * beyond(g, std::log(now / (life_scale_ * scale_.cuts.back())));
    }
    return std::clamp(sum, 0.0, 1.0);
}

double BeddingBelief::expected_grade(Date day) const {
    constexpr int parts = 40;  // of the scale from 0 to 5; the mean is the integral of the probability to be worse
    double sum = 0;
    for (int i = 0; i < parts; ++i) sum += worse_than(day, worn_share_of_grade(scale_, 5.0 * (i + 0.5) / parts));
    return 5.0 * sum / parts;
}

double BeddingBelief::group_weight(std::size_t group) const {
    return life_.empty() ? effect_[group].sum() : life_[group][life_[group].size() - 1];
}

ClockTerms BeddingBelief::mean_age(Date day) const {
    ClockTerms mean;
    for (std::size_t g = 0; g < groups_.size(); ++g) {
        const double weight = group_weight(g);
        const ClockTerms now = age(groups_[g], day);
        mean.light += weight * now.light;
        mean.heat += weight * now.heat;
        mean.moisture += weight * now.moisture;
    }
    return mean;
}

Column BeddingBelief::mass() const {
    Column sum = Column::Zero(prior_->mass.size());
    for (std::size_t g = 0; g < groups_.size(); ++g) {
        Column cells = mixed_mass(*prior_, effect_[g]);
        if (!seen_.empty()) cells *= seen_[g];
        sum += cells;
    }
    return sum / sum.sum();
}

}  // namespace libseal
