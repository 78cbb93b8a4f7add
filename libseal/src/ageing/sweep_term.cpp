#include "ageing/sweep_term.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "kernel/kernels.hpp"
#include "libseal/core/error.hpp"

namespace libseal::detail {
namespace {

constexpr std::size_t lane_of_reference = 12, lane_of_year = 13, lanes_in_use = 14;
constexpr int first_probe = 16;  // nodes of the lines on which decay is looked at
constexpr double share_of_axes = 0.5, share_of_drop = 0.3, share_of_wet = 0.1;  // of the tolerance; the rest is for the check

bool is_exponent(SweepRole role) { return role == SweepRole::light_exponent || role == SweepRole::humidity_exponent; }

ChebyshevAxis axis_of(const TermAxis& axis, int nodes) { return {axis.low, axis.high, nodes}; }

}  // namespace

std::vector<TermAxis> axes_of_term(RateTerm::Kind kind, const std::vector<SweptRange>& ranges) {
    const auto of_term = [&](SweepRole role) {
        if (is_finish(role)) return true;
        if (kind == RateTerm::Kind::light) return role == SweepRole::light_exponent || role == SweepRole::energy_light;
        if (kind == RateTerm::Kind::heat) return role == SweepRole::energy_heat;
        if (kind == RateTerm::Kind::moisture) return role == SweepRole::humidity_exponent || role == SweepRole::energy_moisture;
        return false;
    };
    std::vector<TermAxis> axes;
    for (std::size_t p = 0; p < ranges.size(); ++p)
        if (of_term(ranges[p].entry.role)) axes.push_back({p, ranges[p].entry, ranges[p].parameter.low, ranges[p].parameter.high});
    // The finish last, so that hours felt at one finish serve all exponents and energies.
    std::stable_sort(axes.begin(), axes.end(), [](const TermAxis& a, const TermAxis& b) { return !is_finish(a.entry.role) && is_finish(b.entry.role); });
    return axes;
}

/// What is worked out while a term is made, and not kept.
struct SweepTerm::Build {
    const SweptLayer& layer;
    SweepTerm& term;
    SweptSurfaces surfaces;
    std::map<std::pair<double, double>, double> references{};

    Build(const SweptLayer& of, SweepTerm& to) : layer(of), term(to), surfaces(of) {}

    /// Corners of the finish within the ranges.
    std::vector<SweptFinish> corners() const {
        std::vector<SweptFinish> corners{layer.finish()};
        for (const TermAxis& axis : term.axes_) {
            if (!is_finish(axis.entry.role)) continue;
            std::vector<SweptFinish> both;
            for (const SweptFinish& corner : corners)
                for (const double end : {axis.low, axis.high}) {
                    both.push_back(corner);
                    (axis.entry.role == SweepRole::absorptance ? both.back().absorptance : both.back().emittance) = end;
                }
            corners = std::move(both);
        }
        return corners;
    }

    LaneRow logarithms(const double* values) {
        const auto [rate, finish] = term.at_values(values, layer.finish());
        const auto [found, is_new] = references.try_emplace({rate.exponent, rate.energy}, 0);
        if (is_new) found->second = layer.reference(rate);
        const double reference = found->second;
        const MonthSums sums = surfaces.dry_means(rate, finish);
        LaneRow row{};
        for (std::size_t m = 0; m < 12; ++m) {
            term.present_[m] = sums[m] > 0 ? 1 : 0;
            row[m] = sums[m] > 0 ? std::log(sums[m] / reference) : 0;
        }
        row[lane_of_reference] = -std::log(reference);
        double year = 0;
        for (std::size_t m = 0; m < 12; ++m) year += sums[m] * (month_days[m] / 365.25);
        term.present_[lane_of_year] = year > 0 ? 1 : 0;
        row[lane_of_year] = year > 0 ? std::log(year / reference) : 0;
        return row;
    }

    /// Rows at all nodes, last axis fastest.
    std::vector<LaneRow> rows(const std::vector<ChebyshevAxis>& axes) {
        std::size_t count = 1;
        for (const ChebyshevAxis& axis : axes) count *= static_cast<std::size_t>(axis.nodes);
        std::vector<LaneRow> rows;
        for (std::size_t i = 0; i < count; ++i) {
            double values[most_axes];
            std::size_t rest = i;
            for (std::size_t d = axes.size(); d-- > 0;) {
                const auto nodes = static_cast<std::size_t>(axes[d].nodes);
                values[d] = axes[d].node(static_cast<int>(rest % nodes));
                rest /= nodes;
            }
            rows.push_back(logarithms(values));
        }
        return rows;
    }

