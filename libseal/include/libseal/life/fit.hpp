#pragma once
// Lives from records: maximum likelihood for failures that are seen late, early, at looks, or not yet.

#include <Eigen/Core>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "libseal/core/columns.hpp"
#include "libseal/core/progress.hpp"

namespace libseal {

namespace detail {
struct FittedLife;
}

/// How records are to be fitted. Empty columns stand for "none".
struct FitOptions {
    Eigen::ArrayXXd covariates{};             ///< a row per record, a column per covariate x [any unit]; ln scale = ln scale at x = 0 + x'b
    Column entry{};                           ///< age since when a record is watched: it counts only because it was sound then [yr], >= 0
    std::string distribution = "weibull";     ///< exponential, weibull, lognormal, loglogistic, or early_and_wear_out
    std::vector<std::string> names{};         ///< of the covariates; x1, x2, ... if empty
    Column weights{};                         ///< how many lives a record stands for [-], >= 0; 1 if empty
    std::vector<std::string> groups{};        ///< label of each record; records of one group share a normal effect on ln scale
    std::vector<Column> visits{};             ///< of each record: the looks that found nothing, ascending, the last one `lower` [yr]
    double detection = 1;                     ///< chance that a look finds a defect that is there [-], above 0 to 1; below 1 needs visits
    bool estimate_detection = false;          ///< estimate that chance too, from `detection` as a start
    int nodes = 24;                           ///< of the quadrature over the effect of a group, 8 to 64
    int threads = 0;                          ///< 0: one per processor; the result has the same bits for any number
    Watch watch{};                            ///< asked before every walk through the records
};

/// One end of an interval of confidence, and whether it is one.
struct FitLimit {
    double value = 0;             ///< of the limit [unit of what is limited]; if `unbounded`, the end of the range (0, 1, +-inf)
    std::string state = "found";  ///< found, unbounded (the data exclude nothing on this side), or failed (could not be computed)
};
/// Interval of confidence of a parameter or of a quantile.
struct FitLimits {
    FitLimit low{};
    double estimate = 0;  ///< lies between the limits [unit of what is limited]
    FitLimit high{};
};

/// A fitted life, or the reason in the data why there is none. Copies share one state. @threads  safe.
class LifeFit {
public:
    explicit LifeFit(std::shared_ptr<const detail::FittedLife> state);

    /// True if the likelihood has its maximum at the estimate; else `cause` and `sentence` say what is missing in the data,
    /// and every other question is a StateError with that sentence.
    bool converged() const;
    /// One word, "" if converged: no_record, no_failure, all_failed_before, one_time, constant_covariate,
    /// collinear_covariates, separated_covariate, too_few_times, no_spread, shape_vanishes, no_early_part, detection_certain,
    /// detection_nil, not_identified.
    const std::string& cause() const;
    /// The cause in full, with numbers and names; "" if converged.
    const std::string& sentence() const;
    /// What the reader should know of a fit that converged, for example that groups differ no more than chance explains.
    const std::vector<std::string>& notes() const;
    /// As given to `fit_life`.
    const std::string& distribution() const;
    /// Sum of the weights of all records. [lives]
    double records() const;
    /// Sum of the weights of records that failed. [lives]
    double failures() const;

    /// Name and value: scale (weibull, loglogistic, early_and_wear_out; at covariates 0), shape; exponential: scale alone;
    /// lognormal: median, sigma; then the coefficients of covariates on ln scale, early_share, early_life, detection,
    /// group_sd as far as they are there. Times in the unit of the records. [unit of the parameter]
    std::vector<std::pair<std::string, double>> parameters() const;
    /// Names of the coordinates that are estimated: log_scale, the covariates, log_sigma (sigma = 1/shape), early_log_odds,
    /// log_early_life, detection_log_odds, group_sd.
    std::vector<std::string> coordinates() const;
    /// Estimates in these coordinates. [-]
    Column estimate() const;
    /// Covariance of `estimate`: inverse of the observed information. [-]
    Eigen::ArrayXXd covariance() const;
    /// The same with sigma in the place of ln sigma and group_sd, early_share, detection as they are: as (mu, sigma) are
    /// printed in books. [-]
    Eigen::ArrayXXd covariance_location_scale() const;

