#pragma once
// Sums of a sweep (ageing/sweep_terms.hpp) at one point: sixteen lanes, of which twelve are the months of a year.

#include <cstddef>

namespace libseal::kernel {

constexpr std::size_t sweep_lanes = 16;

/// sum over rows of basis[row] table[row][lane], in the order of the rows.
using SweepRowsKernel = void (*)(const double* table, const double* basis, std::size_t rows, double* lanes);

/// Hours that are wet in one part of a range and not in another, one a month and row.
///
/// An hour counts weight e^(exponent x + energy q + shift): q and the smaller one of x and its cap are those of rates.hpp; q and x
/// of an hour are sums of basis[k] times its coefficients.
struct WetRows {
    std::size_t rows = 0, coefficients = 0;
    const double* q = nullptr;        ///< rows x coefficients x lanes
    const double* x = nullptr;        ///< as many
    const double* cap = nullptr;      ///< rows x lanes
    const double* weight = nullptr;   ///< rows x lanes; 0 of what fills up
    const double* basis = nullptr;    ///< one a coefficient
    const double* along = nullptr;    ///< its derivative along a direction, for slopes alone
    double exponent = 0, energy = 0, shift = 0;
};
/// Their sums, one a lane.
using WetSumsKernel = void (*)(const WetRows& wet, double* lanes);
/// Sums of the derivatives by exponent, by energy and along the direction: three times the lanes.
using WetSlopesKernel = void (*)(const WetRows& wet, double* lanes);

}  // namespace libseal::kernel
