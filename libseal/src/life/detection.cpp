#include "libseal/life/detection.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"
#include "libseal/life/quadrature.hpp"
#include "life/special.hpp"

namespace libseal {
namespace {

std::string row(const char* name, Eigen::Index i) { return std::string(name) + "[" + std::to_string(i) + "]"; }

void check_cuts(ConstColumn cuts, double sd) {
    require_positive(sd, "sd");
    for (Eigen::Index i = 0; i < cuts.size(); ++i) {
        require_finite(cuts[i], row("cuts", i));
        if (i > 0 && cuts[i] <= cuts[i - 1]) throw_value_error(row("cuts", i), "a cut above the one before", number_text(cuts[i]));
    }
}

/// Probability between two standard normal values, by the tail in which it keeps its digits.
double between(double low, double high) {
    return low > 0 ? normal_probability(-low) - normal_probability(-high) : normal_probability(high) - normal_probability(low);
}

double grade_probability(double latent, ConstColumn cuts, double sd, Eigen::Index grade) {
    const double low = grade == 0 ? -INFINITY : (cuts[grade - 1] - latent) / sd;
    const double high = grade == cuts.size() ? INFINITY : (cuts[grade] - latent) / sd;
    return between(low, high);
}

/// Steepness of a detection curve in ln size. @throws as the callers.
double log_ratio(double size, double a50, double a90) {
    require_not_negative(size, "size");
    require_positive(a50, "a50");
    require_positive(a90, "a90");
    if (a90 <= a50) throw_value_error("a90", "a size above a50", number_text(a90));
    return std::log(a90 / a50);
}

void check_failed(ConstColumn failed) {
    for (Eigen::Index i = 0; i < failed.size(); ++i) {
        require_between(failed[i], 0, 1, row("failed", i));
        if (i > 0 && failed[i] < failed[i - 1])
            throw_value_error(row("failed", i), "a probability not below the one before", number_text(failed[i]));
    }
}

/// Probability that the defect begins between visit j - 1 and visit j.
double begins(ConstColumn failed, Eigen::Index j) { return failed[j] - (j > 0 ? failed[j - 1] : 0); }

}  // namespace

Column grade_probabilities(double latent, ConstColumn cuts, double sd) {
    require_finite(latent, "latent");
    check_cuts(cuts, sd);
    Column result(cuts.size() + 1);
    for (Eigen::Index grade = 0; grade <= cuts.size(); ++grade) result[grade] = grade_probability(latent, cuts, sd, grade);
    return result;
}

LatentBelief latent_after_grades(const std::vector<int>& grades, ConstColumn cuts, double sd, double low, double high) {
    check_cuts(cuts, sd);
    require_finite(low, "low");
    require_finite(high, "high");
    if (high <= low) throw_value_error("high", "a state above low", number_text(high));
    for (std::size_t i = 0; i < grades.size(); ++i)
        require_between(grades[i], 0, static_cast<double>(cuts.size()), "grades[" + std::to_string(i) + "]");
    std::vector<int> counts(static_cast<std::size_t>(cuts.size()) + 1, 0);
    for (const int grade : grades) ++counts[static_cast<std::size_t>(grade)];
    // Panels no wider than half the noise of a look, or of the mean of many, so that each is smooth.
    const Quadrature rule = gauss_legendre(10);
    const double wanted = std::ceil((high - low) / (0.5 * sd) * std::sqrt(std::max(1.0, static_cast<double>(grades.size()))));
    const int panels = static_cast<int>(std::clamp(wanted, 32.0, 20000.0));
    const double half = 0.5 * (high - low) / panels;
    const Eigen::Index nodes = rule.node.size();
    Column from_low(panels * nodes), log_mass(panels * nodes);  // logarithms: the product of many looks has no number
    for (Eigen::Index i = 0; i < from_low.size(); ++i) {
        const double x = low + half * (static_cast<double>(2 * (i / nodes) + 1) + rule.node[i % nodes]);
        from_low[i] = x - low;
        log_mass[i] = std::log(rule.weight[i % nodes]);
        for (Eigen::Index grade = 0; grade <= cuts.size(); ++grade)
            if (const int count = counts[static_cast<std::size_t>(grade)]; count > 0)
                log_mass[i] += count * std::log(grade_probability(x, cuts, sd, grade));
    }
    const double top = log_mass.maxCoeff();
    if (!std::isfinite(top)) throw_value_error("grades", "grades that the range allows", "grades of probability 0");
    const Column mass = (log_mass - top).exp();
    const double mean = (mass * from_low).sum() / mass.sum();
    return {low + mean, std::sqrt((mass * (from_low - mean).square()).sum() / mass.sum())};
}

double detection_log_odds(double size, double a50, double a90) {
    const double k = std::log(9.0) / log_ratio(size, a50, a90);
    return size == 0 ? 0 : 1 / (1 + std::pow(size / a50, -k));
}

double detection_lognormal(double size, double a50, double a90) {
    const double s = log_ratio(size, a50, a90) / normal_quantile(0.9);
    return size == 0 ? 0 : normal_probability(std::log(size / a50) / s);
}

Column first_found(ConstColumn failed, double detection) {
    check_failed(failed);
    require_between(detection, 0, 1, "detection");
    Column result(failed.size() + 1);
    double hidden = 0;  // begun and not found so far
    for (Eigen::Index k = 0; k < failed.size(); ++k) {
        hidden += begins(failed, k);
        result[k] = hidden * detection;
        hidden *= 1 - detection;
    }
    result[failed.size()] = hidden + (failed.size() > 0 ? 1 - failed[failed.size() - 1] : 1);
    return result;
}

LookHistory look_history(ConstColumn failed, const std::vector<bool>& alarms, double detection, double false_alarm) {
    check_failed(failed);
    require_between(detection, 0, 1, "detection");
    require_between(false_alarm, 0, 1, "false_alarm");
    if (static_cast<Eigen::Index>(alarms.size()) != failed.size())
        throw_value_error("alarms", std::to_string(failed.size()) + " visits, as many as failed", std::to_string(alarms.size()));
    constexpr double small = 1e-200;
    double there = 0, sound = 1;  // joint with the history so far; `sound` without the chance of having no defect yet
    double log_likelihood = 0;    // what was taken out of both so that a long history keeps its digits
    for (Eigen::Index k = 0; k < failed.size(); ++k) {
        const bool alarm = alarms[static_cast<std::size_t>(k)];
        there = (there + sound * begins(failed, k)) * (alarm ? detection : 1 - detection);
        sound *= alarm ? false_alarm : 1 - false_alarm;
        if (const double larger = std::max(there, sound); larger > 0 && larger < small) {
            log_likelihood += std::log(larger);
            there /= larger;
            sound /= larger;
        }
    }
    sound *= failed.size() > 0 ? 1 - failed[failed.size() - 1] : 1;
    if (!(there + sound > 0)) throw_value_error("alarms", "a history that can happen", "one of probability 0");
    return {(there + sound) * std::exp(log_likelihood), there / (there + sound)};
}

double defect_after_clean(double prior, double detection, int visits) {
    require_between(prior, 0, 1, "prior");
    require_between(detection, 0, 1, "detection");
    require_between(visits, 0, 1e6, "visits");
    if (prior == 1) {  // certainty stays, even where the chance to have missed it so often has no digits left
        if (detection == 1 && visits > 0) throw_value_error("prior", "a belief that clean visits leave possible", number_text(prior));
        return 1;
    }
    const double missed = prior * std::pow(1 - detection, visits);
    return missed / (missed + 1 - prior);
}

double defect_after_alarm(double prior, double detection, double false_alarm) {
    require_between(prior, 0, 1, "prior");
    require_between(detection, 0, 1, "detection");
    require_between(false_alarm, 0, 1, "false_alarm");
    const double right = prior * detection, wrong = (1 - prior) * false_alarm;
    if (!(right + wrong > 0)) throw_value_error("prior", "a belief in which an alarm can happen", number_text(prior));
    return right / (right + wrong);
}

double demonstrated_detection(int found, int tried, double confidence) {
    require_between(tried, 1, 1e9, "tried");
    require_between(found, 0, tried, "found");
    require_inside(confidence, 0, 1, "confidence");
    return found == 0 ? 0 : detail::beta_quantile(found, tried - found + 1, 1 - confidence);
}

}  // namespace libseal
