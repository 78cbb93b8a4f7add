#pragma once
// Rainflow counting in passes over registers, without branches that depend on the data.
//
// Of a range shorter than the one before it and not longer than the one after it, both ends go, as one closed cycle; all such
// ranges of a history lie apart from each other, so one pass counts and removes them all. What no pass can shorten, ranges
// that grow and then shrink, are the half cycles of the standard, in order. Which of two ranges that meet in a point is longer
// is seen from their other ends, without rounding.

#include <cstddef>

namespace libseal::kernel {

/// Numbers that a buffer for points or ranges must have room for beyond its count.
constexpr std::size_t rainflow_room = 96;

/// Turns of a series of at least one value, with its two ends; of a plateau its last point. None if all values are equal.
/// @param points  Room for count + rainflow_room.
/// @return        How many; count + 1 if some value is not finite.
using TurningPointsKernel = std::size_t (*)(const double* series, std::size_t count, double* points);

/// Takes out all closed cycles.
/// @param points  Turning points, up and down in turn; room for count + rainflow_room. Those in no closed cycle stay, in order.
/// @param ranges  Room for count / 2 + rainflow_room; gets the ranges of the closed cycles in an order of its own, the same
///                everywhere.
/// @return        How many were closed; count less twice that many points stay.
using ContractionKernel = std::size_t (*)(double* points, std::size_t count, double* ranges);

/// Sum of range^exponent: by multiplication for exponents 1, 2 ... 8, else by exponentials, for which ranges^exponent must lie
/// within 1e-300 and 1e300; below, it counts as that.
using PowerSumKernel = double (*)(const double* ranges, std::size_t count, double exponent);

/// Where the points that stayed stand in their series, both ends of the series included: each at the last place before the next
/// one's that holds its value.
using LastPlacesKernel = void (*)(const double* series, std::size_t count, const double* points, std::size_t point_count,
                                  std::size_t* places);

struct RainflowKernels {
    TurningPointsKernel turning_points = nullptr;
    ContractionKernel contraction = nullptr;
    PowerSumKernel power_sum = nullptr;
    LastPlacesKernel last_places = nullptr;
};

}  // namespace libseal::kernel
