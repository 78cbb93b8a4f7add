#pragma once
// Loops of a step over columns: whole registers or groups of them, and the rest of less than one in a copy.

#include "kernel/lanes.hpp"

namespace libseal::kernel {
namespace {

/// For each row calls step(in, out) with one V of every column.
/// @tparam V     Register; a group of them where a step is long and each of its operations waits for the one before.
/// @tparam Step  Has In and Out, the numbers of its columns, and LIBSEAL_LANE void operator()(in, out) const.
template <class V, class Step>
LIBSEAL_LANE void each_row(std::size_t count, const double* const (&from)[Step::In], double* const (&to)[Step::Out], const Step& step) {
    constexpr std::size_t width = V::width;
    V in[Step::In], out[Step::Out];
    std::size_t at = 0;
    for (; at + width <= count; at += width) {
        for (std::size_t k = 0; k < Step::In; ++k) in[k] = V::load(from[k] + at);
        step(in, out);
        for (std::size_t k = 0; k < Step::Out; ++k) out[k].store(to[k] + at);
    }
    if (at == count) return;
    double rest[width];
    for (std::size_t k = 0; k < Step::In; ++k) {
        for (std::size_t i = 0; i < width; ++i) rest[i] = from[k][at + i < count ? at + i : count - 1];
        in[k] = V::load(rest);
    }
    step(in, out);
    for (std::size_t k = 0; k < Step::Out; ++k) {
        out[k].store(rest);
        for (std::size_t i = 0; at + i < count; ++i) to[k][at + i] = rest[i];
    }
}

}  // namespace
}  // namespace libseal::kernel
