#include "tuning/sites.hpp"

#include <cmath>

#include "libseal/core/parallel.hpp"
#include "libseal/core/progress.hpp"

namespace libseal::detail {
namespace {

double squared(double x) { return x * x; }

/// A message with the logarithm of its factor.
struct ScaledMessage {
    NormalMessage message;
    double log_factor = 0;
};

ScaledMessage operator+(ScaledMessage a, ScaledMessage b) { return {a.message + b.message, a.log_factor + b.log_factor}; }

/// The integral of exp(shift s - precision s^2 / 2) over s = x + e, e normal of this variance, as a function of x.
ScaledMessage beyond(ScaledMessage from, double variance) {
    const double grown = 1 + from.message.precision * variance;
    return {from.message.through(variance), from.log_factor - 0.5 * std::log(grown) + 0.5 * variance * squared(from.message.shift) / grown};
}

/// Sums of messages one step up.
std::vector<ScaledMessage> summed(const std::vector<ScaledMessage>& below, const std::vector<std::size_t>& up, std::size_t count, double sd) {
    std::vector<ScaledMessage> sums(count);
    for (std::size_t i = 0; i < below.size(); ++i) sums[up[i]] = sums[up[i]] + beyond(below[i], squared(sd));
    return sums;
}

}  // namespace

EffectKey key_of(const ForecastBasis& basis, const SeenGeneration& seen) {
    const Coach& coach = basis.standing.coaches[seen.coach];
    return {seen.layer.family, coach.model_line, coach.id, coach.joints[seen.joint].id};
}

std::map<std::string, FamilyEvidence> evidence_by_family(const ForecastBasis& basis, const std::vector<SeenCoach>& by_coach,
                                                         const Watch& watch) {
    ProgressReporter reporter(watch, "evidence");
    std::vector<std::vector<Column>> likelihoods(by_coach.size());
    parallel_for(
        by_coach.size(), basis.options.threads,
        [&](std::size_t c) {
            for (const auto& seen : by_coach[c].generations)
                likelihoods[c].push_back(effect_likelihood(seen, basis.model));
        },
        [&](std::size_t done) { reporter.tick(static_cast<double>(done) / static_cast<double>(by_coach.size())); });
    std::map<std::string, FamilyEvidence> families;
    for (std::size_t c = 0; c < by_coach.size(); ++c)
        for (std::size_t g = 0; g < by_coach[c].generations.size(); ++g) {
            const SeenGeneration& seen = by_coach[c].generations[g];
            if (seen.looks.empty()) continue;
            FamilyEvidence& family = families[seen.layer.family];
            family.generations.push_back(&seen);
            const EffectKey key = key_of(basis, seen);
            // Layers of a joint stand together.
            if (!family.joints.empty() && family.joints.back().key == key) family.joints.back().likelihood *= likelihoods[c][g];
            else family.joints.push_back({key, likelihoods[c][g]});
        }
    return families;
}

double family_prior_sd(const Catalogue& catalogue, const std::string& family, double wanted) {
    if (std::isfinite(wanted)) return wanted;
    constexpr double sds_in_range = 4;  // 95 % lie within two on each side
    const SourcedValue& life = catalogue.at("sealant/" + family + "/median_life");
    const double spread = std::log(life.high / life.low) / sds_in_range;
    return std::isfinite(spread) && spread > 0 ? spread : effect_spread(catalogue).family;
}

SharedEffects effects_of_family(const LifeModel& model, double prior_sd, std::vector<JointEvidence> evidence, int threads) {
    EffectSpread spread = model.effects;
    spread.family = prior_sd;
    return SharedEffects(spread, model.prior, std::move(evidence), threads);
}

std::map<EffectKey, NormalMessage> joint_messages(const SharedEffects& effects, const LifePrior& prior, const std::vector<JointEvidence>& evidence) {
    std::map<EffectKey, NormalMessage> messages;
    for (const auto& joint : evidence) {
        const EffectMoments others = effects.without_own(joint.key);
        const Column weight = joint.likelihood * effect_weights(prior, others.mean, others.variance);
        const double sum = weight.sum();
        double mean = 0, variance = 0;
        for (int k = 0; k < prior.effect_count(); ++k) mean += weight[k] * prior.effect_node(k) / sum;
        for (int k = 0; k < prior.effect_count(); ++k) variance += weight[k] * squared(prior.effect_node(k) - mean) / sum;
        NormalMessage message{std::max(0.0, 1 / variance - 1 / others.variance), 0};
        if (message.precision > 0) message.shift = mean / variance - others.mean / others.variance;
        messages.emplace(joint.key, message);
    }
    return messages;
}

MessageTree::MessageTree(const std::map<EffectKey, NormalMessage>& messages) {
    std::map<std::string, std::size_t> lines;
    std::map<std::pair<std::string, std::string>, std::size_t> coaches;
    for (const auto& [key, message] : messages) {
        const std::string line = key.model_line.empty() ? "coach " + key.coach : key.model_line;
        const std::size_t line_number = lines.try_emplace(line, lines.size()).first->second;
        const auto [coach, fresh] = coaches.try_emplace({line, key.coach}, coaches.size());
        if (fresh) line_of_coach_.push_back(line_number);
        joints_.push_back(message);
        coach_of_joint_.push_back(coach->second);
    }
    lines_ = lines.size();
}

double MessageTree::log_evidence(const EffectSpread& spread) const {
    std::vector<ScaledMessage> joints;
    joints.reserve(joints_.size());
    for (const NormalMessage& message : joints_) joints.push_back({message, 0});
    const auto coaches = summed(joints, coach_of_joint_, line_of_coach_.size(), spread.joint);
    const auto lines = summed(coaches, line_of_coach_, lines_, spread.coach);
    const auto family = summed(lines, std::vector<std::size_t>(lines_, 0), 1, spread.model_line);
    return beyond(family.front(), squared(spread.family)).log_factor;
}

}  // namespace libseal::detail
