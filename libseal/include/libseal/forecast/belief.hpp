#pragma once
// What is believed of a layer's life: a distribution of ln(threshold / phi) on a grid, sharpened by looks.

#include <algorithm>
#include <limits>
#include <memory>
#include <utility>
#include <vector>

#include "libseal/catalogue/sealant.hpp"
#include "libseal/core/columns.hpp"
#include "libseal/core/date.hpp"
#include "libseal/forecast/life_table.hpp"

namespace libseal {

/// How condition grades follow from the worn share r of the life (due at r = 1), and how well they are seen.
struct GradeScale {
    std::vector<double> cuts;    ///< r at which grades 1 to 5 are entered [-], rising, the third is 1
    double look_noise = 0.5;     ///< sd of a look [grades]
    double measured_noise = 0.5; ///< sd of a look that measured [grades]
    double detection = 1;        ///< chance that a look sees a defect that is there (grade 3 and worse) [-]
    double stray = 0;            ///< share of looks that say nothing (wrong joint, slip of the pen) [-]
};
GradeScale grade_scale(const Catalogue& catalogue);

/// Grade as a continuous quantity: k - 1/2 where grade k is entered, straight between, at most 5.5. [-]  @param r  [-], >= 0
double grade_of_worn_share(const GradeScale& scale, double r);

/// One look at a layer.
struct Look {
    Date date{};
    int lowest = 0;   ///< the grade seen lies in [lowest, highest]
    int highest = 5;  ///< see lowest
    double noise = std::numeric_limits<double>::quiet_NaN();  ///< sd of this look [grades]; NaN: that of the scale
    double early = 0;    ///< chance that a workmanship defect is there to be seen, beside the wear [-]
    double weight = 1;   ///< power of its likelihood [-]; below 1 where looks contradict each other
};

/// Chance that a look reports what it reports when the wear stands at `grade`. [-]  @param grade  [-], 0 to 5.5
double look_chance(const Look& look, const GradeScale& scale, double grade);

/// The chance of a look as a function of ln(r), tabulated: read once for every cell of a belief. Straight between nodes:
/// within 2e-5 of `look_chance` in the mean; the jump where a defect can be overlooked is one cell of 0.005 wide (tested).
class LookTable {
public:
    LookTable(const Look& look, const GradeScale& scale);
    /// Of chances that are tabulated already. @param chance  At each of `nodes()` worn shares. [-]
    explicit LookTable(std::shared_ptr<const Column> chance) : chance_(std::move(chance)) {}
    double operator()(double log_worn_share) const {
        const double position = std::clamp((log_worn_share - lowest) / step, 0.0, static_cast<double>(count));
        const auto cell = static_cast<Eigen::Index>(position);
        const double* chance = chance_->data() + cell;
        return chance[0] + (chance[1] - chance[0]) * (position - static_cast<double>(cell));
    }
    static Eigen::Index nodes() { return count + 2; }
    static double worn_share(Eigen::Index node);

private:
    static constexpr double lowest = -6.0, step = 0.005;  // below, every layer is as new; above, every one is open
    static constexpr int count = 1600;
    std::shared_ptr<const Column> chance_;
};

/// Prior of ln(life / scale) = ln(threshold) - ln(phi): Weibull threshold (conditional shape) of scale 1, and the
/// shared effects s = ln(phi), normal. Made once for all layers of a forecast.
///
/// All grids have cells of equal width around their nodes; the steps of s are whole numbers of cells, so that a mixture
/// over s is a sum of shifted thresholds.
struct LifePrior {
    Column threshold;       ///< probability of each cell of ln(threshold) [-], from `lowest()` minus the span of s
    Column effect;          ///< prior weights of s on its grid [-], sum to 1
    Column below;           ///< running sums of `threshold` from 0 [-], one more than cells
    int stride = 1;         ///< step of s in cells
    Column mass;            ///< probability of each cell of ln(life / scale) [-], sums to 1
    std::shared_ptr<const LifeTable> life;  ///< the same with running sums
    double median_log = 0;  ///< ln(marginal median / scale) [-]

    int effect_count() const { return static_cast<int>(effect.size()); }
    /// s at a node [-].
    double effect_node(int k) const;
    /// ln(life / scale) at a cell's node [-].
    static double life_node(Eigen::Index cell);
};
LifePrior life_prior(const LifeSpread& spread);

/// Normal weights on the grid of s, summing to 1. [-]  @param mean  [-]  @param variance  [-], >= 0
Column effect_weights(const LifePrior& prior, double mean, double variance);
/// Probability of each cell of ln(life / scale) when s has these weights (need not sum to 1). [-]
/// @param effect  [-]
Column mixed_mass(const LifePrior& prior, const Column& effect);
/// Where the running sum of cells reaches p [-].  @param mass, p  [-]
double quantile_log(const Column& mass, double p);

/// Life of a layer in effective years: threshold / phi, on a fixed grid of its logarithm.
///
/// The scale is set so that the marginal median is `median_life`. Several possible installation dates are
/// weighed together. Until something is seen of the layer it holds no numbers of its own: all layers that hear the same of
/// their shared effects share one table.
class LifeBelief {
public:
    /// @param median_life  [yr], > 0
    /// @param nodes  Number of possible installation dates, >= 1, equally likely.
    LifeBelief(const LifePrior& prior, double median_life, int nodes);

