#pragma once
// Everything that a forecast rests on, kept so that later questions need no second forecast.

#include <functional>
#include <memory>

#include "forecast/joint_belief.hpp"

namespace libseal::detail {

/// What will be asked of; all else has no clocks and no beliefs.
struct WantedBeliefs {
    JointMarks joints = {};          ///< empty: all
    bool layers_with_looks = false;  ///< true: no layer but those that somebody graded, and the pair of a graded bedding
};

struct ForecastBasis {
    ForecastBasis(Fleet fleet, Date as_of, const ForecastOptions& options, const WantedBeliefs& wanted = {});
    ForecastBasis(const ForecastBasis&) = delete;
    ForecastBasis& operator=(const ForecastBasis&) = delete;

    Date as_of;
    ForecastOptions options;
    Fleet standing;
    LifeModel model;
    FleetLooks looks;
    FleetClocks clocks;
    SharedEffects shared;

    /// End of the rows of the joint whose first row is `first`.
    std::size_t end_of_joint(std::size_t first) const;
    const JointLooks* looks_of(const Coach& coach, const Joint& joint) const;
    /// Settled beliefs of a coach's joints, one after the other, with the row of their first layer.
    void each_joint(std::size_t coach, const std::function<void(const JointBelief&, std::size_t first)>& visit) const;
    /// The settled belief of the joint whose first row is `first`.
    JointBelief joint_at(std::size_t first, CoachTracks& tracks, Columns wanted = Columns::all) const;
    /// The settled belief of the joint that a row belongs to; its layers start at row `first`.
    JointBelief joint_of_row(std::size_t row, std::size_t& first, CoachTracks& tracks) const;

    /// What the looks of all coaches say, before they teach each other.
    std::vector<JointEvidence> evidence(const Watch& watch) const;

private:
    std::vector<JointEvidence> evidence_of(std::size_t coach) const;
};

/// What a forecast rests on. @throws StateError  if it is no result of forecast().
const ForecastBasis& basis_of(const Forecast& forecast);

/// Day by which a layer wants its next look; it may lie before the day of the forecast.
///
/// The earlier of the date at which the chance of being due reaches the target, and the longest interval after the
/// last look or the fitting; with a warranty duty its interval is the longest. A bead whose movement has outgrown its
/// capability since the last look asks for one too.
/// @param full_age  Effective age at which its movement outgrows its capability [yr]; NaN: none.
Date look_wanted(const ForecastBasis& basis, const JointBelief& joint, std::size_t l, double full_age);

/// Fills the rows of one coach.
void finish_coach(const ForecastBasis& basis, std::size_t coach, Forecast& result, Columns wanted);

}  // namespace libseal::detail
