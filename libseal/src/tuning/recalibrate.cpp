#include "libseal/tuning/recalibrate.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"
#include "tuning/spreads.hpp"

namespace libseal {
namespace {

using namespace detail;

const double z_of_interval = normal_quantile(0.975);

struct LifeRange {
    double life, low, high;
};

/// s above 0 ages faster: lives go as exp(-s).
LifeRange range_of(double old_life, EffectMoments s) {
    const double half = z_of_interval * std::sqrt(std::max(0.0, s.variance));
    return {old_life * std::exp(-s.mean), old_life * std::exp(-s.mean - half), old_life * std::exp(-s.mean + half)};
}

/// Belief of the sum of effects down to a coach.
EffectMoments coach_moments(const SharedEffects& effects, const EffectKey& on_coach) {
    EffectMoments s = effects.without_own({on_coach.family, on_coach.model_line, on_coach.coach, ""});
    s.variance -= effects.spread().joint * effects.spread().joint;
    return s;
}

std::string verdict_of(const RecalibrationOptions& options, int layers, std::size_t coaches, int due, double log_sd) {
    std::string missing;
    const auto say = [&](const std::string& text) { missing += (missing.empty() ? "" : ", ") + text; };
    if (layers < options.least_layers) say(std::to_string(layers) + " of " + std::to_string(options.least_layers) + " layers");
    if (coaches < static_cast<std::size_t>(options.least_coaches))
        say("on " + std::to_string(coaches) + " of " + std::to_string(options.least_coaches) + " coaches");
    if (due < options.least_due) say(std::to_string(due) + " of " + std::to_string(options.least_due) + " found due");
    if (log_sd > options.largest_sd) say("sd " + number_text(log_sd, 2) + " above " + number_text(options.largest_sd, 2));
    return missing.empty() ? "enough" : missing;
}

void push(Column& column, double value) {
    column.conservativeResize(column.size() + 1);
    column[column.size() - 1] = value;
}

/// Counts of one family.
struct Seen {
    std::set<std::string> coaches;
    std::map<std::string, int> by_line;
    std::map<std::tuple<std::string, std::string>, int> by_coach;  ///< by line and coach
    int due = 0;
    Date first{}, last{};
    double effective = 0, calendar = 0;  ///< ages at the last looks, summed [yr]
};

Seen count(const ForecastBasis& basis, const FamilyEvidence& evidence) {
    Seen seen;
    seen.first = seen.last = evidence.generations.front()->looks.front().look.date;
    for (const SeenGeneration* one : evidence.generations) {
        const Coach& coach = basis.standing.coaches[one->coach];
        seen.coaches.insert(coach.id);
        if (!coach.model_line.empty()) ++seen.by_line[coach.model_line];
        ++seen.by_coach[{coach.model_line, coach.id}];
        seen.due += std::any_of(one->looks.begin(), one->looks.end(), [](const SeenLook& look) { return look.due(); });
        seen.first = std::min(seen.first, one->looks.front().look.date);
        seen.last = std::max(seen.last, one->looks.back().look.date);
        for (std::size_t j = 0; j < one->installed.size(); ++j) {
            seen.effective += one->looks.back().ages[j] / static_cast<double>(one->installed.size());
            seen.calendar += years_between(one->installed[j], one->looks.back().look.date) / static_cast<double>(one->installed.size());
        }
    }
    return seen;
}

void add_group(GroupLives& lives, const std::string& family, const std::string& line, const std::string& coach, int layers, LifeRange range,
               double one_up) {
    lives.family.push_back(family);
    lives.model_line.push_back(line);
    lives.coach.push_back(coach);
    lives.layers.push_back(layers);
    push(lives.life, range.life);
    push(lives.life_low, range.low);
    push(lives.life_high, range.high);
    push(lives.ratio, range.life / one_up);
}

void add_family(const ForecastBasis& basis, const RecalibrationOptions& options, const std::string& name, const FamilyEvidence& evidence,
                const SharedEffects& effects, Recalibration& result) {
    const double old_life = sealant(options.catalogue, name).median_life;
    const EffectMoments belief = effects.family(name);
    const LifeRange range = range_of(old_life, belief);
    const Seen seen = count(basis, evidence);
    FamilyLives& lives = result.families;
    const int layers = static_cast<int>(evidence.generations.size());
    lives.family.push_back(name);
    push(lives.old_life, old_life);
    push(lives.life, range.life);
    push(lives.life_low, range.low);
    push(lives.life_high, range.high);
    push(lives.prior_sd, effects.spread().family);
    push(lives.log_sd, std::sqrt(belief.variance));
    lives.layers.push_back(layers);
    lives.coaches.push_back(static_cast<int>(seen.coaches.size()));
    lives.due.push_back(seen.due);
    lives.first_look.push_back(to_text(seen.first));
    lives.last_look.push_back(to_text(seen.last));
    const double rate = seen.effective / seen.calendar;
    push(lives.years_before, old_life / rate);
    push(lives.years_after, range.life / rate);
    lives.verdict.push_back(verdict_of(options, layers, seen.coaches.size(), seen.due, std::sqrt(belief.variance)));
    std::map<std::string, double> of_line;
    for (const auto& [line, number] : seen.by_line) {
        const LifeRange on_line = range_of(old_life, effects.model_line(name, line));
        of_line[line] = on_line.life;
        add_group(result.model_lines, name, line, "", number, on_line, range.life);
    }
    for (const auto& [key, number] : seen.by_coach) {
        const auto& [line, coach] = key;
        add_group(result.coaches, name, line, coach, number, range_of(old_life, coach_moments(effects, {name, line, coach, ""})),
                  line.empty() ? range.life : of_line[line]);
    }
}

void check(const RecalibrationOptions& options) {
    if (!std::isnan(options.prior_sd)) require_between(options.prior_sd, 0, 2, "prior_sd");
    require_positive(options.largest_sd, "largest_sd");
    for (const auto& [value, least, name] : {std::tuple(options.least_layers, 1, "least_layers"), std::tuple(options.least_coaches, 1, "least_coaches"),
                                             std::tuple(options.least_due, 0, "least_due")})
        if (value < least) throw_value_error(name, std::to_string(least) + " or more", std::to_string(value));
}

}  // namespace

Recalibration recalibrate(const Fleet& fleet, const std::vector<Finding>& findings, Date as_of, const RecalibrationOptions& options) {
    check(options);
    ForecastOptions chosen = options_for_tuning(options, findings);
    const Fleet looked_at = coaches_looked_at(fleet, findings, as_of, chosen);
    const ForecastBasis basis(looked_at, as_of, chosen, {{}, true});
    const auto by_coach = seen_generations(basis, options.watch);
    Recalibration result;
    result.catalogue = options.catalogue;
    std::vector<FamilyMessages> messages;
    for (const auto& [name, evidence] : evidence_by_family(basis, by_coach, options.watch)) {
        const double prior_sd = family_prior_sd(options.catalogue, name, options.prior_sd);
        const SharedEffects effects = effects_of_family(basis.model, prior_sd, evidence.joints, options.threads);
        messages.push_back({prior_sd, MessageTree(joint_messages(effects, basis.model.prior, evidence.joints))});
        add_family(basis, options, name, evidence, effects, result);
    }
    result.spreads = likely_spreads(messages, basis.model.effects, options.watch);
    return result;
}

}  // namespace libseal