    /// What an axis leaves out with 1, 2, ... nodes: twice the sum of the coefficients from there on, the largest of lines along it through the
    /// middle and the corners of the other axes.
    std::vector<double> rests(std::size_t along, int probe) {
        const std::size_t others = term.axes_.size() - 1;
        std::vector<double> rests(static_cast<std::size_t>(probe) + 1, 0);
        for (std::size_t line = 0; line <= (others > 0 ? std::size_t{1} << others : 0); ++line) {
            std::vector<LaneRow> rows;
            const ChebyshevAxis axis = axis_of(term.axes_[along], probe);
            for (int i = 0; i < probe; ++i) {
                double values[most_axes];
                std::size_t bit = 0;
                for (std::size_t d = 0; d < term.axes_.size(); ++d) {
                    const TermAxis& other = term.axes_[d];
                    if (d == along) values[d] = axis.node(i);
                    else if (line == 0) values[d] = 0.5 * (other.low + other.high);
                    else values[d] = (line - 1) >> bit++ & 1 ? other.high : other.low;
                }
                rows.push_back(logarithms(values));
            }
            to_coefficients({axis}, rows);
            std::array<double, lanes_in_use> sum{};
            for (std::size_t k = rows.size(); k-- > 0;)
                for (std::size_t lane = 0; lane < lanes_in_use; ++lane) {
                    sum[lane] += 2 * std::fabs(rows[k][lane]);
                    rests[k] = std::max(rests[k], sum[lane]);
                }
        }
        return rests;
    }

