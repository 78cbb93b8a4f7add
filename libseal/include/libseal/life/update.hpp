#pragma once
// What is known before and what is seen give what is known after: the small exact updates.

#include "libseal/core/columns.hpp"

namespace libseal {

/// Belief about a share: beta distribution.
struct BetaBelief {
    double a = 1;  ///< [-], 1 + successes of a uniform start, > 0
    double b = 1;  ///< [-], 1 + failures of a uniform start, > 0
    /// [-]
    double mean() const { return a / (a + b); }
    /// Standard deviation [-].
    double sd() const;
    /// Share that is not exceeded with probability p. [-]  @param p  [-], in (0, 1)
    double quantile(double p) const;
    /// After `successes` in `trials`. 0 <= successes <= trials [-]  @param successes, trials  [trials]
    BetaBelief after(double successes, double trials) const;
};

/// Belief about a rate of events: gamma distribution.
struct GammaBelief {
    double shape = 1;  ///< [-], > 0
    double rate = 1;   ///< [unit of exposure], > 0
    /// [1/unit of exposure]
    double mean() const { return shape / rate; }
    /// Standard deviation [1/unit of exposure].
    double sd() const;
    /// Rate that is not exceeded with probability p. [1/unit of exposure]  @param p  [-], in (0, 1)
    double quantile(double p) const;
    /// After `events` in `exposure`. Both >= 0 [unit of exposure]
    /// @param events  [events]  @param exposure  [unit of exposure]
    GammaBelief after(double events, double exposure) const;
};

/// Belief about a level: normal distribution.
struct NormalBelief {
    double mean = 0;  ///< [unit of the level]
    double sd = 1;    ///< [unit of the level], > 0
    /// Level that is not exceeded with probability p. [unit of the level]  @param p  [-], in (0, 1)
    double quantile(double p) const;
    /// After values seen with an error of standard deviation `error`. error > 0 [unit of the level]
    /// @param values, error  [unit of the level]
    NormalBelief after(ConstColumn values, double error) const;
};

/// Probabilities of states after seeing the same kind of evidence `times` times. [-]
/// @param prior       Of each state. [-], >= 0, sum > 0  @param likelihood  Of the evidence in each state. [-], >= 0, as many
/// @return  Sum 1. @throws ValueError  lengths differ, or no state can explain the evidence.
/// @source  Bayes' theorem; for inspection effectiveness the form of API RP 581.
Column update_states(ConstColumn prior, ConstColumn likelihood, int times = 1);

/// Lives as they are seen: failed between lower and upper. Equal: failed then; upper infinite: sound at lower; lower 0:
/// failed before upper. [yr]
struct LifeData {
    Column lower;  ///< [yr]
    Column upper;  ///< [yr]
};

/// What is believed of a positive number: lognormal.
struct LognormalPrior {
    double median = 1;  ///< [unit of the number], > 0
    double log_sd = 1;  ///< of the logarithm [-], above 0 to 5
};

/// Belief about the scale of a Weibull life after data.
struct ScalePosterior {
    double evidence = 0;  ///< probability (density, for exact lives) of the data before they were seen [-]
    double mean = 0;      ///< [yr]
    double sd = 0;        ///< [yr]
    double log_mean = 0;  ///< mean of ln scale [-]
    double log_sd = 0;    ///< standard deviation of ln scale [-]
    Column edge;          ///< of panels of ln scale [-], ascending
    Column below;         ///< probability below each edge [-], 0 to 1
    Column slope;         ///< density of ln scale at each edge [-]
    /// Scale that is not exceeded with probability p. [yr]  @param p  [-], in (0, 1)
    double quantile(double p) const;
};
/// @param shape  Known shape of the life. [-], > 0  @param scale  Belief before. [yr]
/// @throws ValueError  with the row of the first life that is none.
/// @accuracy  1e-9 of mean and sd, 1e-8 of quantiles.
ScalePosterior scale_posterior(const LifeData& data, double shape, const LognormalPrior& scale);

/// Belief about scale and shape together.
struct LifePosterior {
    double evidence = 0;          ///< [-]
    double scale_mean = 0;        ///< [yr]
    double shape_mean = 0;        ///< [-]
    double log_scale_mean = 0;    ///< of ln scale [-]
    double log_shape_mean = 0;    ///< of ln shape [-]
    double log_scale_sd = 0;      ///< of ln scale [-]
    double log_shape_sd = 0;      ///< of ln shape [-]
    double log_covariance = 0;    ///< of ln scale and ln shape [-]
};
/// The same with the shape unknown too; arguments and errors as `scale_posterior`. @accuracy  1e-8
LifePosterior life_posterior(const LifeData& data, const LognormalPrior& scale, const LognormalPrior& shape);

}  // namespace libseal