    /// ln likelihood of the records; exact failures with their density in t. [-]
    double log_likelihood() const;
    /// Akaike's criterion: 2 (parameters - ln likelihood). [-]
    double aic() const;
    /// Largest slope of the ln likelihood at the estimate, each in units of its standard error. [-]
    double gradient() const;

    /// Share of lives that last longer than t. [-]; of a typical group (effect 0) if there are groups.
    /// @param t  [yr]  @param covariates  One value per covariate of the fit. [unit of the covariate]
    double survival(double t, ConstColumn covariates = Column()) const;
    /// Density of the life. [1/yr], 0 for t <= 0; else as `survival`.
    /// @param t  [yr]  @param covariates  [unit of the covariate]
    double density(double t, ConstColumn covariates = Column()) const;
    /// Rate of failure among those still sound. [1/yr]; else as `survival`.
    /// @param t  [yr]  @param covariates  [unit of the covariate]
    double hazard(double t, ConstColumn covariates = Column()) const;
    /// Time by which a share p has failed. [yr]; else as `survival`.
    /// @param p  [-], in (0, 1)  @param covariates  [unit of the covariate]
    double quantile(double p, ConstColumn covariates = Column()) const;
    /// Survival over all groups: the mean over the effect of a group that is not known. 1 group: as `survival`. [-]
    /// @param t  [yr]  @param covariates  [unit of the covariate]
    double survival_over_groups(double t, ConstColumn covariates = Column()) const;

    /// Limits of a parameter of `parameters`. [unit of the parameter]
    /// @param method  profile: where the profile likelihood falls by half the quantile of chi-square; wald: estimate and
    /// standard error, on ln for what is positive, on ln odds for shares.  @param confidence  [-], in (0, 1)
    /// @throws ValueError  there is no parameter of that name. @throws Cancelled
    FitLimits limits(const std::string& name, double confidence = 0.95, const std::string& method = "profile", const Watch& watch = {}) const;
    /// Limits of `quantile`, on ln t. [yr]
    /// @param p  [-], in (0, 1)  @param covariates  [unit of the covariate]  @param confidence  [-], in (0, 1)
    FitLimits quantile_limits(double p, ConstColumn covariates = Column(), double confidence = 0.95,
                              const std::string& method = "profile", const Watch& watch = {}) const;

    const detail::FittedLife& state() const { return *state_; }

private:
    const detail::FittedLife& fitted() const;
    std::shared_ptr<const detail::FittedLife> state_;
};

/// Fits a life to records by maximum likelihood.
///
/// `lower == upper`: failed at that age; `upper` infinite: sound at `lower`, not seen since; `lower` 0: failed before
/// `upper`; else failed after `lower`, not after `upper`. With `entry` e and `lower` 0: failed after e, not after `upper`.
/// @param lower,upper  [yr] or any other unit of time; 0 <= lower <= upper, 0 < upper
/// @throws ValueError  naming the argument and the first row that cannot be; what the data lack is no error but a `cause`.
/// @throws Cancelled  if a stop was asked for.
/// @source  Meeker & Escobar 1998, Statistical Methods for Reliability Data, chapters 7, 8, 11, 17 (from memory); the
/// early part after Chan & Meeker 1999, IEEE Trans. Reliability 48(4) (from memory): see docs/life_fits.md.
LifeFit fit_life(ConstColumn lower, ConstColumn upper, const FitOptions& options = {});

/// Whether a wider model is better by more than chance.
struct LikelihoodRatio {
    double statistic = 0;  ///< twice the gain in ln likelihood [-]
    int freedom = 0;       ///< parameters more
    double p = 1;          ///< chance of such a gain if the narrow model holds [-], by chi-square; half of it for group_sd alone
};
/// @param narrow,wide  Fits to the same records; the narrow one is the wide one without some parameters.
/// @throws ValueError  if it is not, or the records differ, or what they have in common: covariates of a name, groups, looks.
LikelihoodRatio likelihood_ratio_test(const LifeFit& narrow, const LifeFit& wide);

}  // namespace libseal
