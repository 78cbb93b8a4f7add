#include "life/renewals.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <string>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "libseal/life/quadrature.hpp"

namespace libseal::detail {
namespace {

constexpr int order = 10, most_steps = 20000;
using Nodes = Eigen::Matrix<double, order, 1>;

/// Gauss points of -1 to 1 with their weights, and the weights of interpolation through them.
struct Points {
    Points() {
        const Quadrature rule = gauss_legendre(order);
        node = rule.node;
        weight = rule.weight;
        for (int i = 0; i < order; ++i) {
            pull[i] = 1;
            for (int j = 0; j < order; ++j)
                if (j != i) pull[i] /= node[i] - node[j];
        }
    }
    /// Shares of the nodes in the value of their polynomial at x. [-], x from -1 to 1
    Nodes shares(double x) const {
        Nodes result = Nodes::Zero();
        for (int i = 0; i < order; ++i) {
            if (x == node[i]) return Nodes::Unit(i);
            result[i] = pull[i] / (x - node[i]);
        }
        return result / result.sum();
    }
    Nodes node, weight, pull;
};

/// Sums of f(x) against the polynomial of a panel, over x from low to high; t - x lies in the panel.
Nodes against_density(const LifeLaw& life, const Points& points, double t, double low, double high, double panel_low, double panel_high) {
    const double half = 0.5 * (high - low), middle = 0.5 * (high + low);
    Nodes result = Nodes::Zero();
    for (int k = 0; k < order; ++k) {
        const double x = middle + half * points.node[k];
        const double place = (2 * (t - x) - panel_low - panel_high) / (panel_high - panel_low);
        result += half * points.weight[k] * life.density(x) * points.shares(std::clamp(place, -1.0, 1.0));
    }
    return result;
}

/// The same over x from low to high in pieces that halve towards low: densities may be steep at 0.
Nodes graded(const LifeLaw& life, const Points& points, double t, double low, double high, double panel_low, double panel_high) {
    Nodes result = Nodes::Zero();
    double end = high;
    for (int k = 0; k < 44 && end > low; ++k) {
        const double start = low > 0 && end < 2 * low ? low : std::max(0.5 * end, low);
        result += against_density(life, points, t, start, end, panel_low, panel_high);
        end = start;
    }
    if (end > low) {
        const double place = (2 * (t - low) - panel_low - panel_high) / (panel_high - panel_low);
        result += (life.survival(low) - life.survival(end)) * points.shares(std::clamp(place, -1.0, 1.0));
    }
    return result;
}

}  // namespace

namespace {
/// Width of a panel that holds the bends of a density.
double panel_width(const LifeLaw& life) {
    const double spread = 0.5 * (life.quantile(0.84) - life.quantile(0.16));
    return std::min(0.25 * life.quantile(0.5), 0.5 * spread);
}
}  // namespace

double Renewals::longest(const LifeLaw& life) { return panel_width(life) * (most_steps / order - 1); }

Renewals::Renewals(const LifeLaw& life, double until) {
    panels_ = life.smooth();
    if (!(until <= longest(life)))
        throw_value_error("times", "at most " + number_text(longest(life)) + " for so narrow a life", number_text(until),
                          "for later times use t/mean + (variance/mean^2 - 1)/2");
    const double width = panel_width(life);
    panels_ ? by_panels(life, until, width) : by_steps(life, until, std::min(width, until) / 40);
}

void Renewals::by_panels(const LifeLaw& life, double until, double width) {
    const Points points;
    edge_ = {0};
    for (double t = std::min(width, until) * std::exp2(-26); t < until; t = t < width ? std::min(2 * t, t + width) : t + width)
        edge_.push_back(t);
    edge_.push_back(until);
    const std::size_t panels = edge_.size() - 1;
    count_.assign(panels * order, 0);
    rate_.assign(panels * order, 0);
    for (std::size_t p = 0; p < panels; ++p) {
        const double low = edge_[p], high = edge_[p + 1], half = 0.5 * (high - low);
        Eigen::Matrix<double, order, order> own = Eigen::Matrix<double, order, order>::Identity();
        Eigen::Matrix<double, order, 2> known;
        for (int i = 0; i < order; ++i) {
            const double t = low + half * (1 + points.node[i]);
            own.row(i) -= graded(life, points, t, 0, t - low, low, high).transpose();
            known(i, 0) = 1 - life.survival(t);
            known(i, 1) = life.density(t);
            if (p == 0) continue;
            const Nodes near = graded(life, points, t, t - low, t - edge_[p - 1], edge_[p - 1], low);
            for (int k = 0; k < order; ++k) {
                known(i, 0) += near[k] * count_[(p - 1) * order + static_cast<std::size_t>(k)];
                known(i, 1) += near[k] * rate_[(p - 1) * order + static_cast<std::size_t>(k)];
            }
            for (std::size_t q = 0; q + 1 < p; ++q) {
                const double part = 0.5 * (edge_[q + 1] - edge_[q]);
                for (int k = 0; k < order; ++k) {
                    const double pull = part * points.weight[k] * life.density(t - edge_[q] - part * (1 + points.node[k]));
                    known(i, 0) += pull * count_[q * order + static_cast<std::size_t>(k)];
                    known(i, 1) += pull * rate_[q * order + static_cast<std::size_t>(k)];
                }
            }
        }
        const Eigen::Matrix<double, order, 2> solved = own.partialPivLu().solve(known);
        for (int k = 0; k < order; ++k) {
            count_[p * order + static_cast<std::size_t>(k)] = solved(k, 0);
            rate_[p * order + static_cast<std::size_t>(k)] = solved(k, 1);
        }
    }
}

void Renewals::by_steps(const LifeLaw& life, double until, double width) {
    const auto steps = static_cast<std::size_t>(std::clamp(std::ceil(until / width), 200.0, 1.0 * most_steps));
    // Xie 1989: the middle of each step stands for it.
    const auto solve = [&](std::size_t count) {
        const double h = until / static_cast<double>(count);
        std::vector<double> at_half(count), result(count + 1, 0);
        for (std::size_t i = 0; i < count; ++i) at_half[i] = 1 - life.survival((static_cast<double>(i) + 0.5) * h);
        for (std::size_t i = 1; i <= count; ++i) {
            double sum = 1 - life.survival(static_cast<double>(i) * h) - at_half[0] * result[i - 1];
            for (std::size_t j = 1; j < i; ++j) sum += at_half[i - j] * (result[j] - result[j - 1]);
            result[i] = sum / (1 - at_half[0]);
        }
        return result;
    };
    const auto coarse = solve(steps);
    const auto fine = solve(2 * steps);
    const double h = until / static_cast<double>(steps);
    for (std::size_t i = 0; i <= steps; ++i) {
        edge_.push_back(static_cast<double>(i) * h);
        count_.push_back((4 * fine[2 * i] - coarse[i]) / 3);
    }
    for (std::size_t i = 0; i <= steps; ++i) {
        const std::size_t a = i > 0 ? i - 1 : 0, b = std::min(i + 1, steps);
        rate_.push_back((count_[b] - count_[a]) / (edge_[b] - edge_[a]));
    }
}

double Renewals::value(double t, const std::vector<double>& nodes) const {
    if (t <= 0) return 0;
    const auto above = static_cast<std::size_t>(std::upper_bound(edge_.begin(), edge_.end(), t) - edge_.begin());
    const std::size_t i = std::clamp<std::size_t>(above, 1, edge_.size() - 1);
    const double place = (2 * t - edge_[i - 1] - edge_[i]) / (edge_[i] - edge_[i - 1]);
    if (!panels_) return nodes[i - 1] + (nodes[i] - nodes[i - 1]) * 0.5 * (place + 1);
    static const Points points;
    const Nodes shares = points.shares(std::clamp(place, -1.0, 1.0));
    double sum = 0;
    for (int k = 0; k < order; ++k) sum += shares[k] * nodes[(i - 1) * order + static_cast<std::size_t>(k)];
    return sum;
}

}  // namespace libseal::detail
