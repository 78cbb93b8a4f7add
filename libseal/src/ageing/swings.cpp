#include "ageing/swings.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "libseal/ageing/rainflow.hpp"
#include "libseal/core/require.hpp"

namespace libseal::detail {

Swings::Swings(ConstColumn movement) {
    Column known(movement.size());
    std::vector<double> hour;
    hour.reserve(static_cast<std::size_t>(movement.size()));
    for (Eigen::Index i = 0; i < movement.size(); ++i) {
        if (std::isnan(movement[i])) continue;
        known[static_cast<Eigen::Index>(hour.size())] = movement[i];
        hour.push_back(static_cast<double>(i));
        largest_ = std::max(largest_, std::abs(movement[i]));
    }
    std::vector<double> half_range, hours;
    // A closed cycle adds nothing: its hours lie within a larger swing.
    for (const Cycle& cycle : rainflow_cycles(known.head(static_cast<Eigen::Index>(hour.size())))) {
        cycles_ += cycle.count;
        if (cycle.count == 1) continue;
        half_range.push_back(cycle.range() / 2);
        hours.push_back(hour[static_cast<std::size_t>(cycle.last)] - hour[static_cast<std::size_t>(cycle.first)]);
    }
    const auto size = static_cast<Eigen::Index>(hours.size());
    half_range_ = Eigen::Map<const Column>(half_range.data(), size);
    hours_ = Eigen::Map<const Column>(hours.data(), size);
}

StrainSummary Swings::strain(const std::string& form, double factor, double exponent) const {
    require_positive(exponent, "exponent");
    StrainSummary summary;
    summary.largest = strain_of_movement(form, factor * largest_);
    if (factor == 0) return summary;
    summary.cycles = cycles_;
    Column strain(half_range_.size());
    for (Eigen::Index i = 0; i < strain.size(); ++i) strain[i] = strain_of_movement(form, factor * half_range_[i]);
    if (strain.size() > 0) summary.amplitude = equivalent_amplitude(strain, hours_, exponent);
    return summary;
}

SwingKey::SwingKey(const MovementKey& key)
    : site(key.site),
      tilt(key.tilt),
      azimuth(key.azimuth),
      cover(key.cover),
      absorptance_a(key.movement.a.absorptance),
      emittance_a(key.movement.a.emittance),
      expansion_a(key.movement.a.expansion),
      absorptance_b(key.movement.b.absorptance),
      emittance_b(key.movement.b.emittance),
      expansion_b(key.movement.b.expansion) {}

Swings swings_of(const SwingKey& key, ConstColumn temperature_a, ConstColumn temperature_b, double set_temperature) {
    return Swings(key.expansion_b * (temperature_b - set_temperature) - key.expansion_a * (temperature_a - set_temperature));
}

StrainSummary strain_of(const Swings& swings, const MovementKey& key) {
    const double width = require_positive(key.movement.width, "movement.width");
    const double along = key.movement.a.restraint, across = key.corner == Corner::corner ? key.movement.across : 0;
    return swings.strain(key.movement.form, std::hypot(along, across) / width, key.exponent);
}

}  // namespace libseal::detail