    /// Fewest nodes that leave out no more than `wanted`, with what they leave out.
    std::pair<int, double> nodes_for(std::size_t along, double wanted, int more) {
        std::vector<double> left;
        for (const int probe : {first_probe, most_nodes}) {
            left = rests(along, probe);
            for (int n = 2; n < probe; ++n)
                if (left[static_cast<std::size_t>(n)] <= wanted) {
                    const int chosen = std::min(n + more, probe - 1);
                    return {chosen, left[static_cast<std::size_t>(chosen)]};
                }
        }
        return {most_nodes, left[most_nodes - 1]};  // the last coefficient stands for all that is not known
    }
};

SweepTerm::SweepTerm(const SweptLayer& layer, const RateTerm& base, const std::vector<SweptRange>& ranges, double tolerance, int more_nodes)
    : base_(base), axes_(axes_of_term(base.kind, ranges)) {
    Build build(layer, *this);
    const bool finish_moves = std::any_of(axes_.begin(), axes_.end(), [](const TermAxis& axis) { return is_finish(axis.entry.role); });
    if (base.kind == RateTerm::Kind::moisture && finish_moves) build.surfaces.leave_out_wet(build.corners());
    std::vector<ChebyshevAxis> axes;
    for (std::size_t d = 0; d < axes_.size(); ++d) {
        const auto [nodes, rest] = build.nodes_for(d, share_of_axes * tolerance / static_cast<double>(axes_.size()), more_nodes);
        nodes_.push_back(nodes);
        axes.push_back(axis_of(axes_[d], nodes));
        error_ += rest;
    }
    series_ = ChebyshevSeries(axes, build.rows(axes), share_of_drop * tolerance);
    error_ += series_.dropped();
    if (build.surfaces.wet().most == 0) return;
    wet_ = WetSeries(axes_, nodes_, base_, build.surfaces, layer.finish(), share_of_wet * tolerance);
    error_ += wet_.error();
}

std::array<double, most_axes> SweepTerm::values_at(const double* point) const {
    std::array<double, most_axes> values{};
    for (std::size_t d = 0; d < axes_.size(); ++d) values[d] = point[axes_[d].parameter];
    return values;
}

std::pair<RateTerm, SweptFinish> SweepTerm::at_values(const double* values, SweptFinish finish) const {
    RateTerm term = base_;
    for (std::size_t d = 0; d < axes_.size(); ++d) {
        const SweepEntry& entry = axes_[d].entry;
        if (entry.role == SweepRole::absorptance) finish.absorptance = values[d];
        else if (entry.role == SweepRole::emittance) finish.emittance = values[d];
        else (is_exponent(entry.role) ? term.exponent : term.energy) = entry.factor * values[d];
    }
    return {term, finish};
}

std::pair<RateTerm, SweptFinish> SweepTerm::at(const double* point, const SweptFinish& finish) const {
    return at_values(values_at(point).data(), finish);
}

void SweepTerm::months(const double* point, SweepWork& work, double* months, double& year) const {
    const auto values = values_at(point);
    series_.at(ChebyshevPoint(series_.axes(), values.data()), work.products.data(), work.lanes);
    kernel::kernels().exponentials(kernel::sweep_lanes, work.lanes, 1, nullptr, 0, work.values);
    for (std::size_t m = 0; m < 12; ++m) months[m] = present_[m] * work.values[m];
    year = present_[lane_of_year] * work.values[lane_of_year];
    if (wet_.empty()) return;
    wet_.sums(values.data(), at_values(values.data(), {}).first, work.lanes[lane_of_reference], work);
    double wet = 0;
    for (std::size_t m = 0; m < 12; ++m) {
        months[m] += work.wet[m];
        wet += work.wet[m] * (month_days[m] / 365.25);
    }
    year += wet;
}

std::array<const double*, most_axes> SweepTerm::values_at(const double* points, SweepBlock& block, bool with_slopes) const {
    std::array<const double*, most_axes> values{};
    for (std::size_t d = 0; d < axes_.size(); ++d) values[d] = points + axes_[d].parameter * points_at_once;
    block.points.set(series_.axes(), values.data(), with_slopes);
    if (wet_.empty()) return values;
    for (std::size_t i = 0; i < points_at_once; ++i) {
        double point[most_axes];
        for (std::size_t d = 0; d < axes_.size(); ++d) point[d] = values[d][i];
        const RateTerm term = at_values(point, {}).first;
        block.exponent[i] = term.exponent, block.energy[i] = term.energy;
    }
    return values;
}

void SweepTerm::years_of(const double* const* values, SweepBlock& block, double* years) const {
    const double* shift = block.columns;  // the column of the reference, then that of the year
    kernel::kernels().exponentials(points_at_once, block.columns + points_at_once, 1, nullptr, 0, years);
    for (std::size_t i = 0; i < points_at_once; ++i) years[i] *= present_[lane_of_year];
    if (wet_.empty()) return;
    wet_.sums(values, shift, block);
    double wet[points_at_once] = {};
    for (std::size_t m = 0; m < 12; ++m)
        for (std::size_t i = 0; i < points_at_once; ++i) wet[i] += block.wet[m * points_at_once + i] * (month_days[m] / 365.25);
    for (std::size_t i = 0; i < points_at_once; ++i) years[i] += wet[i];
}

void SweepTerm::months(const double* points, SweepBlock& block, double* months, double* years) const {
    const auto values = values_at(points, block, false);
    if (!months) {
        series_.at(block.points, -1, lane_of_reference, 2, block.products.data(), block.columns);
        years_of(values.data(), block, years);
        return;
    }
    series_.at(block.points, -1, 0, 13, block.products.data(), block.columns);
    kernel::kernels().exponentials(12 * points_at_once, block.columns, 1, nullptr, 0, months);
    if (!wet_.empty()) wet_.sums(values.data(), block.columns + lane_of_reference * points_at_once, block);
    for (std::size_t m = 0; m < 12; ++m)
        for (std::size_t i = m * points_at_once; i < (m + 1) * points_at_once; ++i)
            months[i] = present_[m] * months[i] + (wet_.empty() ? 0 : block.wet[i]);
}

void SweepTerm::slopes(const double* points, SweepBlock& block, double* years, double* by_parameter) const {
    const auto values = values_at(points, block, true);
    series_.at(block.points, -1, lane_of_reference, 2, block.products.data(), block.columns);
    double shift[points_at_once], dry[points_at_once];
    std::copy_n(block.columns, points_at_once, shift);
    years_of(values.data(), block, years);
    kernel::kernels().exponentials(points_at_once, block.columns + points_at_once, 1, nullptr, 0, dry);
    // Wet hours are there only if the finish moves; one pass over them serves exponent, energy and one axis of it.
    int along = -1;
    const auto wet_along = [&](int axis) {
        if (along != axis) wet_.slopes(values.data(), shift, axis, block);
        along = axis;
    };
    const auto finish_axis = std::find_if(axes_.begin(), axes_.end(), [](const TermAxis& axis) { return is_finish(axis.entry.role); });
    for (std::size_t d = 0; d < axes_.size(); ++d) {
        const SweepEntry& entry = axes_[d].entry;
        double* const to = by_parameter + axes_[d].parameter * points_at_once;
        series_.at(block.points, static_cast<int>(d), lane_of_reference, 2, block.products.data(), block.columns);
        for (std::size_t i = 0; i < points_at_once; ++i) to[i] = present_[lane_of_year] * dry[i] * block.columns[points_at_once + i];
        if (wet_.empty()) continue;
        const bool finish = is_finish(entry.role);
        wet_along(finish ? static_cast<int>(d) : static_cast<int>(finish_axis - axes_.begin()));
        const double* by = block.wet_slopes + 12 * points_at_once * (finish ? 2 : is_exponent(entry.role) ? 0 : 1);
        for (std::size_t m = 0; m < 12; ++m)
            for (std::size_t i = 0; i < points_at_once; ++i) {
                const std::size_t at = m * points_at_once + i;
                to[i] += (entry.factor * by[at] + block.columns[i] * block.wet[at]) * (month_days[m] / 365.25);
            }
    }
}

}  // namespace libseal::detail
