#include "libseal/tuning/weak_spots.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>
#include <set>
#include <tuple>

#include "libseal/ageing/evaluate.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"
#include "libseal/forecast/shared_effects.hpp"
#include "libseal/life/shared_rates.hpp"
#include "tuning/baseline.hpp"

namespace libseal {
namespace {

using detail::BaselineLife;
using detail::Watched;

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();
constexpr double too_near = 0.1;  // |ratio - 1| that no sensible number of looks tells from 1

void check(const LifeRecords& history, const WeakSpotOptions& options) {
    require_inside(options.alpha, 0, 1, "alpha");
    require_inside(options.confidence, 0, 1, "confidence");
    require_inside(options.power, 0, 1, "power");
    require_between(options.largest_workmanship, 0, 1, "largest_workmanship");
    const auto n = static_cast<std::size_t>(history.size());
    if (n == 0) throw_value_error("history", "lives of layers that were looked at", "none", "life_records makes them of findings");
    for (const auto* column : {&history.coach, &history.joint, &history.layer, &history.family, &history.joint_type, &history.model_line})
        if (column->size() != n) throw_value_error("history", "columns of " + std::to_string(n) + " values", std::to_string(column->size()));
    if (history.model_year.size() != n || history.upper.size() != history.size() || history.entry.size() != history.size())
        throw_value_error("history", "columns of " + std::to_string(n) + " values", "columns of different lengths");
    if (options.largest_workmanship < 1 && history.workmanship.size() != history.size())
        throw_value_error("history.workmanship", std::to_string(n) + " values", std::to_string(history.workmanship.size()),
                          "life_records fills it; without it leave largest_workmanship at 1");
    for (Eigen::Index i = 0; i < history.size(); ++i) {
        const double lower = history.lower[i], upper = history.upper[i], entry = history.entry[i];
        if (!(lower >= 0 && std::isfinite(lower) && upper >= lower && upper > 0 && entry >= 0 && entry <= upper))
            throw_value_error("history[" + std::to_string(i) + "]", "0 <= lower <= upper and 0 <= entry <= upper",
                              number_text(lower) + ", " + number_text(upper) + ", " + number_text(entry));
    }
}

/// Found due, and more surely by workmanship than the options let pass; a chance that is not known is none.
bool is_workmanship(const LifeRecords& history, Eigen::Index i, double largest) {
    return largest < 1 && std::isfinite(history.upper[i]) && history.workmanship[i] > largest;
}

Watched watched_at(const LifeRecords& history, Eigen::Index i, double largest) {
    const bool other_end = is_workmanship(history, i, largest);
    return {history.lower[i], other_end ? std::numeric_limits<double>::infinity() : history.upper[i], history.entry[i]};
}

bool any_due(const LifeRecords& history, double largest) {
    for (Eigen::Index i = 0; i < history.size(); ++i)
        if (watched_at(history, i, largest).due()) return true;
    return false;
}

/// Exposure of each life, by the baseline of its family and layer.
Column exposures(const LifeRecords& history, const WeakSpotOptions& options, LifeBaselines& table) {
    const Catalogue& catalogue = options.catalogue;
    const LifeSpread spread = life_spread(catalogue);
    const LifePrior prior = life_prior(spread);
    std::map<std::pair<std::string, std::string>, std::vector<Eigen::Index>> families;
    for (Eigen::Index i = 0; i < history.size(); ++i) families[{history.family[static_cast<std::size_t>(i)], history.layer[static_cast<std::size_t>(i)]}].push_back(i);
    Column exposure(history.size());
    const auto rows = static_cast<Eigen::Index>(families.size());
    table.median_life = table.catalogue_life = table.early_share = Column(rows);
    Eigen::Index row = 0;
    for (const auto& [name, members] : families) {
        std::vector<Watched> layers;
        for (const Eigen::Index i : members) layers.push_back(watched_at(history, i, options.largest_workmanship));
        const double median = family_under_law(catalogue, name.first, law_of_layer(name.second)).median_life;
        const BaselineLife life = fitted_baseline(layers, prior, spread, median);
        for (std::size_t k = 0; k < members.size(); ++k) exposure[members[k]] = exposure_of(life, layers[k]);
        table.family.push_back(name.first);
        table.layer.push_back(name.second);
        table.layers.push_back(static_cast<int>(layers.size()));
        table.due.push_back(static_cast<int>(std::count_if(layers.begin(), layers.end(), [](const Watched& w) { return w.due(); })));
        table.median_life[row] = life.scale() * std::exp(prior.median_log);
        table.catalogue_life[row] = median;
        table.early_share[row] = life.early_share();
        ++row;
    }
    return exposure;
}

/// How much faster events come per unit of ln(phi), about the median of the model's life. [-]
double events_per_effect(const Catalogue& catalogue) {
    const LifePrior prior = life_prior(life_spread(catalogue));
    const BaselineLife life(prior.life, 1, 0, 1);
    const double median = std::exp(prior.median_log);
    return std::log(life.hazard_until(1.05 * median) / life.hazard_until(0.95 * median)) / std::log(1.05 / 0.95);
}

struct Design {
    std::string line;
    int year = 0;
    std::string type;
    int layers = 0, due = 0, workmanship = 0;
    double expected = 0;
    std::map<std::string, double> by_coach;
};

std::vector<Design> designs_of(const LifeRecords& history, const Column& exposure, const WeakSpotOptions& options) {
    std::map<std::tuple<std::string, int, std::string>, Design> designs;
    for (Eigen::Index i = 0; i < history.size(); ++i) {
        const auto r = static_cast<std::size_t>(i);
        const int year = options.by_year ? history.model_year[r] : 0;
        Design& design = designs[{history.model_line[r], year, history.joint_type[r]}];
        design.line = history.model_line[r];
        design.year = year;
        design.type = history.joint_type[r];
        design.layers += 1;
        const bool workmanship = is_workmanship(history, i, options.largest_workmanship);
        design.workmanship += workmanship ? 1 : 0;
        design.due += !workmanship && std::isfinite(history.upper[i]) ? 1 : 0;
        design.expected += exposure[i];
        design.by_coach[history.coach[r]] += exposure[i];
    }
    std::vector<Design> list;
    for (auto& [key, design] : designs)
        if (design.expected > 1e-9) list.push_back(std::move(design));
    return list;
}

void fill_rates(WeakSpots& result, const WeakSpotOptions& options) {
    const Eigen::Index n = result.size();
    Column due(n);
    for (Eigen::Index i = 0; i < n; ++i) due[i] = result.due[static_cast<std::size_t>(i)];
    result.ratio = due / result.expected;
    const FunnelLimits funnel = funnel_limits(result.expected, options.confidence);
    result.funnel_low = funnel.lower;
    result.funnel_high = funnel.upper;
    result.ratio_low = result.ratio_high = result.shrunk = result.shrunk_low = result.shrunk_high = result.above = result.more_layers = Column(n);
    for (Eigen::Index i = 0; i < n; ++i) {
        const RateRatio exact = rate_ratio(due[i], result.expected[i], options.confidence);
        result.ratio_low[i] = exact.lower;
        result.ratio_high[i] = exact.upper;
    }
    if (n < 2) {
        result.shrunk = result.ratio, result.shrunk_low = result.ratio_low, result.shrunk_high = result.ratio_high, result.above = 0.5, result.alike = true;
        return;
    }
    const SharedRates shared = shared_rates(due, result.expected, options.confidence);
    result.shrunk = shared.mean;
    result.shrunk_low = shared.lower;
    result.shrunk_high = shared.upper;
    result.above = shared.above;
    result.alike = shared.alike;
}

/// Looks at layers of the same ages that are still missing until a ratio like the shrunk one is told from 1.
double more_layers(const WeakSpots& result, Eigen::Index i, const WeakSpotOptions& options) {
    const double ratio = result.shrunk[i];
    if (!(std::abs(ratio - 1) > too_near) || !(options.power > options.alpha)) return nothing;
    const double needed = exposure_to_settle(1, ratio, options.alpha, options.power).expected;
    const double each = result.expected[i] / result.layers[static_cast<std::size_t>(i)];
    return std::max(0.0, std::ceil((needed - result.expected[i]) / each - 1e-9));
}

std::string verdict_of(const WeakSpots& result, Eigen::Index i) {
    if (result.weak[static_cast<std::size_t>(i)]) return "stands out: " + number_text(result.ratio[i], 1) + " times as often as its ages explain";
    const double more = result.more_layers[i];
    if (!(result.shrunk[i] > 1 + too_near)) return result.shrunk[i] < 1 - too_near ? "seldom due for its ages" : "as its ages explain";
    return more > 0 ? "not settled: looks at " + number_text(more, 0) + " more layers would tell" : "not settled: coaches differ too much";
}

void list_sisters(const LifeRecords& history, const WeakSpotOptions& options, WeakSpots& result) {
    if (!options.fleet) return;
    std::set<std::pair<std::string, std::string>> seen, due;
    for (Eigen::Index i = 0; i < history.size(); ++i) {
        const std::pair key(history.coach[static_cast<std::size_t>(i)], history.joint[static_cast<std::size_t>(i)]);
        seen.insert(key);
        if (std::isfinite(history.upper[i])) due.insert(key);
    }
    for (std::size_t d = 0; d < result.weak.size(); ++d) {
        // Nobody knows that coaches without a line, or of unknown years, are built alike.
        if (!result.weak[d] || result.model_line[d].empty() || (options.by_year && result.model_year[d] == 0)) continue;
        for (const Coach& coach : options.fleet->coaches) {
            if (coach.model_line != result.model_line[d] || (options.by_year && coach.model_year != result.model_year[d])) continue;
            int joints = 0, never_seen = 0;
            for (const Joint& joint : coach.joints) {
                if (joint.type != result.joint_type[d] || due.count({coach.id, joint.id})) continue;
                joints += 1;
                never_seen += seen.count({coach.id, joint.id}) ? 0 : 1;
            }
            if (joints == 0) continue;
            result.sisters.design.push_back(static_cast<int>(d));
            result.sisters.coach.push_back(coach.id);
            result.sisters.joints.push_back(joints);
            result.sisters.never_seen.push_back(never_seen);
        }
    }
}

}  // namespace

WeakSpots weak_spots(const LifeRecords& history, const WeakSpotOptions& options) {
    check(history, options);
    if (!(history.upper < std::numeric_limits<double>::infinity()).any())
        throw_value_error("history", "at least one layer that was found due", "none", "without one no design can stand out");
    WeakSpots result;
    if (!any_due(history, options.largest_workmanship))
        throw_value_error("largest_workmanship", "a share that leaves a layer found due by wear", number_text(options.largest_workmanship),
                          "without one no design can stand out");
    std::vector<Design> designs = designs_of(history, exposures(history, options, result.baselines), options);
    const double log_sd = events_per_effect(options.catalogue) * effect_spread(options.catalogue).coach;
    std::vector<std::pair<double, std::size_t>> order;
    for (std::size_t d = 0; d < designs.size(); ++d) {
        std::vector<double> clusters;
        for (const auto& [coach, expected] : designs[d].by_coach) clusters.push_back(expected);
        order.emplace_back(detail::clustered_upper_tail(designs[d].due, clusters, log_sd), d);
    }
    std::stable_sort(order.begin(), order.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    const auto n = static_cast<Eigen::Index>(order.size());
    result.expected = result.p = Column(n);
    for (Eigen::Index i = 0; i < n; ++i) {
        const auto& [p, d] = order[static_cast<std::size_t>(i)];
        const Design& design = designs[d];
        result.model_line.push_back(design.line);
        result.model_year.push_back(design.year);
        result.joint_type.push_back(design.type);
        result.layers.push_back(design.layers);
        result.coaches.push_back(static_cast<int>(design.by_coach.size()));
        result.due.push_back(design.due);
        result.workmanship.push_back(design.workmanship);
        result.expected[i] = design.expected;
        result.p[i] = p;
    }
    result.adjusted = benjamini_hochberg(result.p);
    fill_rates(result, options);
    for (Eigen::Index i = 0; i < n; ++i) {
        result.weak.push_back(result.adjusted[i] <= options.alpha ? 1 : 0);
        result.more_layers[i] = more_layers(result, i, options);
        result.verdict.push_back(verdict_of(result, i));
    }
    list_sisters(history, options, result);
    return result;
}

std::string weak_spots_text(const WeakSpots& spots) {
    std::string text = "Designs, the most certain first (due: layers found due; expected: as their ages explain)\n";
    for (Eigen::Index i = 0; i < spots.size(); ++i) {
        const auto r = static_cast<std::size_t>(i);
        const std::string year = spots.model_year[r] ? " " + std::to_string(spots.model_year[r]) : "";
        text += (spots.model_line[r].empty() ? "(no line)" : spots.model_line[r]) + year + ", " + spots.joint_type[r] + ": " + std::to_string(spots.due[r]) +
                " due of " + std::to_string(spots.layers[r]) + " layers on " + std::to_string(spots.coaches[r]) + " coaches, expected " +
                number_text(spots.expected[i], 1) + (spots.workmanship[r] ? ", " + std::to_string(spots.workmanship[r]) + " more by workmanship" : "") + "; to plan with " + number_text(spots.shrunk[i], 2) + " (" + number_text(spots.shrunk_low[i], 2) + " to " +
                number_text(spots.shrunk_high[i], 2) + ") times; adjusted p " + number_text(spots.adjusted[i], 4) + "; " + spots.verdict[r] + "\n";
        for (std::size_t s = 0; s < spots.sisters.design.size(); ++s)
            if (spots.sisters.design[s] == static_cast<int>(i))
                text += "    look at " + spots.sisters.coach[s] + ": " + std::to_string(spots.sisters.joints[s]) + " joints, " +
                        std::to_string(spots.sisters.never_seen[s]) + " never looked at\n";
    }
    return text;
}

}  // namespace libseal
