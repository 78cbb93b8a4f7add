#include "libseal/life/quadrature.hpp"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "libseal/core/require.hpp"

namespace libseal {
namespace {

constexpr int most_nodes = 64;

/// Eigenvalues of the Jacobi matrix with zero diagonal: the nodes, to some digits. (Golub & Welsch 1969)
template <class OffDiagonal>
Column jacobi_nodes(int n, OffDiagonal&& off_diagonal) {
    if (n == 1) return Column::Zero(1);
    Eigen::VectorXd beside(n - 1);
    for (int k = 1; k < n; ++k) beside[k - 1] = off_diagonal(k);
    Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver;
    solver.computeFromTridiagonal(Eigen::VectorXd::Zero(n), beside, Eigen::EigenvaluesOnly);
    Column nodes = solver.eigenvalues().array();
    std::sort(nodes.data(), nodes.data() + n);
    return nodes;
}

/// A polynomial of degree n and its slope.
struct Value {
    double value = 0, slope = 0;
};

Value hermite(int n, double x) {
    // Orthonormal, so that nothing overflows: h_k+1 = x sqrt(2/(k+1)) h_k - sqrt(k/(k+1)) h_k-1.
    double before = 0, here = std::pow(std::numbers::pi, -0.25);
    for (int k = 0; k < n; ++k) {
        const double next = x * std::sqrt(2.0 / (k + 1)) * here - std::sqrt(k / (k + 1.0)) * before;
        before = here;
        here = next;
    }
    return {here, std::sqrt(2.0 * n) * before};
}

Value legendre(int n, double x) {
    double before = 0, here = 1;
    for (int k = 0; k < n; ++k) {
        const double next = ((2 * k + 1) * x * here - k * before) / (k + 1);
        before = here;
        here = next;
    }
    return {here, n * (x * here - before) / (x * x - 1)};
}

/// Newton steps from rough nodes, weights from the slope there, and both sides made mirror images.
template <class Polynomial, class Weight>
Quadrature polished(Column nodes, Polynomial&& polynomial, Weight&& weight) {
    const int n = static_cast<int>(nodes.size());
    Quadrature rule{nodes, Column(n)};
    for (int i = 0; i < n; ++i) {
        double x = 2 * i + 1 == n ? 0.0 : nodes[i];
        for (int step = 0; step < 4 && x != 0; ++step) {
            const Value v = polynomial(n, x);
            x -= v.value / v.slope;
        }
        rule.node[i] = x;
        rule.weight[i] = weight(x, polynomial(n, x).slope);
    }
    for (int i = 0; i < n / 2; ++i) {
        const int mirror = n - 1 - i;
        rule.node[mirror] = 0.5 * (rule.node[mirror] - rule.node[i]);
        rule.node[i] = -rule.node[mirror];
        rule.weight[i] = rule.weight[mirror] = 0.5 * (rule.weight[i] + rule.weight[mirror]);
    }
    return rule;
}

}  // namespace

Quadrature gauss_hermite(int n) {
    require_between(n, 1, most_nodes, "n");
    return polished(jacobi_nodes(n, [](int k) { return std::sqrt(0.5 * k); }), hermite,
                    [](double, double slope) { return 2 / (slope * slope); });
}

Quadrature gauss_legendre(int n) {
    require_between(n, 1, most_nodes, "n");
    return polished(jacobi_nodes(n, [](int k) { return k / std::sqrt(4.0 * k * k - 1); }), legendre,
                    [](double x, double slope) { return 2 / ((1 - x * x) * slope * slope); });
}

Quadrature normal_gauss(int n) {
    Quadrature rule = gauss_hermite(n);
    rule.node *= std::numbers::sqrt2;
    rule.weight /= rule.weight.sum();
    return rule;
}

Quadrature normal_trapezoid(int n, double half_width) {
    require_between(n, 2, 100000, "n");
    require_between(half_width, 1, 30, "half_width");
    Quadrature rule{Column::LinSpaced(n, -half_width, half_width), Column(n)};
    rule.weight = (-0.5 * rule.node.square()).exp();
    rule.weight[0] *= 0.5;
    rule.weight[n - 1] *= 0.5;
    rule.weight /= rule.weight.sum();
    return rule;
}

double survival_under_effect(double c, double s, const Quadrature& rule) {
    require_not_negative(c, "c");
    require_between(s, 0, 10, "s");
    return (rule.weight * (-c * (s * rule.node).exp()).exp()).sum();
}

double survival_under_effect(double c, double s) {
    require_between(s, 0, 10, "s");
    // The error is about exp(-pi^2/(s step)): a step of 0.3/s leaves exp(-33).
    const double half_width = 8.5, step = std::min(0.125, 0.3 / std::max(s, 1e-3));
    const int half = static_cast<int>(std::ceil(half_width / step));
    return survival_under_effect(c, s, normal_trapezoid(2 * half + 1, half_width));
}

double frailty_survival(const Weibull& life, double sd, double t) {
    require_between(sd, 0, 10, "sd");
    require_finite(t, "t");
    if (t <= 0) return 1;
    return survival_under_effect(std::pow(t / life.scale(), life.shape()) * std::exp(-0.5 * sd * sd), sd);
}

}  // namespace libseal
