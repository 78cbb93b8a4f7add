#include "libseal/forecast/coupling.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <tuple>

namespace libseal {
namespace {

double cells_of(double log_ratio) { return log_ratio / (LifePrior::life_node(1) - LifePrior::life_node(0)); }

/// Place on the grid of ln(life / scale), in cells from the lower edge of the first.
double cell_position(double log_life) { return cells_of(log_life - LifePrior::life_node(0)) + 0.5; }

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
                             std::vector<Date> installed, std::vector<CapGroup> groups, std::size_t block,
                             const AgeTrack& sheltered, const AgeTrack& exposed)
    : prior_(&prior),
      life_scale_(median_life / std::exp(prior.median_log)),
      scale_(scale),
      installed_(std::move(installed)),
      groups_(std::move(groups)),
      block_(block),
      sheltered_(&sheltered),
      exposed_(&exposed),
      seen_of_(groups_.size(), 0) {
    for (const CapGroup& group : groups_) {
        const Date from = installed_[static_cast<std::size_t>(group.bedding_node)];
        const Date change = std::max(from, group.failed);
        if (start_.size() * block_ == change_.size()) start_.push_back(sheltered.at(from));
        change_.push_back(sheltered.at(change) - start_.back() - exposed.at(change));
    }
}

/// Groups of a block fail one after the other, and those that have not are equally old: one position for all of them.
/// @param failed   Called with each group whose cap has failed, and its position.
/// @param waiting  Called for each block: with the first group whose cap has not, its end, and the position of those between.
template <class Failed, class Waiting>
void BeddingBelief::walk(Date day, const Failed& failed, const Waiting& waiting) const {
    const double nowhere = -std::numeric_limits<double>::infinity();  // not fitted yet
    const double sheltered = sheltered_->total_at(day.days), exposed = exposed_->total_at(day.days);
    const auto position = [&](double age) { return age > 0 ? cell_position(std::log(age / life_scale_)) : nowhere; };
    for (std::size_t first = 0; first < groups_.size(); first += block_) {
        std::size_t g = first;
        for (; g < first + block_ && groups_[g].failed < day; ++g) failed(g, position(change_[g].total() + exposed));
        waiting(g, first + block_, position(sheltered - start_[first / block_].total()));
    }
}

BeddingBelief::Standing BeddingBelief::standing_on(Date day) const {
    Standing standing;
    standing.position.resize(groups_.size());
    walk(day, [&](std::size_t g, double position) { standing.position[g] = position; },
         [&](std::size_t g, std::size_t end, double position) {
             standing.failed.push_back(g - (end - block_));
             standing.waiting.push_back(position);
         });
    return standing;
}

ClockTerms BeddingBelief::age(const CapGroup& group, Date day) const {
    return switched_age(*sheltered_, *exposed_, installed_[static_cast<std::size_t>(group.bedding_node)], group.failed, day);
}

void BeddingBelief::see(Date day, const LookTable& table) {
    multiply_seen(day, [](const CapGroup&) { return 0.0; }, [&](double, double log_ratio) { return table(log_ratio); });
}

void BeddingBelief::see_water(Date day, double chance_open, double chance_closed) {
    const double open_from = std::log(scale_.cuts.back());
    multiply_seen(day, [&](const CapGroup& group) { return open_share(group, day); }, [&](double share, double log_ratio) {
        const double cap_open = log_ratio >= open_from ? share : 0.0;
        return cap_open * chance_open + (1 - cap_open) * chance_closed;
    });
}

/// @param share   (group) -> what the chance hangs on beside the age.
/// @param chance  (that, ln(age on that day / life)) -> chance of what was seen.
template <class Share, class Chance>
void BeddingBelief::multiply_seen(Date day, const Share& share, const Chance& chance) {
    if (seen_.empty()) seen_.assign(1, Column::Ones(prior_->mass.size()));
    std::vector<Column> seen;
    std::map<std::tuple<std::size_t, double, double>, std::size_t> known;
    for (std::size_t g = 0; g < groups_.size(); ++g) {
        const double now = age(groups_[g], day).total(), own = share(groups_[g]);
        const auto [place, fresh] = known.try_emplace({seen_of_[g], std::max(0.0, now), own}, seen.size());
        if (fresh) {
            seen.push_back(seen_[seen_of_[g]]);
            const double log_age = std::log(now / life_scale_);
            for (Eigen::Index i = 0; now > 0 && i < seen.back().size(); ++i) seen.back()[i] *= chance(own, log_age - LifePrior::life_node(i));
        }
        seen_of_[g] = place->second;
    }
    double largest = 0;
    for (const Column& one : seen) largest = std::max(largest, one.maxCoeff());
    for (Column& one : seen) one /= largest;
    seen_ = std::move(seen);
    by_effect_.clear();
}

void BeddingBelief::take_in_looks() {
    by_effect_.assign(std::max<std::size_t>(1, seen_.size()), Column::Ones(prior_->effect_count()));
    for (std::size_t i = 0; i < seen_.size(); ++i)
        for (int k = 0; k < prior_->effect_count(); ++k)
            by_effect_[i][k] = (seen_[i] * prior_->threshold.segment(k * prior_->stride, seen_[i].size())).sum();
}

Column BeddingBelief::effect_likelihood() const {
    Column sum = Column::Zero(prior_->effect_count());
    for (std::size_t g = 0; g < groups_.size(); ++g) sum += groups_[g].likelihood * seen_by_group(g);
    return sum / sum.maxCoeff();
}

void BeddingBelief::settle(const Column& effect) {
    Eigen::ArrayXXd weights(effect.size(), static_cast<Eigen::Index>(groups_.size()));
    double total = 0;
    for (std::size_t g = 0; g < groups_.size(); ++g) {
        auto weight = weights.col(static_cast<Eigen::Index>(g));
        weight = effect * groups_[g].likelihood;
        total += (weight * seen_by_group(g)).sum();
    }
    weights /= total;
    life_.clear();
    for (std::size_t g = 0; was_seen() && g < groups_.size(); ++g)
        life_.push_back(running_sums(seen_[seen_of_[g]] * mixed_mass(*prior_, weights.col(static_cast<Eigen::Index>(g)))));
    effects_ = GroupEffects(*prior_, std::move(weights), static_cast<Eigen::Index>(block_));
    unseen_ = nullptr;
}

void BeddingBelief::settle(std::shared_ptr<const UnseenPair> unseen) { unseen_ = std::move(unseen); }

/// P(group, worn beyond an age), by the position of that age.
double BeddingBelief::beyond(std::size_t group, double position) const {
    if (unseen_) return share() * unseen_->beyond(static_cast<Eigen::Index>(group % block_), position);
    return life_.empty() ? effects_.beyond(static_cast<Eigen::Index>(group), position) : running_at(life_[group], position);
}

/// The same of all groups from this one to the end of its block.
double BeddingBelief::beyond_from(std::size_t group, double position) const {
    if (unseen_) return share() * unseen_->beyond_from(static_cast<Eigen::Index>(group % block_), position);
    if (life_.empty()) return effects_.beyond_from(static_cast<Eigen::Index>(group), position);
    double sum = 0;
    for (std::size_t end = group - group % block_ + block_; group < end; ++group) sum += running_at(life_[group], position);
    return sum;
}

double BeddingBelief::worse_than(const Standing& standing, double worn_share) const {
    const double shift = cells_of(std::log(worn_share));
    double sum = 0;
    for (std::size_t b = 0; b < standing.failed.size(); ++b) {
        const std::size_t first = b * block_, failed = standing.failed[b];
        for (std::size_t g = first; g < first + failed; ++g) sum += beyond(g, standing.position[g] - shift);
        if (failed < block_) sum += beyond_from(first + failed, standing.waiting[b] - shift);
    }
    return std::clamp(sum, 0.0, 1.0);
}

double BeddingBelief::worse_than(Date day, double worn_share) const {
    const double shift = cells_of(std::log(worn_share));
    double sum = 0;
    walk(day, [&](std::size_t g, double position) { sum += beyond(g, position - shift); },
         [&](std::size_t g, std::size_t end, double position) {
             if (g < end) sum += beyond_from(g, position - shift);
         });
    return std::clamp(sum, 0.0, 1.0);
}

std::vector<double> BeddingBelief::worse_than(Date day, const std::vector<double>& worn_shares) const {
    const Standing standing = standing_on(day);
    std::vector<double> chances;
    for (const double worn_share : worn_shares) chances.push_back(worse_than(standing, worn_share));
    return chances;
}

double BeddingBelief::open(Date day) const {
    const Standing standing = standing_on(day);
    const double shift = cells_of(std::log(scale_.cuts.back()));
    double sum = 0;
    for (std::size_t g = 0; g < groups_.size(); ++g) {
        const double cap = open_share(groups_[g], day);
        const bool failed = g % block_ < standing.failed[g / block_];
        if (cap > 0) sum += cap * beyond(g, (failed ? standing.position[g] : standing.waiting[g / block_]) - shift);
    }
    return std::clamp(sum, 0.0, 1.0);
}

double BeddingBelief::expected_grade(Date day) const {
    constexpr int parts = 40;  // of the scale from 0 to 5; the mean is the integral of the probability to be worse
    const Standing standing = standing_on(day);
    double sum = 0;
    for (int i = 0; i < parts; ++i) sum += worse_than(standing, worn_share_of_grade(scale_, 5.0 * (i + 0.5) / parts));
    return 5.0 * sum / parts;
}

double BeddingBelief::group_weight(std::size_t group) const {
    if (unseen_) return share() * unseen_->weight(static_cast<Eigen::Index>(group % block_));
    return life_.empty() ? effects_.weight(static_cast<Eigen::Index>(group)) : life_[group][life_[group].size() - 1];
}

ClockTerms BeddingBelief::mean_age(Date day) const {
    const ClockTerms sheltered = sheltered_->at(day), exposed = exposed_->at(day);
    ClockTerms mean;
    for (std::size_t g = 0; g < groups_.size(); ++g) {
        // A change that lies ahead, or before the fitting, is none.
        const bool changed = groups_[g].failed < day && installed_[static_cast<std::size_t>(groups_[g].bedding_node)] <= day;
        mean = mean + group_weight(g) * (changed ? change_[g] + exposed : sheltered - start_[g / block_]);
    }
    return mean;
}

Column BeddingBelief::mass() const {
    const Eigen::ArrayXXd& weights = unseen_ ? unseen_->sums().weights() : effects_.weights();
    Column sum = Column::Zero(prior_->mass.size());
    if (seen_.empty()) sum = mixed_mass(*prior_, weights.rowwise().sum());
    for (std::size_t g = 0; was_seen() && g < groups_.size(); ++g)
        sum += seen_[seen_of_[g]] * mixed_mass(*prior_, weights.col(static_cast<Eigen::Index>(g)));
    return sum / sum.sum();
}

}  // namespace libseal
