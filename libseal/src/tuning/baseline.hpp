#pragma once
// The life of a family as a history shows it, and how much of it each layer has been through.

#include <memory>
#include <vector>

#include "libseal/forecast/belief.hpp"
#include "libseal/tuning/history.hpp"

namespace libseal::detail {

/// Wear by the model's distribution with a scale of its own, and early defects beside it: S = S_wear(t) (1 - q (1 - e^(-t/tau))).
class BaselineLife {
public:
    /// @param table  ln(life / scale) of wear.  @param early_time  tau [yr]
    BaselineLife(std::shared_ptr<const LifeTable> table, double scale, double early_share, double early_time)
        : table_(std::move(table)), scale_(scale), early_share_(early_share), early_time_(early_time) {}

    double scale() const { return scale_; }
    double early_share() const { return early_share_; }
    /// -ln S(t). [-], finite
    double hazard_until(double t) const;

private:
    std::shared_ptr<const LifeTable> table_;
    double scale_, early_share_, early_time_;
};

/// Ages between which a layer came due, or was last seen sound (upper infinite), watched from `entry` on.
struct Watched {
    double lower, upper, entry;
    bool due() const { return std::isfinite(upper); }
};

/// What a watched layer was exposed to: its cumulative hazard from entry on, where it came due the mean between its looks. [-]
double exposure_of(const BaselineLife& life, const Watched& watched);

/// The most likely life of some layers, a weak belief around the catalogue's held beside them.
/// @param median_life  Of the catalogue [effective yr].
BaselineLife fitted_baseline(const std::vector<Watched>& layers, const LifePrior& prior, const LifeSpread& spread, double median_life);

/// Chance of `events` or more when those of a cluster are Poisson with its expectation times a common lognormal factor of mean 1.
/// @param log_sd  Of the factor [-].
double clustered_upper_tail(int events, const std::vector<double>& expected, double log_sd);

}  // namespace libseal::detail
