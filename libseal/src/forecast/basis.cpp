#include "forecast/basis.hpp"

#include "libseal/core/parallel.hpp"
#include "libseal/survey/read.hpp"

namespace libseal::detail {
namespace {

/// End of the rows of the joint whose first row is `first`.
std::size_t end_of_joint(const FleetClocks& clocks, std::size_t first, std::size_t end) {
    std::size_t next = first + 1;
    while (next < end && clocks.layers[next].joint == clocks.layers[first].joint) ++next;
    return next;
}

}  // namespace

ForecastBasis::ForecastBasis(const Fleet& fleet, Date day, const ForecastOptions& chosen)
    : as_of(day),
      options(chosen),
      standing(with_work_done(fleet, chosen.work_done, day)),
      clocks(standing, fleet, day, options),
      model(life_model(options.catalogue)),
      looks(looks_of_fleet(options.findings, standing, options.catalogue, model.scale, options.look_noise, options.work_done)) {
    clocks.store.evaluate(options.threads, options.watch);
    shared = options.shared ? *options.shared : SharedEffects(model.effects, model.prior, evidence(options.watch));
    options.watch = {};  // of this call alone
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
        const std::size_t next = end_of_joint(clocks, first, end);
        if (const JointLooks* own = looks_of(coach, coach.joints[clocks.layers[first].joint])) {
            const JointBelief belief(clocks, model, options.catalogue, first, next, own, tracks, as_of);
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
    const Coach& coach = standing.coaches[c];
    const std::size_t end = clocks.first_layer[c + 1];
    CoachTracks tracks(clocks, c, as_of);
    for (std::size_t first = clocks.first_layer[c]; first < end;) {
        const std::size_t next = end_of_joint(clocks, first, end);
        const Joint& joint = coach.joints[clocks.layers[first].joint];
        JointBelief belief(clocks, model, options.catalogue, first, next, looks_of(coach, joint), tracks, as_of);
        belief.settle(shared.without_own(belief.key()));
        visit(belief, first);
        first = next;
    }
}

JointBelief ForecastBasis::joint_of_row(std::size_t row, std::size_t& first, CoachTracks& tracks) const {
    const std::size_t c = clocks.layers[row].coach, end = clocks.first_layer[c + 1];
    first = row;
    while (first > clocks.first_layer[c] && clocks.layers[first - 1].joint == clocks.layers[row].joint) --first;
    const Coach& coach = standing.coaches[c];
    JointBelief belief(clocks, model, options.catalogue, first, end_of_joint(clocks, first, end),
                       looks_of(coach, coach.joints[clocks.layers[row].joint]), tracks, as_of);
    belief.settle(shared.without_own(belief.key()));
    return belief;
}

}  // namespace libseal::detail
