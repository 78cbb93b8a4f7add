#pragma once
// What the rainflow kernels of one instruction set make of a series.

#include <utility>
#include <vector>

#include "kernel/kernels.hpp"
#include "libseal/core/columns.hpp"

namespace libseal_test {

struct Contracted {
    bool finite = true;  ///< else nothing else is known
    std::vector<double> turns, ranges, open;
    std::vector<std::size_t> places;  ///< of the turns that stay open
};

inline Contracted contracted(libseal::kernel::InstructionSet set, const libseal::Column& series) {
    const auto& kernels = libseal::kernel::kernels_of(set).rainflow;
    const auto size = static_cast<std::size_t>(series.size());
    Contracted result;
    result.turns.resize(size + libseal::kernel::rainflow_room);
    const std::size_t turns = kernels.turning_points(series.data(), size, result.turns.data());
    result.finite = turns <= size;
    if (!result.finite) return result;
    std::vector<double> points = result.turns;
    result.turns.resize(turns);
    result.ranges.resize(size / 2 + libseal::kernel::rainflow_room);
    result.ranges.resize(kernels.contraction(points.data(), turns, result.ranges.data()));
    points.resize(turns - 2 * result.ranges.size());
    result.places.resize(points.size());
    kernels.last_places(series.data(), size, points.data(), points.size(), result.places.data());
    result.open = std::move(points);
    return result;
}

}  // namespace libseal_test
