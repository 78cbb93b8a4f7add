// The likeliest probabilities of cells: EM with extrapolation, then Newton steps on the cells that hold probability.

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "life/interval_sets.hpp"

namespace libseal::detail {
namespace {

constexpr int most_newton_cells = 400;

/// Running sums: sum of cells first to last = after[last + 1] - after[first].
Column running(const Column& mass) {
    Column after(mass.size() + 1);
    after[0] = 0;
    for (Eigen::Index j = 0; j < mass.size(); ++j) after[j + 1] = after[j] + mass[j];
    return after;
}

/// Short ranges are summed anew: differences of running sums lose their digits.
double sum_of(const Column& mass, const Column& after, int first, int last) {
    return last - first < 16 ? mass.segment(first, last - first + 1).sum() : after[last + 1] - after[first];
}

double log_likelihood(const IntervalSets& sets, const Column& mass) {
    const Column after = running(mass);
    double total = 0;
    for (const auto& range : sets.ranges) {
        const double own = sum_of(mass, after, range.first, range.last);
        const double seen = sum_of(mass, after, range.seen_first, range.seen_last);
        if (!(own > 0)) return -INFINITY;
        total += range.count * std::log(std::min(1.0, own / seen));
    }
    return total;
}

Column em_step(const IntervalSets& sets, const Column& mass) {
    const Column gradient = cell_gradient(sets, mass);
    // Ghosts that truncation hides keep their mass, so that the step is mass (1 + gradient/weight).
    const Column after = running(mass);
    double ghosts = 0;
    for (const auto& range : sets.ranges) ghosts += range.count / sum_of(mass, after, range.seen_first, range.seen_last);
    Column next = (mass * (1 + gradient * sets.lives / ghosts)).max(0.0);
    return next / next.sum();
}

/// One extrapolated step of two EM steps (SQUAREM); never lowers the likelihood.
Column squared_step(const IntervalSets& sets, const Column& mass, int& iterations) {
    const Column first = em_step(sets, mass), second = em_step(sets, first);
    iterations += 2;
    const Column r = first - mass, v = second - first - r;
    const double bend = v.matrix().norm();
    if (bend == 0) return second;
    const double step = std::max(1.0, r.matrix().norm() / bend);
    Column far = mass + 2 * step * r + step * step * v;
    if (step == 1 || far.minCoeff() < 0) return second;
    far = em_step(sets, far / far.sum());
    ++iterations;
    return log_likelihood(sets, far) > log_likelihood(sets, second) ? far : second;
}

/// Newton's direction on cells: the rise of the quadratic model, the sum of mass held near 1.
Column newton_direction(const IntervalSets& sets, const Column& mass, const Column& gradient, const std::vector<int>& cells) {
    Eigen::MatrixXd curvature = cell_curvature(sets, mass, cells);
    const auto count = static_cast<Eigen::Index>(cells.size());
    Eigen::VectorXd rise(count);
    const double off = mass.sum() - 1;
    for (Eigen::Index k = 0; k < count; ++k) rise[k] = gradient[cells[static_cast<std::size_t>(k)]] - off;
    curvature.diagonal().array() += 1e-13 * curvature.diagonal().maxCoeff();
    return curvature.ldlt().solve(rise).array();
}

/// Mass after a step along a direction; what would fall below 0 is cut there.
Column stepped(const Column& mass, const Column& direction, const std::vector<int>& cells, double step) {
    Column next = mass;
    for (std::size_t k = 0; k < cells.size(); ++k)
        next[cells[k]] = std::max(0.0, next[cells[k]] + step * direction[static_cast<Eigen::Index>(k)]);
    return next / next.sum();
}

/// Goes along a direction as far as the likelihood does not fall. False: no way along it.
bool go(const IntervalSets& sets, CellFit& fit, const Column& direction, const std::vector<int>& cells) {
    if (!direction.isFinite().all()) return false;
    const auto try_step = [&](double step) {
        const Column next = stepped(fit.mass, direction, cells, step);
        const double value = log_likelihood(sets, next);
        if (!(value >= fit.log_likelihood - 1e-13 * std::fabs(fit.log_likelihood))) return false;
        fit.mass = next;
        fit.log_likelihood = value;
        return true;
    };
    // Long steps empty many cells at once. If they fail: to the first cell that empties, and shorter ones.
    for (double step = 1; step > 0.1; step *= 0.5)
        if (try_step(step)) return true;
    double most = 1;
    for (std::size_t k = 0; k < cells.size(); ++k) {
        const double d = direction[static_cast<Eigen::Index>(k)];
        if (d < 0) most = std::min(most, fit.mass[cells[k]] / -d);
    }
    for (double step = most * (1 + 1e-12); step > 1e-8; step *= 0.5)
        if (try_step(step)) return true;
    return false;
}

/// Largest breach of the conditions of an optimum.
double breach(const Column& gradient, const Column& mass) {
    double worst = std::max(0.0, gradient.maxCoeff());
    for (Eigen::Index j = 0; j < mass.size(); ++j)
        if (mass[j] > 0) worst = std::max(worst, mass[j] * std::fabs(gradient[j]));
    return worst;
}

/// Steps on the cells with mass; cells come in one by one where the gradient says so. True: the optimum is reached.
bool newton(const IntervalSets& sets, CellFit& fit, double tolerance) {
    const Column before = cell_gradient(sets, fit.mass);
    for (Eigen::Index j = 0; j < fit.mass.size(); ++j)
        if (fit.mass[j] < 1e-5 && before[j] < -1e-3) fit.mass[j] = 0;
    fit.mass /= fit.mass.sum();
    fit.log_likelihood = log_likelihood(sets, fit.mass);
    if (!std::isfinite(fit.log_likelihood)) return false;
    int comes = -1;
    for (int round = 0; round < 100 + 4 * sets.cells(); ++round) {
        const Column gradient = cell_gradient(sets, fit.mass);
        std::vector<int> cells;
        double uneven = 0;
        for (int j = 0; j < sets.cells(); ++j) {
            if (!(fit.mass[j] > 0) && j != comes) continue;
            cells.push_back(j);
            if (fit.mass[j] > 0) uneven = std::max(uneven, std::fabs(gradient[j]));
        }
        if (static_cast<int>(cells.size()) > most_newton_cells) return false;
        ++fit.iterations;
        if (uneven < tolerance && comes < 0) {
            Eigen::Index worst = 0;
            if (gradient.maxCoeff(&worst) < tolerance) return true;
            comes = static_cast<int>(worst);
            continue;
        }
        const double last = fit.log_likelihood;
        const Column mass = fit.mass;
        if (!go(sets, fit, newton_direction(sets, fit.mass, gradient, cells), cells)) return false;
        // Full digits are reached where a step moves nothing any more.
        if (comes < 0 && fit.log_likelihood <= last && (fit.mass - mass).abs().maxCoeff() < 1e-13) {
            Eigen::Index worst = 0;
            if (cell_gradient(sets, fit.mass).maxCoeff(&worst) < std::max(tolerance, uneven)) return true;
            if (fit.mass[worst] > 0) return true;
            comes = static_cast<int>(worst);
            continue;
        }
        comes = -1;
    }
    return false;
}

}  // namespace

Column cell_gradient(const IntervalSets& sets, const Column& mass) {
    const Column after = running(mass);
    Column change = Column::Zero(mass.size() + 1);
    for (const auto& range : sets.ranges) {
        const double own = range.count / sum_of(mass, after, range.first, range.last);
        const double seen = range.count / sum_of(mass, after, range.seen_first, range.seen_last);
        change[range.first] += own;
        change[range.last + 1] -= own;
        change[range.seen_first] -= seen;
        change[range.seen_last + 1] += seen;
    }
    Column gradient(mass.size());
    double sum = 0;
    for (Eigen::Index j = 0; j < mass.size(); ++j) gradient[j] = (sum += change[j]) / sets.lives;
    return gradient;
}

Eigen::MatrixXd cell_curvature(const IntervalSets& sets, const Column& mass, const std::vector<int>& cells) {
    const Column after = running(mass);
    const auto count = static_cast<Eigen::Index>(cells.size());
    // A range adds a constant to a square: marked at its corners, summed afterwards.
    Eigen::MatrixXd corner = Eigen::MatrixXd::Zero(count + 1, count + 1);
    const auto add = [&](int first, int last, double weight) {
        const auto low = std::lower_bound(cells.begin(), cells.end(), first) - cells.begin();
        const auto high = std::upper_bound(cells.begin(), cells.end(), last) - cells.begin();
        if (low >= high) return;
        corner(low, low) += weight;
        corner(low, high) -= weight;
        corner(high, low) -= weight;
        corner(high, high) += weight;
    };
    for (const auto& range : sets.ranges) {
        const double own = sum_of(mass, after, range.first, range.last);
        const double seen = sum_of(mass, after, range.seen_first, range.seen_last);
        add(range.first, range.last, range.count / (own * own) / sets.lives);
        add(range.seen_first, range.seen_last, -range.count / (seen * seen) / sets.lives);
    }
    for (Eigen::Index i = 1; i < count; ++i) corner.row(i) += corner.row(i - 1);
    for (Eigen::Index j = 1; j < count; ++j) corner.col(j) += corner.col(j - 1);
    return (corner.topLeftCorner(count, count).array() + 1).matrix();
}

CellFit fit_cells(const IntervalSets& sets, double tolerance, int most_iterations) {
    CellFit fit;
    fit.mass = Column::Constant(sets.cells(), 1.0 / sets.cells());
    const auto judge = [&] {
        fit.log_likelihood = log_likelihood(sets, fit.mass);
        fit.gap = breach(cell_gradient(sets, fit.mass), fit.mass);
    };
    judge();
    int next_newton = 30;
    while (fit.gap > tolerance && fit.iterations < most_iterations) {
        fit.mass = squared_step(sets, fit.mass, fit.iterations);
        if (fit.iterations < next_newton) continue;
        judge();
        next_newton = 2 * fit.iterations;
        CellFit tried = fit;
        if (newton(sets, tried, std::min(tolerance, 1e-12)) || tried.log_likelihood > fit.log_likelihood) {
            fit.mass = tried.mass;
            fit.iterations = tried.iterations;
            judge();
            // EM cannot bring back what has no mass.
            if (fit.gap > tolerance) fit.mass = (fit.mass + 1e-9).eval() / (1 + 1e-9 * sets.cells());
        }
    }
    judge();
    return fit;
}

}  // namespace libseal::detail
