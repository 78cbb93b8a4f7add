#pragma once
// The body of sweep_rows.hpp.

#include "kernel/lane_math.hpp"
#include "kernel/sweep_rows.hpp"

namespace libseal::kernel {
namespace {

static_assert(Lanes::width == sweep_lanes);

constexpr std::size_t months_of_sweep = 12;

LIBSEAL_LANE Lanes sum_of_rows(const double* table, const double* products, std::size_t rows) {
    Lanes sum(0.0);
    for (std::size_t k = 0; k < rows; ++k) sum = fused(Lanes(products[k]), Lanes::load(table + k * Lanes::width), sum);
    return sum;
}

void sweep_rows(const double* table, const double* products, std::size_t rows, double* lanes) { sum_of_rows(table, products, rows).store(lanes); }

void point_products(const PointProducts& what, double* products) {
    const int last = what.axes - 1;
    for (std::size_t r = 0; r < what.count; ++r) {
        const SweepRun& run = what.runs[r];
        Lanes before(1.0);
        for (int d = 0; d < last; ++d) before = before * Lanes::load(what.polynomials[d] + run.order[d] * Lanes::width);
        for (int k = 0; k < run.count; ++k, products += Lanes::width)
            (before * Lanes::load(what.polynomials[last] + static_cast<std::size_t>(k) * Lanes::width)).store(products);
    }
}

/// Some functions at a time: their sums stay in registers.
template <std::size_t Count>
LIBSEAL_LANE void columns_at_once(const double* table, const double* products, std::size_t rows, double* columns) {
    Lanes sum[Count];
    for (Lanes& s : sum) s = Lanes(0.0);
    for (std::size_t k = 0; k < rows; ++k) {
        const Lanes product = Lanes::load(products + k * Lanes::width);
        for (std::size_t c = 0; c < Count; ++c) sum[c] = fused(product, Lanes(table[k * sweep_lanes + c]), sum[c]);
    }
    for (std::size_t c = 0; c < Count; ++c) sum[c].store(columns + c * Lanes::width);
}

void point_columns(const double* table, const double* products, std::size_t rows, std::size_t first, std::size_t count, double* columns) {
    std::size_t at = 0;
    for (; at + 2 <= count; at += 2) columns_at_once<2>(table + first + at, products, rows, columns + at * Lanes::width);
    if (at < count) columns_at_once<1>(table + first + at, products, rows, columns + at * Lanes::width);
}

void wet_sums(const WetTables& wet, const double* products, double exponent, double energy, double shift, double* months) {
    Lanes sum(0.0);
    for (std::size_t row = 0; row < wet.rows; ++row) {
        const std::size_t at = row * Lanes::width;
        const Lanes q = sum_of_rows(wet.q + at * wet.coefficients, products, wet.coefficients);
        const Lanes x = smaller(sum_of_rows(wet.x + at * wet.coefficients, products, wet.coefficients), Lanes::load(wet.cap + at));
        const Lanes power = fused(Lanes(energy), q, fused(Lanes(exponent), x, Lanes(shift)));
        sum = sum + Lanes::load(wet.weight + at) * exponential(power);
    }
    sum.store(months);
}

/// An hour at sixteen points.
struct WetHour {
    Lanes q, x, value;
    GroupMask<Lanes::count> below;  ///< its cap

    LIBSEAL_LANE WetHour(const WetTables& wet, const WetPoints& points, std::size_t row, std::size_t month) {
        const std::size_t at = row * sweep_lanes + month;
        q = series(wet.q, wet, row, month, points.products);
        x = series(wet.x, wet, row, month, points.products);
        const Lanes cap(wet.cap[at]);
        below = x < cap;
        x = smaller(x, cap);
        const Lanes power = fused(Lanes::load(points.energy), q, fused(Lanes::load(points.exponent), x, Lanes::load(points.shift)));
        value = Lanes(wet.weight[at]) * exponential(power);
    }
    LIBSEAL_LANE static Lanes series(const double* table, const WetTables& wet, std::size_t row, std::size_t month, const double* products) {
        Lanes sum(0.0);
        const double* from = table + row * wet.coefficients * sweep_lanes + month;
        for (std::size_t k = 0; k < wet.coefficients; ++k) sum = fused(Lanes::load(products + k * Lanes::width), Lanes(from[k * sweep_lanes]), sum);
        return sum;
    }
};

void wet_point_sums(const WetTables& wet, const WetPoints& points, double* months) {
    for (std::size_t month = 0; month < months_of_sweep; ++month) {
        Lanes sum(0.0);
        for (std::size_t row = 0; row < wet.rows && wet.weight[row * sweep_lanes + month] > 0; ++row) sum = sum + WetHour(wet, points, row, month).value;
        sum.store(months + month * Lanes::width);
    }
}

void wet_point_slopes(const WetTables& wet, const WetPoints& points, double* months) {
    for (std::size_t month = 0; month < months_of_sweep; ++month) {
        Lanes by_exponent(0.0), by_energy(0.0), along(0.0);
        for (std::size_t row = 0; row < wet.rows && wet.weight[row * sweep_lanes + month] > 0; ++row) {
            const WetHour hour(wet, points, row, month);
            by_exponent = fused(hour.value, hour.x, by_exponent);
            by_energy = fused(hour.value, hour.q, by_energy);
            if (!points.along) continue;
            const Lanes q = WetHour::series(wet.q, wet, row, month, points.along), x = WetHour::series(wet.x, wet, row, month, points.along);
            const Lanes damp = either(hour.below, x, Lanes(0.0));
            along = fused(hour.value, fused(Lanes::load(points.energy), q, Lanes::load(points.exponent) * damp), along);
        }
        by_exponent.store(months + month * Lanes::width);
        by_energy.store(months + (months_of_sweep + month) * Lanes::width);
        along.store(months + (2 * months_of_sweep + month) * Lanes::width);
    }
}

}  // namespace
}  // namespace libseal::kernel
