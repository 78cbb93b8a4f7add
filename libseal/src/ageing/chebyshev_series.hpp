#pragma once
// Functions of up to four variables, one a lane, as sums of products of Chebyshev polynomials.

#include <array>
#include <cstdint>
#include <vector>

#include "kernel/aligned_column.hpp"
#include "kernel/sweep_rows.hpp"

namespace libseal::detail {

using LaneRow = std::array<double, kernel::sweep_lanes>;

constexpr int most_axes = kernel::sweep_axes, most_nodes = 32;
constexpr std::size_t points_at_once = kernel::sweep_lanes;

/// A variable's range and the points on it.
struct ChebyshevAxis {
    double low = 0, high = 1;
    int nodes = 1;  ///< 1 to `most_nodes`

    double middle() const { return 0.5 * (low + high); }
    /// Chebyshev point of the first kind, i from 0 to nodes - 1, falling.
    double node(int i) const;
    /// -1 to 1.
    double scaled(double value) const { return (value - middle()) / (0.5 * (high - low)); }
};

/// Polynomials T_k of each axis at one point.
class ChebyshevPoint {
public:
    /// @param values  One an axis.
    ChebyshevPoint(const std::vector<ChebyshevAxis>& axes, const double* values);
    const double* polynomials(int axis) const { return value_[axis]; }

private:
    double value_[most_axes][most_nodes];
};

/// The same and their derivatives by the variable at sixteen points, values and polynomials in lanes.
class ChebyshevPoints {
public:
    /// @param values  Of each axis, sixteen numbers.
    void set(const std::vector<ChebyshevAxis>& axes, const double* const* values, bool with_slopes);
    const double* polynomials(int axis, bool slopes) const { return (slopes ? slope_ : value_)[axis][0]; }

private:
    alignas(64) double value_[most_axes][most_nodes][points_at_once], slope_[most_axes][most_nodes][points_at_once];
};

/// Coefficients from the values at the points, in place; both in rows with the last axis fastest.
void to_coefficients(const std::vector<ChebyshevAxis>& axes, std::vector<LaneRow>& rows);

/// Which products of polynomials a series holds.
class ChebyshevProducts {
public:
    ChebyshevProducts() = default;
    /// @param sizes  Of each product, last axis fastest: the smallest ones are left out as long as they sum to no more than `drop`.
    ChebyshevProducts(const std::vector<ChebyshevAxis>& axes, const std::vector<double>& sizes, double drop);

    /// Positions of the products that are held.
    const std::vector<std::size_t>& held() const { return held_; }
    double dropped() const { return dropped_; }
    /// Their values at a point.
    void at(const ChebyshevPoint& point, double* products) const;
    /// The same at sixteen. @param along  Axis by which they are derived; -1: none.
    void at(const ChebyshevPoints& points, int along, double* products) const;

private:
    std::size_t axes_ = 0;
    std::vector<kernel::SweepRun> runs_;
    std::vector<std::size_t> held_;
    double dropped_ = 0;
};

/// The series itself.
class ChebyshevSeries {
public:
    ChebyshevSeries() = default;
    /// @param values  At the points of all axes, last axis fastest.  @param drop  What may be left out, summed, of any lane.
    ChebyshevSeries(const std::vector<ChebyshevAxis>& axes, std::vector<LaneRow> values, double drop);

    const std::vector<ChebyshevAxis>& axes() const { return axes_; }
    std::size_t size() const { return products_.held().size(); }
    double dropped() const { return products_.dropped(); }
    /// Its lanes at a point. @param work  Room for `size` numbers.
    void at(const ChebyshevPoint& point, double* work, double* lanes) const;
    /// Lanes `first` to `first + count` of the series at sixteen points, or their derivatives along an axis: count x points. @param work  Room for `size` times sixteen numbers.
    void at(const ChebyshevPoints& points, int along, std::size_t first, std::size_t count, double* work, double* columns) const;

private:
    std::vector<ChebyshevAxis> axes_;
    ChebyshevProducts products_;
    kernel::AlignedColumn table_;
};

}  // namespace libseal::detail
