#include "ageing/chebyshev_series.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "kernel/kernels.hpp"

namespace libseal::detail {
namespace {

constexpr double pi = 3.14159265358979323846;

/// Transforms each run of `nodes` rows that lie `stride` apart.
void transform(std::vector<LaneRow>& rows, std::size_t first, std::size_t stride, int nodes) {
    std::vector<LaneRow> values(static_cast<std::size_t>(nodes));
    for (std::size_t i = 0; i < values.size(); ++i) values[i] = rows[first + i * stride];
    for (int k = 0; k < nodes; ++k) {
        LaneRow& to = rows[first + static_cast<std::size_t>(k) * stride];
        to.fill(0);
        for (int i = 0; i < nodes; ++i) {
            const double factor = (k == 0 ? 1.0 : 2.0) / nodes * std::cos(pi * k * (i + 0.5) / nodes);
            for (std::size_t lane = 0; lane < to.size(); ++lane) to[lane] += factor * values[static_cast<std::size_t>(i)][lane];
        }
    }
}

/// Largest coefficient of any lane.
std::vector<double> sizes_of(const std::vector<LaneRow>& rows) {
    std::vector<double> sizes;
    for (const LaneRow& row : rows) {
        double size = 0;
        for (const double x : row) size = std::max(size, std::fabs(x));
        sizes.push_back(size);
    }
    return sizes;
}

}  // namespace

double ChebyshevAxis::node(int i) const { return middle() + 0.5 * (high - low) * std::cos(pi * (i + 0.5) / nodes); }

ChebyshevPoint::ChebyshevPoint(const std::vector<ChebyshevAxis>& axes, const double* values) {
    for (std::size_t d = 0; d < axes.size(); ++d) {
        const double x = axes[d].scaled(values[d]);
        const int nodes = axes[d].nodes;
        double* const t = value_[d];
        t[0] = 1;
        if (nodes > 1) t[1] = x;
        for (int k = 2; k < nodes; ++k) t[k] = 2 * x * t[k - 1] - t[k - 2];
    }
}

void ChebyshevPoints::set(const std::vector<ChebyshevAxis>& axes, const double* const* values, bool with_slopes) {
    for (std::size_t d = 0; d < axes.size(); ++d) {
        const double scale = 2 / (axes[d].high - axes[d].low);
        auto& t = value_[d];
        auto& s = slope_[d];
        for (std::size_t i = 0; i < points_at_once; ++i) {
            const double x = axes[d].scaled(values[d][i]);
            t[0][i] = 1;
            t[1][i] = x;
        }
        for (int k = 2; k < axes[d].nodes; ++k)
            for (std::size_t i = 0; i < points_at_once; ++i) t[k][i] = 2 * t[1][i] * t[k - 1][i] - t[k - 2][i];
        if (!with_slopes) continue;
        // T_k' = k U_(k-1), U of the second kind.
        double before[points_at_once] = {}, u[points_at_once];
        for (std::size_t i = 0; i < points_at_once; ++i) u[i] = 1, s[0][i] = 0;
        for (int k = 1; k < axes[d].nodes; ++k)
            for (std::size_t i = 0; i < points_at_once; ++i) {
                s[k][i] = scale * k * u[i];
                const double next = 2 * t[1][i] * u[i] - before[i];
                before[i] = u[i], u[i] = next;
            }
    }
}

void to_coefficients(const std::vector<ChebyshevAxis>& axes, std::vector<LaneRow>& rows) {
    std::size_t stride = 1;
    for (std::size_t d = axes.size(); d-- > 0;) {
        const std::size_t whole = stride * static_cast<std::size_t>(axes[d].nodes);
        for (std::size_t block = 0; block < rows.size(); block += whole)
            for (std::size_t i = 0; i < stride; ++i) transform(rows, block + i, stride, axes[d].nodes);
        stride = whole;
    }
}

ChebyshevProducts::ChebyshevProducts(const std::vector<ChebyshevAxis>& axes, const std::vector<double>& sizes, double drop) : axes_(axes.size()) {
    std::vector<std::size_t> order(sizes.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return sizes[a] != sizes[b] ? sizes[a] < sizes[b] : a > b; });
    std::vector<std::uint8_t> kept(sizes.size(), 1);
    double sum = 0;
    for (const std::size_t i : order) {
        if (i == 0) continue;
        if (sum + sizes[i] > drop) break;
        sum += sizes[i];
        kept[i] = 0;
    }
    const std::size_t last = axes.empty() ? 1 : static_cast<std::size_t>(axes.back().nodes);
    for (std::size_t first = 0; first < sizes.size(); first += last) {
        kernel::SweepRun run;
        for (std::size_t k = 0; k < last; ++k)
            if (kept[first + k]) run.count = static_cast<int>(k) + 1;
        std::size_t rest = first / last;
        for (std::size_t d = axes.size() > 0 ? axes.size() - 1 : 0; d-- > 0;) {
            const auto nodes = static_cast<std::size_t>(axes[d].nodes);
            run.order[d] = static_cast<std::uint8_t>(rest % nodes);
            rest /= nodes;
        }
        for (std::size_t k = 0; k < last; ++k) {
            if (static_cast<int>(k) < run.count) held_.push_back(first + k);
            else dropped_ += sizes[first + k];
        }
        if (run.count > 0) runs_.push_back(run);
    }
}

void ChebyshevProducts::at(const ChebyshevPoint& point, double* products) const {
    if (axes_ == 0) {
        products[0] = 1;
        return;
    }
    const int last = static_cast<int>(axes_) - 1;
    const double* factors[most_axes] = {};
    for (int d = 0; d <= last; ++d) factors[d] = point.polynomials(d);
    for (const kernel::SweepRun& run : runs_) {
        double before = 1;
        for (int d = 0; d < last; ++d) before *= factors[d][run.order[d]];
        for (int k = 0; k < run.count; ++k) *products++ = before * factors[last][k];
    }
}

void ChebyshevProducts::at(const ChebyshevPoints& points, int along, double* products) const {
    if (axes_ == 0) {
        std::fill_n(products, points_at_once, along < 0 ? 1.0 : 0.0);
        return;
    }
    kernel::PointProducts what;
    what.runs = runs_.data(), what.count = runs_.size(), what.axes = static_cast<int>(axes_);
    for (int d = 0; d < what.axes; ++d) what.polynomials[d] = points.polynomials(d, d == along);
    kernel::kernels().point_products(what, products);
}

ChebyshevSeries::ChebyshevSeries(const std::vector<ChebyshevAxis>& axes, std::vector<LaneRow> values, double drop) : axes_(axes) {
    to_coefficients(axes_, values);
    products_ = ChebyshevProducts(axes_, sizes_of(values), drop);
    table_ = kernel::AlignedColumn(size() * kernel::sweep_lanes);
    for (std::size_t k = 0; k < size(); ++k)
        for (std::size_t lane = 0; lane < kernel::sweep_lanes; ++lane) table_[k * kernel::sweep_lanes + lane] = values[products_.held()[k]][lane];
}

void ChebyshevSeries::at(const ChebyshevPoint& point, double* work, double* lanes) const {
    products_.at(point, work);
    kernel::kernels().sweep_rows(table_.data(), work, size(), lanes);
}

void ChebyshevSeries::at(const ChebyshevPoints& points, int along, std::size_t first, std::size_t count, double* work, double* columns) const {
    products_.at(points, along, work);
    kernel::kernels().point_columns(table_.data(), work, size(), first, count, columns);
}

}  // namespace libseal::detail
