#pragma once
// Series of a sweep (ageing/chebyshev_series.hpp): at one point with a lane for each function, or at sixteen points with a lane
// for each point. Both take the same steps in the same order, so that a point alone and one of many have the same bits.

#include <cstddef>
#include <cstdint>

namespace libseal::kernel {

constexpr std::size_t sweep_lanes = 16;
constexpr std::size_t sweep_axes = 4;

/// Products of polynomials that differ in the order of the last axis alone: 0 to count - 1.
struct SweepRun {
    std::uint8_t order[sweep_axes] = {};  ///< of the axes before it
    int count = 0;
};

/// sum over rows of products[row] table[row][lane].
using SweepRowsKernel = void (*)(const double* table, const double* products, std::size_t rows, double* lanes);

/// Products of polynomials at sixteen points, one row of lanes each.
struct PointProducts {
    const SweepRun* runs = nullptr;
    std::size_t count = 0;  ///< of runs
    int axes = 1;           ///< at least 1
    const double* polynomials[sweep_axes] = {};  ///< orders x lanes, of each axis
};
using PointProductsKernel = void (*)(const PointProducts& what, double* products);
/// Functions `first` to `first + count` of the table at sixteen points: count x lanes.
using PointColumnsKernel = void (*)(const double* table, const double* products, std::size_t rows, std::size_t first, std::size_t count, double* columns);

/// Hours that are wet in one part of a range and not in another, one a month and row; months are lanes of the tables.
///
/// An hour counts weight e^(exponent x + energy q + shift): q and the smaller one of x and its cap are those of rates.hpp; q and x
/// of an hour are sums of products[k] times its coefficients.
struct WetTables {
    std::size_t rows = 0, coefficients = 0;
    const double* q = nullptr;        ///< rows x coefficients x lanes
    const double* x = nullptr;        ///< as many
    const double* cap = nullptr;      ///< rows x lanes
    const double* weight = nullptr;   ///< rows x lanes; 0 of what fills up
};
/// Sums of each month at one point, one a lane. @param products  One a coefficient.
using WetSumsKernel = void (*)(const WetTables& wet, const double* products, double exponent, double energy, double shift, double* months);

/// Sixteen points at which wet hours are asked for. All in lanes.
struct WetPoints {
    const double* products = nullptr;  ///< coefficients x lanes
    const double* along = nullptr;     ///< the same, derived along a direction; null: none
    const double *exponent = nullptr, *energy = nullptr, *shift = nullptr;
};
/// Sums of each month, 12 x lanes.
using WetPointSumsKernel = void (*)(const WetTables& wet, const WetPoints& points, double* months);
/// Sums of the derivatives by exponent, by energy and along the direction: three times 12 x lanes.
using WetPointSlopesKernel = void (*)(const WetTables& wet, const WetPoints& points, double* months);

}  // namespace libseal::kernel
