// Along which direction a likelihood never falls: a small linear program.

#include <algorithm>
#include <cmath>
#include <vector>

#include "life/fit_data.hpp"

namespace libseal::detail {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double slack_tolerance = 1e-9;

/// Largest gain * x with table * x <= limit, x >= 0, limit >= 0, by the simplex method; x = 0 is where it starts.
VectorXd simplex(const MatrixXd& table, const VectorXd& limit, const VectorXd& gain) {
    const Index m = table.rows(), n = table.cols();
    MatrixXd t(m + 1, n + 1);
    t.topLeftCorner(m, n) = table;
    t.topRightCorner(m, 1) = limit;
    t.bottomLeftCorner(1, n) = -gain.transpose();
    t(m, n) = 0;
    std::vector<Index> basic(static_cast<std::size_t>(m)), other(static_cast<std::size_t>(n));
    for (Index i = 0; i < m; ++i) basic[static_cast<std::size_t>(i)] = n + i;
    for (Index j = 0; j < n; ++j) other[static_cast<std::size_t>(j)] = j;
    const int patient = 40 * static_cast<int>(n), most = 400 * static_cast<int>(n + 1);
    for (int step = 0; step < most; ++step) {
        Index enter = -1;
        for (Index j = 0; j < n; ++j) {
            if (!(t(m, j) < -1e-10)) continue;
            // The steepest one; after a while the first by number, which cannot run in a circle (Bland).
            const bool better = enter < 0 || (step < patient ? t(m, j) < t(m, enter)
                                                             : other[static_cast<std::size_t>(j)] < other[static_cast<std::size_t>(enter)]);
            if (better) enter = j;
        }
        if (enter < 0) break;
        Index leave = -1;
        for (Index i = 0; i < m; ++i) {
            if (!(t(i, enter) > 1e-10)) continue;
            if (leave < 0) {
                leave = i;
                continue;
            }
            const double mine = t(i, n) / t(i, enter), best = t(leave, n) / t(leave, enter);
            if (mine < best || (mine == best && basic[static_cast<std::size_t>(i)] < basic[static_cast<std::size_t>(leave)])) leave = i;
        }
        if (leave < 0) break;
        const double pivot = t(leave, enter);
        const VectorXd column = t.col(enter);
        t.row(leave) /= pivot;
        const Eigen::RowVectorXd row = t.row(leave);
        for (Index i = 0; i <= m; ++i)
            if (i != leave && column[i] != 0) t.row(i) -= column[i] * row;
        t.col(enter) = -column / pivot;
        t(leave, enter) = 1 / pivot;
        std::swap(basic[static_cast<std::size_t>(leave)], other[static_cast<std::size_t>(enter)]);
    }
    VectorXd x = VectorXd::Zero(n);
    for (Index i = 0; i < m; ++i)
        if (basic[static_cast<std::size_t>(i)] < n) x[basic[static_cast<std::size_t>(i)]] = t(i, n);
    return x;
}

/// Largest gain * d within the box -1 <= d <= 1, among those that keep `some` of the rows.
VectorXd within_box(const MatrixXd& rows, const std::vector<Index>& some, const VectorXd& gain) {
    const Index n = rows.cols(), kept = static_cast<Index>(some.size());
    MatrixXd table = MatrixXd::Zero(kept + 2 * n, 2 * n);
    VectorXd limit = VectorXd::Zero(kept + 2 * n), both(2 * n);
    for (Index i = 0; i < kept; ++i) {
        table.row(i).head(n) = -rows.row(some[static_cast<std::size_t>(i)]);
        table.row(i).tail(n) = rows.row(some[static_cast<std::size_t>(i)]);
    }
    table.bottomRightCorner(2 * n, 2 * n).setIdentity();
    limit.tail(2 * n).setOnes();
    both << gain, -gain;
    const VectorXd x = simplex(table, limit, both);
    return x.head(n) - x.tail(n);
}

}  // namespace

VectorXd free_direction(const MatrixXd& rows, const VectorXd& gain) {
    const double little = 1e-7 * std::max(1.0, gain.cwiseAbs().maxCoeff());
    std::vector<Index> some;
    std::vector<char> taken(static_cast<std::size_t>(rows.rows()), 0);
    // Few rows matter: the most violated ones join until none is.
    for (int round = 0; round < 200; ++round) {
        const VectorXd d = within_box(rows, some, gain);
        if (!(gain.dot(d) > little)) return {};
        const VectorXd value = rows * d;
        std::vector<Index> violated;
        for (Index i = 0; i < rows.rows(); ++i)
            if (value[i] < -slack_tolerance && !taken[static_cast<std::size_t>(i)]) violated.push_back(i);
        if (violated.empty()) return d;
        const std::size_t most = std::min<std::size_t>(violated.size(), static_cast<std::size_t>(2 * rows.cols()));
        std::partial_sort(violated.begin(), violated.begin() + static_cast<std::ptrdiff_t>(most), violated.end(),
                          [&](Index a, Index b) { return value[a] != value[b] ? value[a] < value[b] : a < b; });
        for (std::size_t k = 0; k < most; ++k) {
            some.push_back(violated[k]);
            taken[static_cast<std::size_t>(violated[k])] = 1;
        }
    }
    return {};
}

}  // namespace libseal::detail
