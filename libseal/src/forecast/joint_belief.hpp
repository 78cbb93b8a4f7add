#pragma once
// One joint: its layers' ages, looks and beliefs together, and the questions asked of them.

#include <deque>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <tuple>
#include <vector>

#include "forecast/appearance.hpp"
#include "forecast/dates.hpp"
#include "forecast/day_search.hpp"
#include "forecast/layers.hpp"
#include "forecast/looks.hpp"
#include "libseal/forecast/coupling.hpp"

namespace libseal::detail {

/// Ages by day of the layers of one coach; equal ones are built once.
class CoachTracks {
public:
    CoachTracks(const FleetClocks& clocks, std::size_t coach, Date as_of);
    /// @param factors  One per stay, empty: 1 everywhere.
    const AgeTrack& track(const std::vector<int>& keys, const std::vector<double>& factors = {});
    const std::vector<MonthOfStay>& months() const { return months_; }

private:
    const FleetClocks& clocks_;
    std::vector<MonthOfStay> months_;
    std::map<std::tuple<std::vector<int>, std::vector<double>>, AgeTrack, std::less<>> tracks_;
};

/// Possible installation dates of a layer, equally likely: middle days of equal pieces of its interval.
std::vector<Date> install_nodes(const Layer& layer);
/// Mean of the calendar ages on a day. [yr]
double mean_years(const std::vector<Date>& installed, Date day);
/// Odds of a workmanship defect that nobody has seen by that age [yr].
double early_odds(const LifeSpread& spread, double joint_length, double age);

/// A standing layer with its belief.
struct LayerState {
    std::size_t row = 0;                     ///< of the forecast
    const Layer* layer = nullptr;
    const AgeTrack* track = nullptr;
    const AgeTrack* usual_track = nullptr;   ///< as if it moved as usual; the same one if it does
    std::vector<Date> installed;             ///< possible dates
    LifeBelief belief;                       ///< of a bedding under a cap: as if the cap stayed sound
    std::vector<Look> looks;                 ///< of this generation
    double early_odds = 0;                   ///< of a workmanship defect not yet seen
    double least_chance = 1;              ///< least chance that was given to a look
};

/// Belief of a joint. Make, `settle` on what the others say, then ask.
class JointBelief {
public:
    /// @param first, end  Rows of the joint's layers in `clocks.layers`.
    /// @param wanted  Of dates alone: the joint is never asked whether it is open.
    JointBelief(const FleetClocks& clocks, const LifeModel& model, const Catalogue& catalogue, std::size_t first,
                std::size_t end, const JointLooks* looks, CoachTracks& tracks, Date as_of, Columns wanted = Columns::all);

    EffectKey key() const { return key_; }
    /// Likelihood of all that was seen of this joint, as a function of s.
    Column effect_likelihood() const;
    /// Takes in what all other joints say of this one's s.
    void settle(const EffectMoments& others);

    std::size_t size() const { return layers_.size(); }
    const LayerState& layer(std::size_t l) const { return layers_[l]; }
    bool is_coupled(std::size_t l) const { return bedding_ && l == bedding_at_; }
    /// A cap or bedding whose lives are believed together.
    bool is_of_pair(std::size_t l) const { return bedding_ && (l == cap_at_ || l == bedding_at_); }
    const BeddingBelief& bedding() const { return *bedding_; }

    double due(std::size_t l, Date day) const { return worse_than(l, day, 1.0); }
    /// Probability that the worn share r of a layer has reached `worn_share`. [-]
    double worse_than(std::size_t l, Date day, double worn_share) const;
    /// The same for several worn shares of one day.
    std::vector<double> worse_than(std::size_t l, Date day, const std::vector<double>& worn_shares) const;
    /// Worn share that is below with probability p; at most that of grade 5. [-]
    double worn_share(std::size_t l, Date day, double p) const;
    /// First day on which the probability of being due reaches p.
    Date day_of(std::size_t l, double p) const;
    /// The same for several p: what was asked for one helps the next.
    Date day_of(std::size_t l, double p, DaySearch& search) const;
    /// Of the probability of being due; the belief must outlive it.
    DaySearch due_search(std::size_t l) const;
    double expected_grade(std::size_t l, Date day) const;
    const GradeScale& scale() const { return model_.scale; }
    /// Terms of the effective age, mean over what is not known. [yr]
    ClockTerms mean_age(std::size_t l, Date day) const;
    /// Probability that water has a way in: all barriers open, or the fasteners bare. [-]
    double open(Date day) const;
    /// Expected grade of the outermost layer's appearance; NaN if its family has none. [-]
    double appearance(Date day) const;
    /// Belief of s = ln(phi) with all that was seen, on the grid of the prior; sums to 1.
    const Column& effect() const { return unseen_ ? unseen_->effect : effect_; }
    double effect_mean() const;
    /// Probability of each cell of ln(life / scale) of a layer.
    Column life(std::size_t l) const { return is_coupled(l) ? bedding_->mass() : layers_[l].belief.mass(); }
    double life_scale(std::size_t l) const { return layers_[l].belief.scale(); }

private:
    void add_layer(const FleetClocks& clocks, std::size_t row, const JointLooks* looks, CoachTracks& tracks, Date as_of);
    void see_past(const PastGeneration& past, Date after, const JointLooks& looks, const std::string& kind, const AgeTrack& track);
    void see_layers(const JointLooks* looks);
    void see_early(LayerState& state, const Look& look, const std::vector<double>& ages);
    void couple(const FleetClocks& clocks, CoachTracks& tracks);
    int cap_class_count(bool paired) const;
    std::vector<CapGroup> cap_groups(bool paired, const std::vector<CapClass>& classes) const;
    void settle_on_looks(const EffectMoments& others);
    void settle_cap(const Column& others);
    void see_water(const JointLooks& looks);
    void see_water(Date day, double chance_open, double chance_closed);
    void see_appearance(const FleetClocks& clocks, const JointLooks* looks, CoachTracks& tracks);
    std::vector<double> ages(const LayerState& state, Date day) const;
    double layer_open(std::size_t l, Date day) const;
    double pair_open(Date day);
    Column without(std::size_t l) const;
    std::size_t find(const char* kind) const;

    const LifeModel& model_;
    const Catalogue& catalogue_;
    const Joint& joint_;
    EffectKey key_;
    std::deque<LayerState> layers_;
    std::size_t cap_at_ = 0, bedding_at_ = 0;
    std::optional<BeddingBelief> bedding_;           ///< if there is a cap over it
    bool asked_if_open_;
    bool was_looked_at_;                             ///< else no belief holds numbers of its own
    Column background_;                              ///< of past generations and appearance, as a function of s; empty: 1
    double appearance_life_ = 0;                     ///< median, by the appearance clock [yr]
    std::optional<AppearanceBelief> appearance_;     ///< if the joint was looked at
    const AgeTrack* appearance_track_ = nullptr;     ///< null if the family has no appearance
    std::shared_ptr<const UnseenJoint> unseen_;      ///< once settled, if nobody looked
    Column effect_;                                  ///< else its own
};

}  // namespace libseal::detail
