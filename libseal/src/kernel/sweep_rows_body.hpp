#pragma once
// The body of sweep_rows.hpp.

#include "kernel/lane_math.hpp"
#include "kernel/sweep_rows.hpp"

namespace libseal::kernel {
namespace {

static_assert(Lanes::width == sweep_lanes);

LIBSEAL_LANE Lanes sum_of_rows(const double* table, const double* basis, std::size_t rows) {
    Lanes sum(0.0);
    for (std::size_t k = 0; k < rows; ++k) sum = fused(Lanes(basis[k]), Lanes::load(table + k * Lanes::width), sum);
    return sum;
}

void sweep_rows(const double* table, const double* basis, std::size_t rows, double* lanes) { sum_of_rows(table, basis, rows).store(lanes); }

/// One row of wet hours at a point.
struct WetRow {
    Lanes q, x, value;
    GroupMask<Lanes::count> below;  ///< its cap

    LIBSEAL_LANE WetRow(const WetRows& wet, std::size_t row) {
        const std::size_t at = row * Lanes::width;
        q = sum_of_rows(wet.q + at * wet.coefficients, wet.basis, wet.coefficients);
        x = sum_of_rows(wet.x + at * wet.coefficients, wet.basis, wet.coefficients);
        const Lanes cap = Lanes::load(wet.cap + at);
        below = x < cap;
        x = smaller(x, cap);
        const Lanes power = fused(Lanes(wet.energy), q, fused(Lanes(wet.exponent), x, Lanes(wet.shift)));
        value = Lanes::load(wet.weight + at) * exponential(power);
    }
};

void wet_sums(const WetRows& wet, double* lanes) {
    Lanes sum(0.0);
    for (std::size_t row = 0; row < wet.rows; ++row) sum = sum + WetRow(wet, row).value;
    sum.store(lanes);
}

void wet_slopes(const WetRows& wet, double* lanes) {
    Lanes by_exponent(0.0), by_energy(0.0), along(0.0);
    for (std::size_t row = 0; row < wet.rows; ++row) {
        const WetRow at(wet, row);
        by_exponent = fused(at.value, at.x, by_exponent);
        by_energy = fused(at.value, at.q, by_energy);
        if (!wet.along) continue;
        const std::size_t from = row * Lanes::width * wet.coefficients;
        const Lanes q = sum_of_rows(wet.q + from, wet.along, wet.coefficients), x = sum_of_rows(wet.x + from, wet.along, wet.coefficients);
        const Lanes damp = either(at.below, x, Lanes(0.0));
        along = fused(at.value, fused(Lanes(wet.energy), q, Lanes(wet.exponent) * damp), along);
    }
    by_exponent.store(lanes), by_energy.store(lanes + Lanes::width), along.store(lanes + 2 * Lanes::width);
}

}  // namespace
}  // namespace libseal::kernel
