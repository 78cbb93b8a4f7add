#pragma once
// What the laws of ageing say of one layer.

#include <limits>

#include "forecast/basis.hpp"

namespace libseal::detail {

/// Largest movement over the capability that is left; and the age at which the two are equal.
struct Utilisation {
    double now = std::numeric_limits<double>::quiet_NaN();      ///< [-]
    double full_age = std::numeric_limits<double>::infinity();  ///< [effective yr]
};
Utilisation utilisation_of(const ForecastBasis& basis, const LayerRow& row, double effective_age);

/// Fills one row.
void state_of(const ForecastBasis& basis, const JointBelief& belief, std::size_t layer, CoachTracks& tracks,
              LayerStates& result, Eigen::Index row);

}  // namespace libseal::detail