    /// Weighs every life and installation date by the chance of a look's grade.
    /// @param effective_age  At the look, per installation date [yr]; <= 0: not yet fitted then, says nothing.
    void see(const Look& look, const std::vector<double>& effective_age, const GradeScale& scale) { see(LookTable(look, scale), effective_age); }
    /// The same with the look's table. @return  Chance that it reports what it reports, as things were believed before. [-]
    double see(const LookTable& look, const std::vector<double>& effective_age);
    /// Takes a look into `effect_likelihood` and `seen` alone, with the bits of `see`: for who asks nothing of the life itself afterwards.
    /// @param effective_age  Per installation date. [yr]
    void note(const LookTable& look, const std::vector<double>& effective_age) { gather(chances(look, effective_age)); }
    /// Chance that a look reports what it reports, as things are believed now. [-]
    /// @param effective_age  Per installation date. [yr]
    double chance(const LookTable& look, const std::vector<double>& effective_age) const;
    /// Weighs by whether the layer is open (grade 5): chances of what was seen if it is, and if it is not.
    /// @param chance_open, chance_closed  [-]  @param effective_age  Per installation date. [yr]
    void see_open(double chance_open, double chance_closed, const std::vector<double>& effective_age,
                  const GradeScale& scale);
    /// Takes the shared effects as they stand without this layer's own looks. @param effect  Weights on the grid of s. [-]
    void set_effect(const LifePrior& prior, const Column& effect);
    /// The same for a layer of which nothing was seen: its lives as those effects have them, summing to 1.
    void set_effect(std::shared_ptr<const LifeTable> life);
    /// The same, with weights of s per cell: what else was seen may hang on this layer's own life.
    /// @param effect_of  (cell, node of installation) -> weights of s; they need not sum to 1.
    template <class EffectOf>
    void set_effect_by_cell(const LifePrior& prior, EffectOf&& effect_of);

    /// Likelihood of all looks as a function of s, largest value 1. [-]
    Column effect_likelihood(const LifePrior& prior) const;

    /// Probability of being due at these effective ages (one per installation date). [-]
    /// @param effective_age  [yr]
    double due(const std::vector<double>& effective_age) const;
    /// Effective age at which the probability of being due reaches p if all installation dates were one. [yr]  @param p  [-]
    double age_of(double p) const;
    /// Expected condition grade at these effective ages, 0 to 5. [-]  @param effective_age  [yr]
    double expected_grade(const std::vector<double>& effective_age, const GradeScale& scale) const;
    /// Least probability that the model gave to any look before it was made: near 0, look and model disagree. [-]
    double least_chance() const { return least_chance_; }
    /// Mean and sd of ln(life / scale), scale being the Weibull scale behind the median. [-]
    double mean_log() const;
    double sd_log() const;
    /// Life at r = 1 of scale 1 [yr].
    double scale() const { return scale_; }
    /// Whether anything was seen of it.
    bool is_seen() const { return seen_.size() > 0; }
    int nodes() const { return nodes_; }
    Eigen::Index cells() const { return table(0).cells().size(); }
    /// Probability of each cell, all installation dates together; sums to 1.
    Column mass() const;
    /// Probability of an installation date; they sum to 1. [-]
    double node_weight(Eigen::Index node) const { return share() * table(node).sum(); }
    /// Chance of all looks per cell if this is the installation date, in units of one constant.
    Column seen(Eigen::Index node) const { return is_seen() ? seen_.col(node) : Column::Ones(cells()).eval(); }

private:
    Eigen::ArrayXXd chances(const LookTable& look, const std::vector<double>& effective_age) const;
    double mean_of(const Eigen::ArrayXXd& chance) const;
    void weigh(const Eigen::ArrayXXd& chance);
    void gather(const Eigen::ArrayXXd& chance);
    void hold(const Eigen::ArrayXXd& weight);
    const LifeTable& table(Eigen::Index node) const { return *lives_[is_seen() ? static_cast<std::size_t>(node) : 0]; }
    /// What a table's probabilities are multiplied by.
    double share() const { return is_seen() ? 1.0 : 1.0 / nodes_; }

    double scale_;
    int nodes_;
    Eigen::ArrayXXd seen_;  ///< chance of all looks per (cell, installation date), largest value 1; empty without looks
    std::vector<std::shared_ptr<const LifeTable>> lives_;  ///< per installation date; without looks one for all
    double least_chance_ = 1;
};

template <class EffectOf>
void LifeBelief::set_effect_by_cell(const LifePrior& prior, EffectOf&& effect_of) {
    Eigen::ArrayXXd weight(cells(), nodes_);
    for (Eigen::Index j = 0; j < weight.cols(); ++j) {
        weight.col(j) = seen(j);
        for (Eigen::Index i = 0; i < weight.rows(); ++i) {
            const Column& effect = effect_of(i, j);
            double sum = 0;
            for (Eigen::Index k = 0; k < effect.size(); ++k) sum += effect[k] * prior.threshold[i + k * prior.stride];
            weight(i, j) *= sum;
        }
    }
    if (!is_seen()) seen_ = Eigen::ArrayXXd::Ones(weight.rows(), weight.cols());
    hold(weight / weight.sum());
}

}  // namespace libseal
