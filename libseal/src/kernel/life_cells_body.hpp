#pragma once
// The bodies of life_cells.hpp.

#include "kernel/lane_math.hpp"
#include "kernel/life_cells.hpp"

namespace libseal::kernel {
namespace {

LIBSEAL_LANE Lanes read(const CellTable& table, std::size_t at) {
    return fused(Lanes(table.share_b), Lanes::load(table.b + at), Lanes(table.share_a) * Lanes::load(table.a + at));
}

template <bool Early>
LIBSEAL_LANE Lanes chance_of(const CellLook& look, std::size_t at) {
    const Lanes wear = read(look.wear, at);
    if constexpr (!Early) return wear;
    const CellTable& early = look.workmanship;
    return fused(Lanes(early.share_b), Lanes::load(early.b + at), fused(Lanes(early.share_a), Lanes::load(early.a + at), wear));
}

/// How many looks there are of either kind is known when this is compiled: they all go through one pass.
template <std::size_t Plain, std::size_t Early>
void weigh_by(const CellLook* given, std::size_t first, std::size_t end, const double* from, double* to, double* sums) {
    CellLook looks[looks_a_pass];  // no store can change them
    for (std::size_t k = 0; k < Plain + Early; ++k) looks[k] = given[k];
    for (std::size_t at = first; at < end; at += Lanes::width) {
        Lanes weight = Lanes::load(from + at);
        for (std::size_t k = 0; k < Plain; ++k) weight = weight * chance_of<false>(looks[k], at);
        for (std::size_t k = Plain; k < Plain + Early; ++k) weight = weight * chance_of<true>(looks[k], at);
        weight.store(to + at);
        sums[at / cell_block] = weight.sum();
    }
}

void weigh_cells(const CellLook* looks, std::size_t plain, std::size_t early, std::size_t first, std::size_t end, const double* from, double* to,
                 double* sums) {
    static_assert(Lanes::width == cell_block && looks_a_pass == 3);
    using Weigh = void (*)(const CellLook*, std::size_t, std::size_t, const double*, double*, double*);
    static constexpr Weigh by_kind[4][4] = {{&weigh_by<0, 0>, &weigh_by<0, 1>, &weigh_by<0, 2>, &weigh_by<0, 3>},
                                            {&weigh_by<1, 0>, &weigh_by<1, 1>, &weigh_by<1, 2>},
                                            {&weigh_by<2, 0>, &weigh_by<2, 1>},
                                            {&weigh_by<3, 0>}};
    by_kind[plain][early](looks, first, end, from, to, sums);
}

template <bool Early>
void weigh_by_power(const CellLook& look, std::size_t first, std::size_t end, const double* from, double* to) {
    const Lanes power(look.power);
    for (std::size_t at = first; at < end; at += Lanes::width)
        (Lanes::load(from + at) * exponential(power * logarithm(chance_of<Early>(look, at)))).store(to + at);
}

void weigh_power(const CellLook& look, std::size_t first, std::size_t end, const double* from, double* to) {
    look.workmanship.a ? weigh_by_power<true>(look, first, end, from, to) : weigh_by_power<false>(look, first, end, from, to);
}

double mean_of_cells(const CellTable& table, std::size_t first, std::size_t end, const double* cells) {
    Lanes sum(0.0);
    for (std::size_t at = first; at < end; at += Lanes::width) sum = fused(read(table, at), Lanes::load(cells + at), sum);
    return sum.sum();
}

}  // namespace
}  // namespace libseal::kernel
