#include "tuning/baseline.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "libseal/life/quadrature.hpp"

namespace libseal::detail {
namespace {

constexpr double belief_sd_scale = 0.7, belief_sd_early = 1.5;  // of ln scale and of the log odds of early defects: weak beliefs, judgement
constexpr double usual_length = 1.0;                            // of a joint, for the early share believed before [m], judgement
constexpr double most_hazard = 600;                             // -ln of the least share that a double still tells from none

double odds_share(double log_odds) { return 1 / (1 + std::exp(-log_odds)); }

/// ln(e^-a - e^-b) for a < b.
double log_difference(double a, double b) { return -a + std::log(std::max(-std::expm1(a - b), 1e-300)); }

double log_chance(const BaselineLife& life, const Watched& w) {
    const double entry = life.hazard_until(w.entry), low = std::max(entry, life.hazard_until(w.lower));
    if (!w.due()) return entry - low;
    return entry + log_difference(low, std::max(low, life.hazard_until(w.upper)));
}

/// The fit's two unknowns: ln(scale) and the log odds of an early defect.
struct Fit {
    const std::vector<Watched>& layers;
    std::shared_ptr<const LifeTable> table;
    double early_time, usual_log_scale, usual_log_odds;

    BaselineLife life(const Eigen::Vector2d& x) const { return {table, std::exp(x[0]), odds_share(x[1]), early_time}; }
    double value(const Eigen::Vector2d& x) const {
        const BaselineLife at = life(x);
        double sum = 0;
        for (const Watched& w : layers) sum += log_chance(at, w);
        const double a = (x[0] - usual_log_scale) / belief_sd_scale, b = (x[1] - usual_log_odds) / belief_sd_early;
        return sum - (a * a + b * b) / 2;
    }
};

/// Newton's steps on differences; what does not rise is halved.
Eigen::Vector2d highest(const Fit& fit) {
    constexpr double h = 0.01;
    Eigen::Vector2d x(fit.usual_log_scale, fit.usual_log_odds);
    double here = fit.value(x);
    for (int pass = 0; pass < 40; ++pass) {
        const auto at = [&](double i, double j) { return fit.value(x + Eigen::Vector2d(i * h, j * h)); };
        const double right = at(1, 0), left = at(-1, 0), up = at(0, 1), down = at(0, -1);
        const Eigen::Vector2d slope((right - left) / (2 * h), (up - down) / (2 * h));
        Eigen::Matrix2d bend;
        bend(0, 0) = (right - 2 * here + left) / (h * h);
        bend(1, 1) = (up - 2 * here + down) / (h * h);
        bend(0, 1) = bend(1, 0) = (at(1, 1) - at(1, -1) - at(-1, 1) + at(-1, -1)) / (4 * h * h);
        // Where it does not bend downwards, along the slope.
        const bool bowl = bend(0, 0) < 0 && bend.determinant() > 0;
        Eigen::Vector2d step = bowl ? Eigen::Vector2d(-bend.ldlt().solve(slope)) : Eigen::Vector2d(slope / (1 + slope.norm()));
        step = step.cwiseMax(-1.0).cwiseMin(1.0);
        double next = fit.value(x + step);
        for (int halving = 0; !(next > here) && halving < 30; ++halving) next = fit.value(x + (step /= 2));
        if (!(next > here)) break;
        x += step;
        const double gain = next - here;
        here = next;
        if (gain < 1e-9) break;
    }
    return x;
}

}  // namespace

double BaselineLife::hazard_until(double t) const {
    if (!(t > 0)) return 0;
    if (std::isinf(t)) return most_hazard;
    const double sound = 1 - table_->below(std::log(t / scale_));
    const double no_defect = 1 + early_share_ * std::expm1(-t / early_time_);
    return std::min(most_hazard, -std::log(std::max(sound, 1e-260)) - std::log(no_defect));
}

double exposure_of(const BaselineLife& life, const Watched& w) {
    const double entry = life.hazard_until(w.entry), a = std::max(0.0, life.hazard_until(w.lower) - entry);
    if (!w.due()) return a;
    const double b = std::max(a, life.hazard_until(w.upper) - entry), width = b - a;
    // Mean of an exponential between a and b; straight where they are near.
    return width < 1e-5 ? a + width / 2 : a + 1 - width / std::expm1(width);
}

BaselineLife fitted_baseline(const std::vector<Watched>& layers, const LifePrior& prior, const LifeSpread& spread, double median_life) {
    const double early = -std::expm1(-spread.early_defects_per_m * usual_length);
    const Fit fit{layers, prior.life, spread.early_time, std::log(median_life) - prior.median_log, std::log(early / (1 - early))};
    return fit.life(highest(fit));
}

double clustered_upper_tail(int events, const std::vector<double>& expected, double log_sd) {
    if (events <= 0) return 1;
    double mean = 0, extra = 0;
    for (const double e : expected) mean += e, extra += e * e;
    extra *= std::expm1(log_sd * log_sd);
    constexpr double most_work = 2e7;
    const auto count = static_cast<std::size_t>(events);
    if (static_cast<double>(expected.size()) * events * events > most_work) {
        // Many: gamma-Poisson with the same mean and variance, summed from its head.
        const double size = extra > 0 ? mean * mean / extra : 1e12, share = mean / (size + mean);
        double term = -size * std::log1p(mean / size), head = 0;
        for (std::size_t k = 0; k < count; ++k) {
            head += std::exp(term);
            term += std::log((size + static_cast<double>(k)) / (static_cast<double>(k) + 1) * share);
        }
        return std::clamp(1 - head, 0.0, 1.0);
    }
    const Quadrature rule = normal_gauss(24);
    Column sum = Column::Zero(events);
    sum[0] = 1;
    for (const double e : expected) {
        Column own = Column::Zero(events);
        for (Eigen::Index q = 0; q < rule.node.size(); ++q) {
            const double here = e * std::exp(log_sd * rule.node[q] - log_sd * log_sd / 2);
            double log_term = std::log(rule.weight[q]) - here;
            for (Eigen::Index k = 0; k < events && (log_term > -45 || static_cast<double>(k) < here); ++k) {
                own[k] += std::exp(log_term);
                log_term += std::log(here / static_cast<double>(k + 1));
            }
        }
        Eigen::Index last = events;  // of what is worth convolving
        while (last > 1 && own[last - 1] == 0) --last;
        Column next = Column::Zero(events);
        for (Eigen::Index k = 0; k < last; ++k) next.tail(events - k) += own[k] * sum.head(events - k);
        sum = next;
    }
    return std::clamp(1 - sum.sum(), 0.0, 1.0);
}

}  // namespace libseal::detail
