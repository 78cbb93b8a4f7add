#include "ageing/swings.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "ageing/contracted_history.hpp"
#include "libseal/ageing/rainflow.hpp"
#include "libseal/core/require.hpp"

namespace libseal::detail {

Swings::Swings(ConstColumn movement) {
    ContractedHistory history;
    if (history.count(movement)) {
        take(history, movement);
        return;
    }
    Column known(movement.size());
    std::vector<Eigen::Index> hour;
    for (Eigen::Index i = 0; i < movement.size(); ++i) {
        if (std::isnan(movement[i])) continue;
        known[static_cast<Eigen::Index>(hour.size())] = movement[i];
        hour.push_back(i);
    }
    known.conservativeResize(static_cast<Eigen::Index>(hour.size()));
    if (!history.count(known)) (void)rainflow_cycles(known);  // says which value is infinite
    take(history, known, hour);
}

void Swings::take(const ContractedHistory& history, ConstColumn series, const std::vector<Eigen::Index>& hour) {
    // The highest and the lowest value always stay open; without a turn all values are equal.
    if (series.size() > 0) largest_ = std::abs(series[0]);
    for (std::size_t i = 0; i < history.point_count(); ++i) largest_ = std::max(largest_, std::abs(history.point(i)));
    const std::vector<std::size_t> places = history.places(series);
    const auto hour_of = [&](std::size_t place) { return static_cast<double>(hour.empty() ? static_cast<Eigen::Index>(place) : hour[place]); };
    // A closed cycle adds nothing: its hours lie within a larger swing.
    const auto size = static_cast<Eigen::Index>(places.empty() ? 0 : places.size() - 1);
    half_range_.resize(size);
    hours_.resize(size);
    for (std::size_t i = 1; i < places.size(); ++i) {
        half_range_[static_cast<Eigen::Index>(i - 1)] = std::abs(history.point(i) - history.point(i - 1)) / 2;
        hours_[static_cast<Eigen::Index>(i - 1)] = hour_of(places[i]) - hour_of(places[i - 1]);
    }
    cycles_ = static_cast<double>(history.closed()) + 0.5 * static_cast<double>(size);
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
