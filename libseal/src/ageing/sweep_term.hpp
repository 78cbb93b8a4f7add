#pragma once
// One term of a law, light, heat or moisture, as a series over the parameters that it depends on.

#include <algorithm>
#include <utility>
#include <vector>

#include "ageing/chebyshev_series.hpp"
#include "ageing/sweep_parameters.hpp"
#include "ageing/swept_layer.hpp"

namespace libseal::detail {

/// A variable of a term.
struct TermAxis {
    std::size_t parameter = 0;  ///< of the sweep
    SweepEntry entry{};
    double low = 0, high = 0;
};
/// The variables of a term: its exponent, its energy, the finish.
std::vector<TermAxis> axes_of_term(RateTerm::Kind kind, const std::vector<SweptRange>& ranges);

/// Numbers of one point in work. One thread.
struct SweepWork {
    std::vector<double> products;
    alignas(64) double lanes[kernel::sweep_lanes];
    alignas(64) double values[kernel::sweep_lanes];
    alignas(64) double wet[kernel::sweep_lanes];
};

/// Sixteen points in work: all in lanes. One thread.
struct SweepBlock {
    ChebyshevPoints points, finish;
    AlignedColumn products;                        ///< rows x lanes
    alignas(64) double columns[14 * points_at_once];
    alignas(64) double values[14 * points_at_once];
    alignas(64) double wet[12 * points_at_once];
    alignas(64) double wet_slopes[36 * points_at_once];
    alignas(64) double exponent[points_at_once], energy[points_at_once];
};

/// Wet hours with what they feel as series over the finish, lanes the months (kernel::WetRows).
class WetSeries {
public:
    WetSeries() = default;
    /// @param axes  Of the term, with nodes each.  @param drop  Share of a month's rate that may be left out.
    WetSeries(const std::vector<TermAxis>& axes, const std::vector<int>& nodes, const RateTerm& base, SweptSurfaces& surfaces,
              const SweptFinish& finish, double drop);

    bool empty() const { return rows_ == 0; }
    /// What was left out, with an estimate of the orders that were never there: share of a month's rate.
    double error() const { return error_; }
    std::size_t size() const { return products_.held().size(); }
    /// Sums of the hours by month, in work.wet. @param values  Of the term's axes.
    void sums(const double* values, const RateTerm& term, double shift, SweepWork& work) const;
    /// The same at sixteen points, in block.wet. @param values  Of each of the term's axes, in lanes.  @param shift  In lanes.
    void sums(const double* const* values, const double* shift, SweepBlock& block) const;
    /// Their derivatives, by exponent, energy and axis `along` of the term (-1: none), in block.wet_slopes.
    void slopes(const double* const* values, const double* shift, int along, SweepBlock& block) const;

private:
    kernel::WetTables tables() const { return {rows_, size(), q_.data(), x_.data(), cap_.data(), weight_.data()}; }
    kernel::WetPoints points_at(const double* const* values, const double* shift, int along, SweepBlock& block) const;
    double last_orders(const std::vector<double>& sizes) const;

    std::vector<ChebyshevAxis> finish_;  ///< axes of the finish
    std::vector<int> axis_of_term_;      ///< of each
    ChebyshevProducts products_;
    std::size_t rows_ = 0;
    AlignedColumn q_, x_, cap_, weight_;
    double error_ = 0;
};

/// @threads  Read it from many.
class SweepTerm {
public:
    /// @param base  The term with the values that are not swept.
    SweepTerm(const SweptLayer& layer, const RateTerm& base, const std::vector<SweptRange>& ranges, double tolerance, int more_nodes);

    const std::vector<TermAxis>& axes() const { return axes_; }
    const std::vector<int>& nodes() const { return nodes_; }
    /// Relative error of any month, from the decay of the coefficients.
    double error() const { return error_; }
    /// Rows that `SweepWork::products` and `SweepBlock::products` need.
    std::size_t room() const { return std::max(series_.size(), 2 * wet_.size()); }

    /// Each month against the reference, and the mean of the year. @param point  Of the sweep.
    void months(const double* point, SweepWork& work, double* months, double& year) const;
    /// The same at sixteen points, in lanes. @param points  Parameters x lanes.  @param months  12 x lanes; null: not asked for.
    void months(const double* points, SweepBlock& block, double* months, double* years) const;
    /// The year, and its derivative by each parameter that the term depends on: parameters x lanes, others stay.
    void slopes(const double* points, SweepBlock& block, double* years, double* by_parameter) const;
    /// The term at a point, and the finish there.
    std::pair<RateTerm, SweptFinish> at(const double* point, const SweptFinish& finish) const;

private:
    struct Build;
    std::array<double, most_axes> values_at(const double* point) const;
    /// Sets the block to points. @return  Values of each axis in lanes.
    std::array<const double*, most_axes> values_at(const double* points, SweepBlock& block, bool with_slopes) const;
    /// Years in lanes, from the columns of reference and year and the wet hours.
    void years_of(const double* const* values, SweepBlock& block, double* years) const;
    std::pair<RateTerm, SweptFinish> at_values(const double* values, SweptFinish finish) const;

    RateTerm base_;
    std::vector<TermAxis> axes_;
    std::vector<int> nodes_;
    ChebyshevSeries series_;   ///< lanes 0 to 11: ln of a month against the reference; 12: -ln of the reference; 13: ln of the year
    LaneRow present_{};        ///< 0 of months, or a year, without any
    WetSeries wet_;
    double error_ = 0;
};

}  // namespace libseal::detail
