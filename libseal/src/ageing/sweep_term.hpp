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
    alignas(64) double wet[3 * kernel::sweep_lanes];
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
    /// Their derivatives, by exponent, energy and axis `along` of the term (-1: none), in work.wet.
    void slopes(const double* values, const RateTerm& term, double shift, int along, SweepWork& work) const;

private:
    kernel::WetRows rows_at(const double* values, int along, double* products) const;
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
    /// Room that `SweepWork::products` needs.
    std::size_t room() const { return std::max(series_.size(), 2 * wet_.size()); }

    /// Each month against the reference. @param point  Of the sweep.
    void months(const double* point, SweepWork& work, double* months) const;
    /// Its derivatives by the swept parameters: adds to rows of twelve, one a parameter, `weight` times.
    void add_slopes(const double* point, double weight, SweepWork& work, double* slopes) const;
    /// The term at a point, and the finish there.
    std::pair<RateTerm, SweptFinish> at(const double* point, const SweptFinish& finish) const;

private:
    struct Build;
    std::array<double, most_axes> values_at(const double* point) const;
    std::pair<RateTerm, SweptFinish> at_values(const double* values, SweptFinish finish) const;

    RateTerm base_;
    std::vector<TermAxis> axes_;
    std::vector<int> nodes_;
    ChebyshevSeries series_;   ///< lanes 0 to 11: ln of a month against the reference; 12: -ln of the reference
    LaneRow present_{};        ///< 0 of months without any
    WetSeries wet_;
    double error_ = 0;
};

}  // namespace libseal::detail
