#pragma once
// What is believed of a layer's life: a distribution of ln(threshold / phi) on a grid, sharpened by looks.

#include <vector>

#include "libseal/catalogue/sealant.hpp"
#include "libseal/core/columns.hpp"
#include "libseal/core/date.hpp"

namespace libseal {

/// How condition grades follow from the worn share r of the life (due at r = 1), and how well they are seen.
struct GradeScale {
    std::vector<double> cuts;  ///< r at which grades 1 to 5 are entered [-], rising, the third is 1
    double look_noise = 0.5;   ///< sd of a look [grades]
};
GradeScale grade_scale(const Catalogue& catalogue);

/// Grade as a continuous quantity: k - 1/2 where grade k is entered, straight between, at most 5.5. r >= 0.
double grade_of_worn_share(const GradeScale& scale, double r);

/// One look at a layer.
struct Look {
    Date date{};
    int lowest = 0;   ///< the grade seen lies in [lowest, highest]
    int highest = 5;  ///< appearance alone says no more than "at most 2"
};

/// Prior of ln(life / scale): Weibull threshold (conditional shape) over a lognormal of all shared effects.
/// Made once for all layers of a forecast.
struct LifePrior {
    Column mass;            ///< probability of each grid cell, sums to 1
    double median_log = 0;  ///< ln(marginal median / scale) [-]
};
LifePrior life_prior(const LifeSpread& spread);

/// Life of a layer in effective years: threshold / phi, on a fixed grid of its logarithm.
///
/// The scale is set so that the marginal median is `median_life`. Several possible installation dates are
/// weighed together.
class LifeBelief {
public:
    /// @param nodes  Number of possible installation dates, >= 1, equally likely.
    LifeBelief(const LifePrior& prior, double median_life, int nodes);

    /// Weighs every life and installation date by the chance of a look's grade.
    /// @param effective_age  At the look, per installation date [yr]; <= 0: not yet fitted then, says nothing.
    void see(const Look& look, const std::vector<double>& effective_age, const GradeScale& scale);

    /// Probability of being due at these effective ages (one per installation date). [-]
    double due(const std::vector<double>& effective_age) const;
    /// Expected condition grade at these effective ages, 0 to 5. [-]
    double expected_grade(const std::vector<double>& effective_age, const GradeScale& scale) const;
    /// Least probability that the model gave to any look before it was made: near 0, look and model disagree. [-]
    double least_chance() const { return least_chance_; }
    /// Mean and sd of ln(life / scale), scale being the Weibull scale behind the median. [-]
    double mean_log() const;
    double sd_log() const;

private:
    void make_cumulative();
    double scale_;
    Eigen::ArrayXXd weight_;      ///< probability per (life node, installation node); sums to 1
    Eigen::ArrayXXd cumulative_;  ///< running sums over life nodes
    double least_chance_ = 1;
};

}  // namespace libseal
