#include "libseal/tuning/experiment.hpp"

#include <algorithm>
#include <cmath>

#include "forecast/look_information.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/parallel.hpp"
#include "libseal/core/progress.hpp"
#include "libseal/core/random.hpp"
#include "libseal/core/require.hpp"
#include "libseal/survey/read.hpp"
#include "tuning/design.hpp"
#include "tuning/sites.hpp"

namespace libseal {
namespace {

using namespace detail;

constexpr int grades = 6;  // 0 to 5

/// Chance of each grade at one possible installation date, per node of s: rows grades, columns nodes.
Eigen::MatrixXd grades_given_effect(const LifeBelief& belief, Eigen::Index node, double age, const std::vector<LookTable>& looks, const LifePrior& prior) {
    Eigen::MatrixXd chance(belief.cells(), grades);
    const double log_age = age > 0 ? std::log(age / belief.scale()) : -100.0;  // not fitted yet: as new
    for (Eigen::Index i = 0; i < chance.rows(); ++i)
        for (int g = 0; g < grades; ++g) chance(i, g) = looks[static_cast<std::size_t>(g)](log_age - LifePrior::life_node(i));
    const Column seen = belief.seen(node);
    Eigen::MatrixXd result(grades, prior.effect_count());
    for (int k = 0; k < prior.effect_count(); ++k)
        result.col(k) = chance.transpose() * (seen * prior.threshold.segment(k * prior.stride, belief.cells())).matrix();
    return result;
}

/// Fisher information of a look about s, expected over a belief of s.
double information_of(const SeenGeneration& seen, const LifeModel& model, const std::vector<LookTable>& looks, const Column& effect) {
    LifeBelief belief(model.prior, seen.median_life, static_cast<int>(seen.installed.size()));
    for (const SeenLook& one : seen.looks) belief.note(model.look_tables->table(one.look), one.ages);
    Eigen::MatrixXd chance = Eigen::MatrixXd::Zero(grades, effect.size());
    for (std::size_t j = 0; j < seen.installed.size(); ++j)
        chance += grades_given_effect(belief, static_cast<Eigen::Index>(j), seen.ages_now[j], looks, model.prior);
    const double step = model.prior.effect_node(1) - model.prior.effect_node(0);
    double sum = 0, weight = 0;
    for (Eigen::Index k = 0; k < chance.cols(); ++k) chance.col(k) /= std::max(1e-300, chance.col(k).sum());
    for (Eigen::Index k = 1; k + 1 < chance.cols(); ++k) {
        const Eigen::ArrayXd slope = (chance.col(k + 1) - chance.col(k - 1)).array() / (2 * step);
        sum += effect[k] * (slope.square() / chance.col(k).array().max(1e-12)).sum();
        weight += effect[k];
    }
    return sum / weight;
}

/// A layer that a look could see, with what the look would tell.
struct VisibleLayer {
    const SeenGeneration* seen = nullptr;
    EffectKey key;
    double information = 0;
};

bool can_be_seen(const Joint& joint, const std::string& kind) {
    if (layer_of(joint, "cover_tape")) return kind == "cover_tape";
    return kind != "bedding" || !layer_of(joint, "cap_bead");
}

std::vector<VisibleLayer> visible_layers(const ForecastBasis& basis, const std::vector<SeenCoach>& by_coach, const std::string& family,
                                         const SharedEffects& effects, const Watch& watch) {
    std::vector<VisibleLayer> visible;
    for (const auto& coach : by_coach)
        for (const auto& seen : coach.generations) {
            const Joint& joint = basis.standing.coaches[seen.coach].joints[seen.joint];
            if (seen.layer.family == family && !seen.renewed && !seen.ages_now.empty() && can_be_seen(joint, seen.layer.kind))
                visible.push_back({&seen, key_of(basis, seen), 0});
        }
    std::vector<LookTable> looks;
    for (int g = 0; g < grades; ++g) {
        Look look;
        look.lowest = look.highest = g;
        looks.emplace_back(look, basis.model.scale);
    }
    ProgressReporter reporter(watch, "looks that could be taken");
    parallel_for(
        visible.size(), basis.options.threads,
        [&](std::size_t i) {
            const EffectMoments others = effects.without_own(visible[i].key);
            Column effect = effect_weights(basis.model.prior, others.mean, others.variance);
            if (!visible[i].seen->looks.empty())
                effect *= effect_likelihood(*visible[i].seen, basis.model);
            visible[i].information = information_of(*visible[i].seen, basis.model, looks, effect);
        },
        [&](std::size_t done) { reporter.tick(static_cast<double>(done) / static_cast<double>(visible.size())); });
    return visible;
}

/// Width of the 95 % interval of a lognormal belief over its median.
double width_of(double log_sd) { return 2 * std::sinh(normal_quantile(0.975) * log_sd); }

void check(const ExperimentOptions& options, const std::string& family) {
    require_positive(options.width, "width");
    if (options.most < 1) throw_value_error("most", "1 or more looks", std::to_string(options.most));
    if (!std::isnan(options.prior_sd)) require_between(options.prior_sd, 0, 2, "prior_sd");
    sealant(options.catalogue, family);  // names the nearest one if there is none
}

ForecastBasis basis_of(const Fleet& fleet, const std::vector<Finding>& findings, Date day, const ExperimentOptions& options) {
    ForecastOptions chosen = options_for_tuning(options, findings);
    coaches_looked_at(fleet, findings, day, chosen);  // checks
    chosen.work_done = options.work_done;
    return ForecastBasis(fleet, day, chosen);
}

}  // namespace

LookExperiment look_experiment(const Fleet& fleet, const std::vector<Finding>& findings, const std::string& family, Date day,
                               const ExperimentOptions& options) {
    check(options, family);
    const ForecastBasis basis = basis_of(fleet, findings, day, options);
    const auto by_coach = seen_generations(basis, options.watch, true);
    auto evidence = evidence_by_family(basis, by_coach, options.watch)[family].joints;
    const SharedEffects effects = effects_of_family(basis.model, family_prior_sd(options.catalogue, family, options.prior_sd), evidence, options.threads);
    const auto messages = joint_messages(effects, basis.model.prior, evidence);
    const auto visible = visible_layers(basis, by_coach, family, effects, options.watch);

    PrecisionTree tree(effects.spread());
    std::map<EffectKey, std::size_t> joints;
    for (const auto& [key, message] : messages) joints.emplace(key, tree.add_joint(key, message.precision));
    std::vector<EffectLook> candidates;
    for (const auto& layer : visible) {
        const auto known = joints.find(layer.key);
        const std::size_t joint = known != joints.end() ? known->second : joints.emplace(layer.key, tree.add_joint(layer.key, 0)).first->second;
        candidates.push_back({joint, layer.information});
    }
    LookExperiment result;
    result.family = family;
    result.day = day;
    result.candidates = static_cast<int>(candidates.size());
    result.log_sd_before = std::sqrt(effects.family(family).variance);
    result.width_before = width_of(result.log_sd_before);
    PrecisionTree everything = tree;
    for (const auto& look : candidates) everything.take(look);
    result.log_sd_all = candidates.empty() ? result.log_sd_before : 1 / std::sqrt(everything.family());
    result.width_all = width_of(result.log_sd_all);
    std::vector<double> precision;
    const auto taken = greedy_looks(tree, candidates, static_cast<std::size_t>(options.most), precision);
    const auto count = static_cast<Eigen::Index>(taken.size());
    for (auto* column : {&result.effective_age, &result.information, &result.log_sd, &result.width, &result.bits}) *column = Column::Zero(count);
    if (result.width_before <= options.width) result.enough = 0;
    double sd_before = result.log_sd_before;
    for (Eigen::Index i = 0; i < count; ++i) {
        const VisibleLayer& layer = visible[taken[static_cast<std::size_t>(i)]];
        result.coach.push_back(layer.key.coach);
        result.joint.push_back(layer.key.joint);
        result.layer.push_back(layer.seen->layer.kind);
        for (const double age : layer.seen->ages_now) result.effective_age[i] += age / static_cast<double>(layer.seen->ages_now.size());
        result.information[i] = layer.information;
        result.log_sd[i] = 1 / std::sqrt(precision[static_cast<std::size_t>(i)]);
        result.width[i] = width_of(result.log_sd[i]);
        result.bits[i] = std::log2(sd_before / result.log_sd[i]);
        sd_before = result.log_sd[i];
        if (result.enough < 0 && result.width[i] <= options.width) result.enough = static_cast<int>(i) + 1;
    }
    return result;
}

}  // namespace libseal
