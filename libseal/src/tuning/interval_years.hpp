#pragma once
// Years of one joint under a policy, from event to event.

#include <cmath>
#include <cstdint>
#include <limits>
#include <vector>

#include "libseal/core/random.hpp"

namespace libseal::detail {

/// When a joint is looked at and when it is resealed whatever its state. Infinite: never. [yr]
struct LayerPolicy {
    double interval = std::numeric_limits<double>::infinity();
    double age = std::numeric_limits<double>::infinity();
};

/// What is drawn for one generation of a layer.
struct DrawnLife {
    double visible = 0;  ///< from new until a look can find it [yr]
    double open = 0;     ///< from new until it is open [yr]
    double misses = 0;   ///< looks that overlook it before one finds it
};

/// Counts of the counted years.
struct JointYears {
    double looks = 0;  ///< whole; of looks that cost nothing there are more than an int holds
    int reseals = 0;   ///< found by a look, or of age
    int failures = 0;  ///< open
};

/// Looks that overlook what is there, by a uniform draw.
inline double misses_of(double uniform, double detection) {
    return detection >= 1 ? 0 : std::floor(std::log(uniform) / std::log1p(-detection));
}

/// Looks come at first + k interval, k = 0, 1, ...; a look that comes as the joint opens comes too late.
/// @param start, end  Counted are events in (start, end]; the layer is new at 0. [yr]
/// @param phase       First look as a share of the interval [-], in (0, 1).
/// @param life        DrawnLife of generation 0, 1, ...: the same whatever the policy.
template <class Life>
JointYears follow_joint(const LayerPolicy& policy, double start, double end, double phase, Life&& life) {
    const bool looked_at = std::isfinite(policy.interval);
    const double first = phase * policy.interval;
    JointYears years;
    const auto looks_until = [&](double t) { return t < first ? 0.0 : std::floor((t - first) / policy.interval) + 1; };
    if (looked_at) years.looks = looks_until(end) - looks_until(start);
    double now = 0;
    for (std::size_t generation = 0;; ++generation) {
        const DrawnLife drawn = life(generation);
        const double opens = now + drawn.open;
        double resealed = now + policy.age;
        if (looked_at) {
            const double before = std::ceil((now + drawn.visible - first) / policy.interval);
            resealed = std::min(resealed, first + (std::max(before, 0.0) + drawn.misses) * policy.interval);
        }
        now = std::min(opens, resealed);
        if (now > end) return years;
        if (now > start) ++(resealed < opens ? years.reseals : years.failures);
    }
}

/// Lives of one joint by the model: one ln(phi), a new threshold for each generation. Drawn as they are asked for.
class JointDraws {
public:
    /// @param scale  Weibull scale of the threshold in calendar years at phi = 1 [yr].  @param visible, open  worn shares [-]
    struct Law {
        double scale = 1, shape = 1, log_sd = 0, visible = 1, open = 1, detection = 1;
    };
    JointDraws(const Law& law, std::uint64_t seed, std::uint64_t layer) : law_(law), stream_(seed, layer) {
        phase_ = stream_.uniform();
        scale_ = law_.scale * std::exp(-law_.log_sd * stream_.normal());
    }
    double phase() const { return phase_; }
    DrawnLife operator()(std::size_t generation) {
        while (lives_.size() <= generation) {
            const double due = scale_ * std::pow(-std::log(stream_.uniform()), 1 / law_.shape);
            lives_.push_back({law_.visible * due, law_.open * due, misses_of(stream_.uniform(), law_.detection)});
        }
        return lives_[generation];
    }

private:
    Law law_;
    RandomStream stream_;
    double phase_ = 0, scale_ = 1;
    std::vector<DrawnLife> lives_;
};

}  // namespace libseal::detail
