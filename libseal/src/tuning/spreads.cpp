#include "tuning/spreads.hpp"

#include <algorithm>
#include <cmath>

namespace libseal::detail {
namespace {

constexpr double largest = 0.5, least_of_joint = 0.01;  // [-]
constexpr int rounds = 12;

double evidence_of(const std::vector<FamilyMessages>& families, EffectSpread spread) {
    double sum = 0;
    for (const auto& family : families) {
        spread.family = family.prior_sd;
        sum += family.tree.log_evidence(spread);
    }
    return sum;
}

/// Highest point of a function with one hill, by golden section.
template <class Function>
double highest(double low, double high, const Function& f) {
    const double golden = (std::sqrt(5.0) - 1) / 2;
    double a = high - golden * (high - low), b = low + golden * (high - low);
    double at_a = f(a), at_b = f(b);
    while (high - low > 1e-4) {
        if (at_a >= at_b) {
            high = b;
            b = a;
            at_b = at_a;
            a = high - golden * (high - low);
            at_a = f(a);
        } else {
            low = a;
            a = b;
            at_a = at_b;
            b = low + golden * (high - low);
            at_b = f(b);
        }
    }
    return (low + high) / 2;
}

}  // namespace

EffectSpreads likely_spreads(const std::vector<FamilyMessages>& families, const EffectSpread& old, const Watch& watch) {
    ProgressReporter reporter(watch, "spreads");
    EffectSpread best = old;
    const double before = families.empty() ? 0 : evidence_of(families, old);
    double reached = before;
    for (int round = 0; round < rounds && !families.empty(); ++round) {
        const double start = reached;
        for (double EffectSpread::*part : {&EffectSpread::model_line, &EffectSpread::coach, &EffectSpread::joint}) {
            EffectSpread tried = best;
            tried.*part = highest(part == &EffectSpread::joint ? least_of_joint : 0.0, largest, [&](double sd) {
                EffectSpread one = best;
                one.*part = sd;
                reporter.tick(static_cast<double>(round) / rounds);
                return evidence_of(families, one);
            });
            const double value = evidence_of(families, tried);
            if (value > reached) {
                reached = value;
                best = tried;
            }
        }
        if (reached - start < 1e-6) break;
    }
    return {old.model_line, old.coach, old.joint, best.model_line, best.coach, best.joint, reached - before};
}

}  // namespace libseal::detail
