#pragma once
// Sun of many instants without its angles: enough where only heights and directions count.

#include "kernel/sun_track.hpp"
#include "libseal/core/columns.hpp"

namespace libseal::detail {

/// @throws ValueError  out of range.
kernel::SunPlace sun_place(double latitude, double longitude);

/// Unit vectors to the sun in the frame of a place: runs of instants that one series holds for go together.
struct SunVectors {
    /// @param instant  [s since 1970 UTC]
    SunVectors(const double* instant, Eigen::Index n, const kernel::SunPlace& place);
    Column up, east, north;
};

/// Extraterrestrial normal irradiance of the local day that each instant falls on [W/m2]. @param to_local  [s]
Column extraterrestrial_by_day(const Column& instants, double to_local);

}  // namespace libseal::detail
