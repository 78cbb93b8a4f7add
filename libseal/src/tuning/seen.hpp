#pragma once
// Generations of layers that somebody has looked at, with their ages at each look: what all of tuning rests on.

#include <functional>
#include <string>
#include <vector>

#include "forecast/basis.hpp"

namespace libseal::detail {

/// A look at a layer, with the layer's age then.
struct SeenLook {
    Look look;                       ///< with the chance of a workmanship defect in it
    std::vector<double> ages;        ///< per possible installation date [effective yr]
    double age_low = 0;              ///< from the last possible installation day on [effective yr]
    double age_high = 0;             ///< from the first one on [effective yr]
    bool due() const { return look.lowest >= 3; }
    bool sound() const { return look.highest < 3; }
};

/// A generation of a layer, as a rule with at least one look.
struct SeenGeneration {
    std::size_t coach = 0;           ///< in the basis' fleet
    std::size_t joint = 0;
    std::size_t layer_at = 0;        ///< in the joint
    Layer layer;                     ///< as it was fitted
    double median_life = 0;          ///< of its family [effective yr]
    bool renewed = false;            ///< work has ended it
    bool before_fitting = false;     ///< a look is dated before the layer was fitted
    std::vector<Date> installed;     ///< possible dates
    std::vector<SeenLook> looks;     ///< from the fitting on, in order of date
    std::vector<double> ages_now;    ///< of a standing layer that is no bedding under a cap: on the day of the basis [effective yr]
};

/// What a coach's looks say, and how many of its generations nobody looked at.
struct SeenCoach {
    std::vector<SeenGeneration> generations;
    int never_seen = 0;
};

/// Options of a forecast from those of a call of tuning. Beliefs hear nothing of other joints.
template <class Options>
ForecastOptions options_for_tuning(const Options& options, std::vector<Finding> findings) {
    ForecastOptions chosen;
    chosen.findings = std::move(findings);
    chosen.work_done = options.work_done;
    chosen.weather = options.weather;
    chosen.catalogue = options.catalogue;
    chosen.look_noise = options.look_noise;
    chosen.shared = std::make_shared<const SharedEffects>(effect_spread(options.catalogue));
    chosen.session = options.session;
    chosen.seed = options.seed;
    chosen.threads = options.threads;
    chosen.watch = options.watch;
    return chosen;
}

/// The coaches that findings name. @throws ValueError  as `forecast`.
Fleet coaches_looked_at(const Fleet& fleet, const std::vector<Finding>& findings, Date as_of, ForecastOptions& options);

/// All generations with looks, by coach; with `unseen_too` every standing layer. Same bits for any number of threads.
std::vector<SeenCoach> seen_generations(const ForecastBasis& basis, const Watch& watch, bool unseen_too = false);

/// Likelihood of all looks at a generation as a function of s, largest value 1.
Column effect_likelihood(const SeenGeneration& seen, const LifeModel& model);

/// Belief of a generation's life after its first `looks` looks, by the prior of the catalogue.
LifeBelief belief_after(const SeenGeneration& seen, const LifeModel& model, std::size_t looks);

}  // namespace libseal::detail
