#pragma once
// Where joints lie for the sequence rules: heights, overlap, which area drains over which.

#include <string>
#include <vector>

#include "libseal/coach/coach.hpp"

namespace libseal::detail {

/// A joint as the water sees it.
struct JointPlace {
    const Joint* joint = nullptr;
    std::string area;              ///< surface, with its slide-out
    int height_class = 1;          ///< 0 roof, 1 slide roof, 2 upright, 3 below
    double u_low = 0, u_high = 0;  ///< along the surface [m]
    double z_low = 0, z_high = 0;  ///< above ground [m]; level surfaces have their own height
};

JointPlace place_of(const Coach& coach, const Joint& joint);

/// Does water from `upper` run over `lower`, on the same upright surface? By height and overlap, not by
/// names.
bool runs_over(const JointPlace& upper, const JointPlace& lower);

/// Does an area drain over another one? Roof over all others, a slide roof over its slide, upright ones over
/// the underside.
bool area_over(const JointPlace& upper, const JointPlace& lower);

/// Distance along the roof from the nearest point of a joint to the ladder [m].
double way_to_ladder(const Coach& coach, const JointPlace& place);

}  // namespace libseal::detail
