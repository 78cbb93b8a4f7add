// Beam and diffuse of one month, so that both sums are the station's and every hour closes.

#include <algorithm>
#include <cmath>

#include "kernel/column_functions.hpp"
#include "typical_year_parts.hpp"

namespace libseal::detail {
namespace {

constexpr double kLeastCosine = 0.03;   // beam of lower suns is counted at this height
constexpr double kMostBeam = 0.80;      // of the extraterrestrial: no hour of the eight files is above it

/// Diffuse share of global by clearness. @source Erbs, Klein & Duffie 1982.
double erbs_share(double kt) {
    if (kt <= 0.22) return 1 - 0.09 * kt;
    if (kt > 0.80) return 0.165;
    return 0.9511 + kt * (-0.1604 + kt * (4.388 + kt * (-16.638 + kt * 12.336)));
}

/// Beam share exp(p L m^q): L log of the Erbs beam share, m = 1/cos z. p sets the amount, q how it falls with low sun.
struct Split {
    Column global, height, log_share, log_mass;
    double p = 1, q = 0;

    Column mass() const { return exponential(q * log_mass); }
    Column beam(const Column& mass_now) const { return exponential(p * log_share * mass_now) * global; }
    Column beam() const { return beam(mass()); }
};

/// Newton on (p, q) in logs of p; false if the two sums cannot both be met by sensible numbers.
bool meet_both(Split& split, double horizontal_sum, double normal_sum) {
    for (int pass = 0; pass < 30; ++pass) {
        const Column mass = split.mass(), beam = split.beam(mass);
        const double miss_h = beam.sum() - horizontal_sum, miss_n = (beam / split.height).sum() - normal_sum;
        if (std::abs(miss_h) < 1e-8 * horizontal_sum && std::abs(miss_n) < 1e-8 * normal_sum) return true;
        const Column by_p = beam * split.log_share * mass * split.p, by_q = by_p * split.log_mass;
        const double a = by_p.sum(), b = by_q.sum(), c = (by_p / split.height).sum(), d = (by_q / split.height).sum();
        const double determinant = a * d - b * c;
        if (std::abs(determinant) < 1e-12 * (std::abs(a * d) + std::abs(b * c)) + 1e-300) return false;
        const double step_p = (miss_h * d - miss_n * b) / determinant, step_q = (a * miss_n - c * miss_h) / determinant;
        const double calm = std::min(1.0, 0.7 / std::max({std::abs(step_p), std::abs(step_q), 1e-12}));
        split.p *= std::exp(-calm * step_p);
        split.q -= calm * step_q;
        if (split.p < 0.02 || split.p > 20 || std::abs(split.q) > 3) return false;
    }
    return false;
}

/// p alone, by bisection: the diffuse sum is met, the beam normal is not.
void meet_diffuse(Split& split, double horizontal_sum) {
    split.q = 0;
    double low = std::log(1e-3), high = std::log(1e3);
    for (int pass = 0; pass < 50; ++pass) {
        const double middle = 0.5 * (low + high);
        split.p = std::exp(middle);
        (split.beam().sum() > horizontal_sum ? low : high) = middle;
    }
}

/// Scales to the sum; what is above the cap goes to the other hours. A sum that no sun can give is cut.
void scale_capped(Column& values, const Column& cap, double wanted) {
    if (wanted >= cap.sum()) {
        values = cap;
        return;
    }
    for (int pass = 0; pass < 50; ++pass) {
        const double sum = values.sum();
        if (!(sum > 0)) return;
        values *= wanted / sum;
        if ((values <= cap * (1 + 1e-12)).all()) return;
        values = values.min(cap);
    }
    values = values.min(cap);
}

}  // namespace

void split_month(const Geometry& geometry, const std::vector<int>& hours, double diffuse_sum, double beam_sum, SunYear& sun) {
    const Eigen::Index n = static_cast<Eigen::Index>(hours.size());
    Split split{Column(n), Column(n), Column(n), Column(n)};
    Column cap(n);
    for (Eigen::Index k = 0; k < n; ++k) {
        const int i = hours[k];
        split.global[k] = sun.ghi[i];
        split.height[k] = std::max(geometry.cos_zenith[i], kLeastCosine);
        const double top = geometry.extraterrestrial[i] * std::max(geometry.cos_zenith[i], 0.065);
        split.log_share[k] = std::log(std::max(1e-9, 1 - erbs_share(sun.ghi[i] / top)));
        split.log_mass[k] = -std::log(split.height[k]);
        cap[k] = kMostBeam * geometry.extraterrestrial[i];
    }
    const double global_sum = split.global.sum();
    const double horizontal_sum = std::clamp(global_sum - diffuse_sum, 0.0, global_sum);
    Column diffuse = split.global, beam = Column::Zero(n);
    if (horizontal_sum > 1e-6 * global_sum) {
        const bool both = meet_both(split, horizontal_sum, beam_sum);
        if (!both) meet_diffuse(split, horizontal_sum);
        const Column horizontal = split.beam();
        diffuse = split.global - horizontal;
        beam = horizontal / split.height;
        if (!both || (beam > cap).any()) scale_capped(beam, cap, beam_sum);
    }
    if (diffuse.sum() > 0) diffuse *= diffuse_sum / diffuse.sum();
    for (Eigen::Index k = 0; k < n; ++k) {
        sun.dni[hours[k]] = beam[k];
        sun.dhi[hours[k]] = diffuse[k];
    }
}

}  // namespace libseal::detail
