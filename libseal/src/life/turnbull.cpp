#include "libseal/life/turnbull.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <string>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"
#include "life/interval_sets.hpp"
#include "life/survival_parts.hpp"

namespace libseal {
namespace {

/// Standard errors of the running sums of mass, from the curvature on the cells that hold it.
Column errors_of(const detail::IntervalSets& sets, const Column& mass, const std::vector<int>& cells) {
    const auto count = static_cast<Eigen::Index>(cells.size());
    if (count > 400) return Column(0);
    const Eigen::MatrixXd curvature = detail::cell_curvature(sets, mass, cells) * sets.lives;
    Eigen::MatrixXd covariance =
        curvature.completeOrthogonalDecomposition().solve(Eigen::MatrixXd::Identity(count, count));
    // The sum is 1 and has no error.
    const Eigen::VectorXd all = covariance.rowwise().sum();
    const double whole = all.sum();
    if (whole > 0) covariance -= all * all.transpose() / whole;
    Column result(count);
    double variance = 0;
    for (Eigen::Index k = 0; k < count; ++k) {
        variance += covariance(k, k) + 2 * covariance.row(k).head(k).sum();
        result[k] = std::sqrt(std::max(0.0, variance));
    }
    return result;
}

/// Score of each range of cells: (a(L) - a(R)) / (S(L) - S(R)).
Column range_scores(const detail::IntervalSets& sets, const Column& mass, const std::string& scores) {
    if (scores != "sun" && scores != "finkelstein") throw_value_error("scores", "sun or finkelstein", '"' + scores + '"');
    const Eigen::Index cells = mass.size();
    Column left(cells + 1), height(cells + 1);  // survival before each cell, and a of it
    left[cells] = height[cells] = 0;
    for (Eigen::Index j = cells; j-- > 0;) left[j] = left[j + 1] + mass[j];
    double hazard = 0;
    for (Eigen::Index j = 0; j < cells; ++j) {
        const double log_left = scores == "sun" ? -hazard : std::log(std::min(1.0, left[j] / left[0]));
        height[j] = left[j] > 0 ? left[j] * log_left : 0;
        if (left[j] > 0) hazard += mass[j] / left[j];
    }
    Column result(static_cast<Eigen::Index>(sets.ranges.size()));
    for (std::size_t i = 0; i < sets.ranges.size(); ++i) {
        const auto& range = sets.ranges[i];
        const double share = mass.segment(range.first, range.last - range.first + 1).sum();
        result[static_cast<Eigen::Index>(i)] = (height[range.first] - height[range.last + 1]) / share;
    }
    return result;
}

}  // namespace

double IntervalCurve::failed_least(double t) const {
    double sum = 0;
    for (Eigen::Index j = 0; j < mass.size() && right[j] <= t; ++j) sum += mass[j];
    return std::min(1.0, sum);
}

double IntervalCurve::failed_most(double t) const {
    double sum = 0;
    for (Eigen::Index j = 0; j < mass.size() && (left[j] < t || right[j] <= t); ++j) sum += mass[j];
    return std::min(1.0, sum);
}

IntervalCurve turnbull(const LifeData& lives, const TurnbullOptions& options) {
    require_positive(options.tolerance, "tolerance");
    require_between(options.most_iterations, 1, 1e9, "most_iterations");
    const auto sets = detail::interval_sets(lives, options.entry, options.exit);
    const auto fit = detail::fit_cells(sets, options.tolerance, options.most_iterations);
    std::vector<int> cells;
    for (int j = 0; j < sets.cells(); ++j)
        if (fit.mass[j] > 0) cells.push_back(j);
    const auto count = static_cast<Eigen::Index>(cells.size());
    IntervalCurve curve{Column(count), Column(count), Column(count), Column(count), {}, 0, 0, 0, false};
    double sum = 0;
    for (Eigen::Index k = 0; k < count; ++k) {
        const int j = cells[static_cast<std::size_t>(k)];
        curve.left[k] = sets.left[j];
        curve.right[k] = sets.right[j];
        curve.mass[k] = fit.mass[j];
        curve.failed[k] = k + 1 == count ? 1 : std::min(1.0, sum += fit.mass[j]);
    }
    curve.se = errors_of(sets, fit.mass, cells);
    curve.log_likelihood = fit.log_likelihood;
    curve.gap = fit.gap;
    curve.iterations = fit.iterations;
    curve.converged = fit.gap <= options.tolerance;
    return curve;
}

CurrentStatus current_status(ConstColumn time, const std::vector<bool>& failed) {
    detail::check_lives(time, failed, Column(0));
    struct Block {
        double count, failed;
        Eigen::Index days;
    };
    std::vector<Block> blocks;
    std::vector<double> days, counts;
    const auto order = detail::by_time(time);
    for (std::size_t k = 0; k < order.size();) {
        const double day = require_positive(time[order[k]], "time[" + std::to_string(order[k]) + "]");
        Block block{0, 0, 1};
        for (; k < order.size() && time[order[k]] == day; ++k) {
            ++block.count;
            block.failed += failed[static_cast<std::size_t>(order[k])] ? 1 : 0;
        }
        days.push_back(day);
        counts.push_back(block.count);
        while (!blocks.empty() && blocks.back().failed * block.count >= block.failed * blocks.back().count) {
            const Block last = blocks.back();
            blocks.pop_back();
            block = {block.count + last.count, block.failed + last.failed, block.days + last.days};
        }
        blocks.push_back(block);
    }
    const auto n = static_cast<Eigen::Index>(days.size());
    CurrentStatus result{Eigen::Map<const Column>(days.data(), n), Eigen::Map<const Column>(counts.data(), n), Column(n)};
    Eigen::Index at = 0;
    for (const auto& block : blocks) {
        result.failed.segment(at, block.days).setConstant(block.failed / block.count);
        at += block.days;
    }
    return result;
}

GroupTest score_test(const LifeData& lives, const std::vector<int>& group, const std::string& scores) {
    const auto sets = detail::interval_sets(lives, Column(0), Column(0));
    const auto groups = detail::group_places(group, lives.lower.size());
    const auto fit = detail::fit_cells(sets, 1e-10, 20000);
    const Column of_range = range_scores(sets, fit.mass, scores);
    const auto count = static_cast<Eigen::Index>(groups.label.size());
    GroupTest test;
    test.group = groups.label;
    test.count = test.score = Column::Zero(count);
    double sum = 0, squares = 0;
    for (std::size_t i = 0; i < groups.place.size(); ++i) {
        const double score = of_range[sets.range_of[i]];
        test.score[groups.place[i]] += score;
        ++test.count[groups.place[i]];
        sum += score;
        squares += score * score;
    }
    // Under the permutations of labels: mean score, and covariance of sums drawn without replacement.
    const double n = sets.lives, mean = sum / n, spread = std::max(0.0, squares - n * mean * mean) / (n - 1);
    test.score -= test.count * mean;
    const Column share = test.count / n;
    Eigen::MatrixXd covariance = share.matrix().asDiagonal();
    covariance -= share.matrix() * share.matrix().transpose();
    detail::conclude(test, spread > 1e-20 ? Eigen::MatrixXd(covariance * n * spread) : Eigen::MatrixXd::Zero(count, count));
    return test;
}

}  // namespace libseal
