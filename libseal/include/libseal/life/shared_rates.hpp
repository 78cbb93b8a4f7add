#pragma once
// Rates of many units that are alike but not the same: shrunk rates, and which of them stand out.

#include "libseal/core/columns.hpp"

namespace libseal {

/// Rates of units whose events are Poisson and whose true rates are gamma distributed, the gamma fitted to them all.
struct SharedRates {
    double shape = 0;    ///< of the gamma distribution of rates [-]; infinite if `alike`
    double rate = 0;     ///< its rate parameter [unit of exposure]; infinite if `alike`
    double overall = 0;  ///< mean rate [1/unit of exposure], shape/rate
    double log_likelihood = 0;  ///< of all counts [-]
    double log_shape_variance = 0;  ///< of the estimate of ln shape [-]; 0 if `alike`
    double log_covariance = 0;      ///< of ln shape and ln rate [-]; 0 if `alike`
    double log_rate_variance = 0;   ///< of the estimate of ln rate [-]; 0 if `alike`
    bool alike = false;  ///< the counts spread no more than chance does: every unit gets the overall rate
    Column mean;         ///< rate of each unit [1/unit of exposure], drawn to the overall rate
    Column sd;           ///< of that rate [1/unit of exposure]; 0 if `alike`
    Column lower;        ///< limit of the rate with the confidence asked for [1/unit of exposure]
    Column upper;        ///< limit of the rate [1/unit of exposure]
    Column above;        ///< probability that the unit's rate is above `overall` [-]; 0.5 if `alike`
};
/// Shrunk rates by empirical Bayes: shape and rate by maximum likelihood of the negative binomial counts. The limits take
/// shape and rate as known; `shared_rates_bayes` does not. [events, any unit of exposure]
/// @param events      [events], >= 0, at least one above 0  @param exposure  [unit of exposure], > 0, as many; at least two units
/// @param confidence  Of each pair of limits. [-], in (0, 1)
/// @throws ValueError  with the row that is wrong.
/// @source  Gaver & O'Muircheartaigh 1987, Technometrics 29:1.
/// @accuracy  1e-8 of shape and rate
SharedRates shared_rates(ConstColumn events, ConstColumn exposure, double confidence = 0.95);

/// What is believed of shape and rate before: gamma distributions.
struct SharedRatesPrior {
    double shape_shape = 1;   ///< shape of the belief about the shape [-], > 0
    double shape_rate = 1;    ///< rate of the belief about the shape [-], > 0
    double rate_shape = 0.1;  ///< shape of the belief about the rate [-], > 0
    double rate_rate = 1;     ///< rate of the belief about the rate [1/unit of exposure], > 0
    double known_shape = 0;   ///< [-]; above 0: the shape is known and its belief is not used
};
/// Rates with the doubt about shape and rate counted in.
struct SharedRatesBelief {
    double shape_mean = 0;  ///< [-]
    double shape_sd = 0;    ///< [-]
    double rate_mean = 0;   ///< [unit of exposure]
    double rate_sd = 0;     ///< [unit of exposure]
    Column mean;            ///< rate of each unit [1/unit of exposure]
    Column sd;              ///< of that rate [1/unit of exposure]
    Column above;           ///< probability that the unit's rate is above shape/rate [-]
};
/// Shrunk rates by full Bayes: a sum over a grid of ln shape and ln rate. [events, any unit of exposure]
/// @param events  As `shared_rates`; no event at all is allowed. [events]  @param exposure  [unit of exposure]
/// @source  Hierarchical model of Gelfand & Smith 1990, JASA 85:398 (from memory). @accuracy  1e-8 of mean
SharedRatesBelief shared_rates_bayes(ConstColumn events, ConstColumn exposure, const SharedRatesPrior& prior = {});

/// Adjusted p values: those at most q are discoveries of which in the long run a share q is false. [-]
/// @param p  [-], 0 to 1  @return  As many, in the same order.
/// @source  Benjamini & Hochberg 1995, JRSS B 57:289.
Column benjamini_hochberg(ConstColumn p);

/// Limits of observed over expected for units that are as they should be.
struct FunnelLimits {
    Column expected;  ///< [events]
    Column lower;  ///< of observed/expected [-]
    Column upper;  ///< of observed/expected [-]
};
/// Exact Poisson limits, interpolated between counts so that they are smooth in `expected`. [events]
/// @param expected  [events], above 0 to 10^8  @param confidence  Between both limits. [-], in (0, 1)
/// @source  Spiegelhalter 2005, Stat. Med. 24:1185 (from memory).
FunnelLimits funnel_limits(ConstColumn expected, double confidence = 0.95);

/// Events against those expected.
struct RateRatio {
    double ratio = 0;       ///< events/expected [-]
    double lower = 0;       ///< exact limit of the ratio [-]
    double upper = 0;       ///< exact limit of the ratio [-]
    double p_high = 1;      ///< chance of so many or more if the ratio is 1 [-]
    double p_low = 1;       ///< chance of so few or fewer [-]
    double mid_p_high = 1;  ///< the same with half of the chance of just so many [-]
    double mid_p_low = 1;   ///< [-]
};
/// @param events  [events], whole, 0 to 10^8  @param expected  [events], above 0 to 10^8
/// @param confidence  Of both limits together. [-], in (0, 1)
/// @source  Garwood 1936 for the limits; Lancaster 1961 for mid-P (from memory).
RateRatio rate_ratio(double events, double expected, double confidence = 0.95);

/// How much would have to be seen to tell.
struct ExposureNeeded {
    double exposure = 0;  ///< least exposure [unit of exposure]
    double expected = 0;  ///< events expected in it if the rate is as it should be [events]
    int critical = 0;     ///< ratio above 1: so many events or more tell; below 1: so few or fewer
};
/// Least exposure at which an exact one-sided test tells a rate `ratio` times the expected one from the expected one. [1/unit of exposure]
/// @param expected_rate  [1/unit of exposure], > 0  @param ratio  [-], > 0, not 1
/// @param alpha  Chance of a false alarm. [-], in (0, 1)  @param power  Chance to tell. [-], above alpha to below 1
/// @throws ValueError  also where over 10^7 events were needed.
ExposureNeeded exposure_to_settle(double expected_rate, double ratio, double alpha = 0.05, double power = 0.8);

}  // namespace libseal
