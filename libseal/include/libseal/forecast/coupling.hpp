#pragma once
// A bedding under its cap: the bedding's clock changes when the cap fails, and both share the joint's effects.

#include <memory>
#include <vector>

#include "libseal/forecast/belief.hpp"
#include "libseal/forecast/cap_groups.hpp"
#include "libseal/forecast/track.hpp"

namespace libseal {

/// A group of neighbouring cells of the cap's life, with one day on which the cap fails.
struct CapGroup {
    Eigen::Index first = 0;       ///< cells [first, end)
    Eigen::Index end = 0;         ///< index after the last cell
    int cap_node = 0;             ///< installation date of the cap
    int bedding_node = 0;         ///< installation date of the bedding
    Date failed{};                ///< from here on the bedding ages as an exposed one
    Date open_first{};            ///< the shortest-lived of the group is open (grade 5)
    Date open_last{};             ///< the longest-lived is
    Column likelihood;            ///< chance of the group and of the cap's looks [-], as a function of s; empty if nothing was seen
};

/// Belief of a bedding, two-dimensional: over the cap's life and its own.
///
/// due(day) = sum over groups g and s of P(g, s) F(ln(age_g(day) / scale) + s), F the distribution of ln(threshold);
/// with looks at the bedding a grid of its own life stands for F.
/// @source  Quadrature: docs/ageing.md.
class BeddingBelief {
public:
    /// @param median_life  Of the bedding. [yr]
    /// @param installed  Possible installation dates of the bedding.
    /// @param groups     In blocks of `block` with equal installation dates, each from the shortest life of the cap to the longest.
    /// @param sheltered, exposed  Its age under a sound cap and without one; must outlive the belief.
    BeddingBelief(const LifePrior& prior, double median_life, const GradeScale& scale, std::vector<Date> installed,
                  std::vector<CapGroup> groups, std::size_t block, const AgeTrack& sheltered, const AgeTrack& exposed);

    /// A graded look at the bedding.
    void see(const Look& look) { see(look.date, LookTable(look, scale_)); }
    /// The same with the look's table.
    void see(Date day, const LookTable& look);
    /// A wet or dry reading behind the joint: water comes in where cap and bedding are both open.
    /// @param chance_open, chance_closed  [-]
    void see_water(Date day, double chance_open, double chance_closed);
    /// To be called after the last look, before any question.
    void take_in_looks();
    bool was_seen() const { return !seen_.empty(); }

    /// Likelihood of the cap's and the bedding's looks together as a function of s, largest value 1.
    Column effect_likelihood() const;
    /// Likelihood of the bedding's looks as a function of s if the cap fails with this group (1 without looks).
    const Column& seen_by_group(std::size_t group) const { return by_effect_[seen_of_[group]]; }
    const std::vector<CapGroup>& groups() const { return groups_; }
    /// Takes the shared effects as they stand without this pair's own looks. This or the next is needed before any question.
    /// @param effect  Weights of s. [-]
    void settle(const Column& effect);
    /// The same if nothing was seen of either: one block of groups, as those effects have it.
    void settle(std::shared_ptr<const UnseenPair> unseen);

    /// Probability that the bedding is due (grade 3) by the morning of `day`. [-]
    double due(Date day) const { return worse_than(day, 1.0); }
    /// Probability that the worn share r has reached `worn_share`. [-]  @param worn_share  [-], >= 0
    double worse_than(Date day, double worn_share) const;
    /// The same for several worn shares of one day.  @param worn_shares  [-], >= 0
    std::vector<double> worse_than(Date day, const std::vector<double>& worn_shares) const;
    /// Probability that cap and bedding are both open. [-]
    double open(Date day) const;
    /// Expected condition grade of the bedding. [-]
    double expected_grade(Date day) const;
    /// Mean effective age of the bedding [yr], and its terms.
    ClockTerms mean_age(Date day) const;
    /// Probability of each cell of ln(life / scale), all groups together; sums to 1.
    Column mass() const;
    double scale() const { return life_scale_; }
    /// Groups with equal installation dates stand in blocks of so many.
    std::size_t block() const { return block_; }
    const AgeTrack& exposed() const { return *exposed_; }

private:
    /// Where all groups stand on one day, in cells of ln(age / scale); read once for all questions of that day.
    struct Standing {
        std::vector<double> position;      ///< per group whose cap has failed
        std::vector<double> waiting;       ///< per block: of all groups whose cap has not
        std::vector<std::size_t> failed;   ///< per block: how many have
    };
    Standing standing_on(Date day) const;
    template <class Failed, class Waiting>
    void walk(Date day, const Failed& failed, const Waiting& waiting) const;
    double worse_than(const Standing& standing, double worn_share) const;
    ClockTerms age(const CapGroup& group, Date day) const;
    template <class Share, class Chance>
    void multiply_seen(Date day, const Share& share, const Chance& chance);
    double beyond(std::size_t group, double position) const;
    double beyond_from(std::size_t group, double position) const;
    double group_weight(std::size_t group) const;
    /// What the probabilities of the shared table are multiplied by: it stands for one block.
    double share() const { return static_cast<double>(block_) / static_cast<double>(groups_.size()); }

    const LifePrior* prior_;
    double life_scale_;
    GradeScale scale_;
    std::vector<Date> installed_;
    std::vector<CapGroup> groups_;
    std::size_t block_;
    const AgeTrack* sheltered_;
    const AgeTrack* exposed_;
    std::vector<ClockTerms> start_;   ///< per block: sheltered age at the fitting [yr]
    std::vector<ClockTerms> change_;  ///< per group: age at the change less the exposed age then [yr]
    // Groups under which the bedding was equally old at each look share what was seen.
    std::vector<Column> seen_;              ///< chance of the bedding's looks per cell; empty without looks
    std::vector<Column> by_effect_;         ///< the same as a function of s
    std::vector<std::size_t> seen_of_;      ///< per group: which of these
    std::shared_ptr<const UnseenPair> unseen_;  ///< while nothing was seen
    GroupEffects effects_;         ///< else P(group, s)
    std::vector<Column> life_;     ///< per group, with looks: running sums of P(group, cell)
};

}  // namespace libseal
