#include <algorithm>
#include <cmath>

#include "ageing/sweep_term.hpp"
#include "kernel/kernels.hpp"

namespace libseal::detail {
namespace {

constexpr double largest_share = 8;  // one hour's moisture rate against the mean of its month, at most: bounds what a coefficient may do

/// Finish of a node, the last axis fastest.
SweptFinish finish_at(std::size_t node, const std::vector<ChebyshevAxis>& axes, const std::vector<SweepRole>& roles, SweptFinish finish) {
    for (std::size_t d = axes.size(); d-- > 0;) {
        const auto nodes = static_cast<std::size_t>(axes[d].nodes);
        (roles[d] == SweepRole::absorptance ? finish.absorptance : finish.emittance) = axes[d].node(static_cast<int>(node % nodes));
        node /= nodes;
    }
    return finish;
}

/// Largest exponent or energy of the moisture term in the ranges.
double largest_of(const std::vector<TermAxis>& axes, bool exponent, double otherwise) {
    for (const TermAxis& axis : axes)
        if (axis.entry.role == (exponent ? SweepRole::humidity_exponent : SweepRole::energy_moisture)) return axis.entry.factor * axis.high;
    return otherwise;
}

}  // namespace

WetSeries::WetSeries(const std::vector<TermAxis>& axes, const std::vector<int>& nodes, const RateTerm& base, SweptSurfaces& surfaces,
                     const SweptFinish& finish, double drop)
    : rows_(surfaces.wet().most) {
    std::vector<SweepRole> roles;
    std::size_t count = 1;
    for (std::size_t d = 0; d < axes.size(); ++d) {
        if (!is_finish(axes[d].entry.role)) continue;
        finish_.push_back({axes[d].low, axes[d].high, nodes[d]});
        axis_of_term_.push_back(static_cast<int>(d));
        roles.push_back(axes[d].entry.role);
        count *= static_cast<std::size_t>(nodes[d]);
    }
    const std::size_t lanes = kernel::sweep_lanes;
    cap_ = AlignedColumn(rows_ * lanes), weight_ = AlignedColumn(rows_ * lanes);
    std::fill_n(cap_.data(), rows_ * lanes, 0.0), std::fill_n(weight_.data(), rows_ * lanes, 0.0);
    // Rows of values at the nodes, month by month and hour by hour.
    std::vector<std::vector<LaneRow>> q(rows_, std::vector<LaneRow>(count)), x = q;
    const MonthSums hours = surfaces.hours();
    for (std::size_t k = 0; k < count; ++k) {
        const SweptFinish here = finish_at(k, finish_, roles, finish);
        for (std::size_t m = 0; m < 12; ++m) {
            const auto& wet = surfaces.wet().month[m];
            for (std::size_t row = 0; row < wet.size(); ++row) {
                const WetFeel feel = surfaces.feel(wet[row], here);
                q[row][k][m] = feel.q, x[row][k][m] = feel.x;
                cap_[row * lanes + m] = feel.cap, weight_[row * lanes + m] = 1 / hours[m];
            }
        }
    }
    // What each coefficient can do to a month.
    const double exponent = largest_of(axes, true, base.exponent), energy = largest_of(axes, false, base.energy);
    std::vector<std::array<double, 12>> shares(count);
    for (std::size_t row = 0; row < rows_; ++row) {
        to_coefficients(finish_, q[row]), to_coefficients(finish_, x[row]);
        for (std::size_t k = 0; k < count; ++k)
            for (std::size_t m = 0; m < 12; ++m)
                shares[k][m] += largest_share * weight_[row * lanes + m] * (exponent * std::fabs(x[row][k][m]) + energy * std::fabs(q[row][k][m]));
    }
    std::vector<double> sizes;
    for (const auto& share : shares) sizes.push_back(*std::max_element(share.begin(), share.end()));
    products_ = ChebyshevProducts(finish_, sizes, drop);
    error_ = products_.dropped() + last_orders(sizes);
    const auto& held = products_.held();
    q_ = AlignedColumn(rows_ * held.size() * lanes), x_ = AlignedColumn(rows_ * held.size() * lanes);
    for (std::size_t row = 0; row < rows_; ++row)
        for (std::size_t k = 0; k < held.size(); ++k)
            for (std::size_t lane = 0; lane < lanes; ++lane) {
                q_[(row * held.size() + k) * lanes + lane] = q[row][held[k]][lane];
                x_[(row * held.size() + k) * lanes + lane] = x[row][held[k]][lane];
            }
}

double WetSeries::last_orders(const std::vector<double>& sizes) const {
    double sum = 0;
    std::size_t stride = 1;
    for (std::size_t d = finish_.size(); d-- > 0;) {
        const auto nodes = static_cast<std::size_t>(finish_[d].nodes);
        for (std::size_t k = 0; k < sizes.size(); ++k)
            if (k / stride % nodes == nodes - 1) sum += sizes[k];
        stride *= nodes;
    }
    return sum;
}

void WetSeries::sums(const double* values, const RateTerm& term, double shift, SweepWork& work) const {
    double of_finish[most_axes] = {};
    for (std::size_t d = 0; d < finish_.size(); ++d) of_finish[d] = values[axis_of_term_[d]];
    products_.at(ChebyshevPoint(finish_, of_finish), work.products.data());
    kernel::kernels().wet_sums(tables(), work.products.data(), term.exponent, term.energy, shift, work.wet);
}

kernel::WetPoints WetSeries::points_at(const double* const* values, const double* shift, int along, SweepBlock& block) const {
    const double* of_finish[most_axes] = {};
    int derived = -1;
    for (std::size_t d = 0; d < finish_.size(); ++d) {
        of_finish[d] = values[axis_of_term_[d]];
        if (axis_of_term_[d] == along) derived = static_cast<int>(d);
    }
    block.finish.set(finish_, of_finish, derived >= 0);
    double* const products = block.products.data();
    products_.at(block.finish, -1, products);
    kernel::WetPoints points;
    points.products = products, points.exponent = block.exponent, points.energy = block.energy, points.shift = shift;
    if (derived < 0) return points;
    products_.at(block.finish, derived, products + size() * points_at_once);
    points.along = products + size() * points_at_once;
    return points;
}

void WetSeries::sums(const double* const* values, const double* shift, SweepBlock& block) const {
    kernel::kernels().wet_point_sums(tables(), points_at(values, shift, -1, block), block.wet);
}

void WetSeries::slopes(const double* const* values, const double* shift, int along, SweepBlock& block) const {
    kernel::kernels().wet_point_slopes(tables(), points_at(values, shift, along, block), block.wet_slopes);
}

}  // namespace libseal::detail
