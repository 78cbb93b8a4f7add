#pragma once
// The bodies of life_cells.hpp.

#include "kernel/lane_math.hpp"
#include "kernel/life_cells.hpp"

namespace libseal::kernel {
namespace {

LIBSEAL_LANE Lanes read_between(const CellTable& table, const Lanes& part, std::size_t at) {
    const Lanes a = Lanes::load(table.a + at);
    return fused(part, Lanes::load(table.b + at) - a, a);
}

/// What is asked of all cells is decided once, outside the loop.
template <bool Early, bool Weighted>
void weigh_by(const CellLook& look, std::size_t count, const double* from, double* to) {
    const Lanes part(look.part), early(look.early), wear(1 - look.early), least(look.least), weight(look.weight);
    for (std::size_t at = 0; at < count; at += Lanes::width) {
        Lanes chance = read_between(look.wear, part, at);
        if constexpr (Early) chance = fused(early, read_between(look.workmanship, part, at), wear * chance);
        chance = larger(least, chance);
        if constexpr (Weighted) chance = exponential(weight * logarithm(chance));
        (Lanes::load(from + at) * chance).store(to + at);
    }
}

void weigh_cells(const CellLook& look, std::size_t count, const double* from, double* to) {
    if (look.weight != 1) return look.early > 0 ? weigh_by<true, true>(look, count, from, to) : weigh_by<false, true>(look, count, from, to);
    return look.early > 0 ? weigh_by<true, false>(look, count, from, to) : weigh_by<false, false>(look, count, from, to);
}

void sum_blocks(const double* cells, std::size_t count, double* sums) {
    for (std::size_t at = 0; at < count; at += Lanes::width) sums[at / Lanes::width] = Lanes::load(cells + at).sum();
}

double mean_of_cells(const CellTable& table, double part, const double* cells, std::size_t count) {
    const Lanes between(part);
    Lanes sum(0.0);
    for (std::size_t at = 0; at < count; at += Lanes::width) sum = fused(read_between(table, between, at), Lanes::load(cells + at), sum);
    return sum.sum();
}

}  // namespace
}  // namespace libseal::kernel
