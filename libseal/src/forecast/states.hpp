#pragma once
// What the laws of ageing say of one layer.

#include <limits>
#include <map>
#include <vector>

#include "forecast/basis.hpp"

namespace libseal::detail {

/// Largest movement over the capability that is left; and the age at which the two are equal.
struct Utilisation {
    double now = std::numeric_limits<double>::quiet_NaN();      ///< [-]
    double full_age = std::numeric_limits<double>::infinity();  ///< [effective yr]
};
Utilisation utilisation_of(const ForecastBasis& basis, const LayerRow& row, double effective_age);

/// Clocks that no forecast needs, those of bonds and of the flow of tapes: worked out for the rows whose states are asked
/// for, and kept in the session of the forecast.
class StateClocks {
public:
    /// @param rows  Of the forecast.
    StateClocks(const ForecastBasis& basis, const std::vector<Eigen::Index>& rows);
    /// Age of a layer under such a law, in the months of its coach.
    AgeTrack track(const LayerRow& row, Law law, const CoachTracks& tracks) const;

private:
    const ForecastBasis& basis_;
    ClockStore store_;
    std::map<ClockKey, int> index_;
};

/// Fills one row.
void state_of(const ForecastBasis& basis, const JointBelief& belief, std::size_t layer, const CoachTracks& tracks,
              const StateClocks& clocks, LayerStates& result, Eigen::Index row);

}  // namespace libseal::detail
