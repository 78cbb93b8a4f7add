#include "forecast/basis.hpp"

#include <utility>

#include "core/problem.hpp"
#include "forecast/layer_checks.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/parallel.hpp"
#include "libseal/survey/read.hpp"

namespace libseal::detail {

const ForecastBasis& basis_of(const Forecast& forecast) {
    if (!forecast.basis) throw StateError(field_problem("forecast", "a result of forecast()", "an empty Forecast"));
    return *forecast.basis;
}

ForecastBasis::ForecastBasis(Fleet fleet, Date day, const ForecastOptions& chosen, const WantedBeliefs& wanted)
    : as_of(checked_forecast_day(day)),
      options(chosen),
      standing(chosen.work_done.empty() ? std::move(fleet) : with_work_done(fleet, chosen.work_done, day)),
      model(life_model(options.catalogue)),
      looks(looks_of_fleet(options.findings, standing, options.catalogue, model.scale, options.look_noise, options.work_done, options.threads)),
      clocks(standing, chosen.work_done.empty() ? standing : fleet, day, options, {wanted.joints, wanted.layers_with_looks ? &looks : nullptr}) {
    clocks.store.evaluate(options.threads, options.watch);
    shared = options.shared ? *options.shared : SharedEffects(model.effects, model.prior, evidence(options.watch), options.threads);
    options.watch = {};  // of this call alone
}

std::size_t ForecastBasis::end_of_joint(std::size_t first) const {
    const LayerRow& row = clocks.layers[first];
    const std::size_t end = clocks.first_layer[row.coach + 1];
    std::size_t next = first + 1;
    while (next < end && clocks.layers[next].joint == row.joint) ++next;
    return next;
}

const JointLooks* ForecastBasis::looks_of(const Coach& coach, const Joint& joint) const {
    const auto found = looks.find({coach.id, joint.id});
    return found == looks.end() ? nullptr : &found->second;
}

std::vector<JointEvidence> ForecastBasis::evidence_of(std::size_t c) const {
    const Coach& coach = standing.coaches[c];
    std::vector<JointEvidence> evidence;
    // Ids are ordered: the looks of a coach stand together.
    const auto first_look = looks.lower_bound({coach.id, ""});
    if (first_look == looks.end() || first_look->first.first != coach.id) return evidence;
    CoachTracks tracks(clocks, c, as_of);
    const std::size_t end = clocks.first_layer[c + 1];
    for (std::size_t first = clocks.first_layer[c]; first < end;) {
        const std::size_t next = end_of_joint(first);
        if (const JointLooks* own = looks_of(coach, coach.joints[clocks.layers[first].joint])) {
            const JointBelief belief(clocks, model, options.catalogue, first, next, own, tracks, as_of, Columns::dates);
            evidence.push_back({belief.key(), belief.effect_likelihood()});
        }
        first = next;
    }
    return evidence;
}

std::vector<JointEvidence> ForecastBasis::evidence(const Watch& watch) const {
    std::vector<std::vector<JointEvidence>> by_coach(standing.coaches.size());
    ProgressReporter reporter(watch, "findings");
    parallel_for(
        by_coach.size(), options.threads, [&](std::size_t c) { by_coach[c] = evidence_of(c); },
        [&](std::size_t done) { reporter.tick(static_cast<double>(done) / static_cast<double>(by_coach.size())); });
    std::vector<JointEvidence> all;
    for (auto& list : by_coach)
        for (auto& joint : list) all.push_back(std::move(joint));
    return all;
}

void ForecastBasis::each_joint(std::size_t c, const std::function<void(const JointBelief&, std::size_t)>& visit) const {
    CoachTracks tracks(clocks, c, as_of);
    for (std::size_t first = clocks.first_layer[c]; first < clocks.first_layer[c + 1]; first = end_of_joint(first))
        visit(joint_at(first, tracks), first);
}

JointBelief ForecastBasis::joint_at(std::size_t first, CoachTracks& tracks, Columns wanted) const {
    const LayerRow& row = clocks.layers[first];
    const Coach& coach = standing.coaches[row.coach];
    JointBelief belief(clocks, model, options.catalogue, first, end_of_joint(first), looks_of(coach, coach.joints[row.joint]), tracks, as_of, wanted);
    belief.settle(shared.without_own(belief.key()));
    return belief;
}

JointBelief ForecastBasis::joint_of_row(std::size_t row, std::size_t& first, CoachTracks& tracks) const {
    first = row;
    while (first > clocks.first_layer[clocks.layers[row].coach] && clocks.layers[first - 1].joint == clocks.layers[row].joint) --first;
    return joint_at(first, tracks);
}

}  // namespace libseal::detail
