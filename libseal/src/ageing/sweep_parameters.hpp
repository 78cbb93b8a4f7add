#pragma once
// What a sweep may move: names, entries of the catalogue, bounds.

#include <string>
#include <vector>

#include "libseal/ageing/rate_sweep.hpp"

namespace libseal::detail {

enum class SweepRole {
    light_exponent,
    energy_light,
    energy_heat,
    energy_moisture,
    humidity_exponent,
    weight_light,
    weight_heat,
    weight_moisture,
    absorptance,
    emittance
};

/// One parameter that a law has.
struct SweepEntry {
    SweepRole role = SweepRole::light_exponent;
    std::string name;
    std::string id;      ///< of the catalogue; "": of the surface
    std::string unit;
    double factor = 1;   ///< what the term takes is this times the parameter
    double highest = 1;  ///< that makes sense
};

inline bool is_weight(SweepRole role) { return role == SweepRole::weight_light || role == SweepRole::weight_heat || role == SweepRole::weight_moisture; }
inline bool is_finish(SweepRole role) { return role == SweepRole::absorptance || role == SweepRole::emittance; }

/// Parameters of a family under a law. @throws ValueError  a law that the family has not.
std::vector<SweepEntry> sweep_entries(const Catalogue& catalogue, const std::string& family, Law law);

/// A range that was asked for, with the value in use.
struct SweptRange {
    SweepEntry entry;
    SweptParameter parameter;
};
/// Ranges checked against what the law has. @throws ValueError  as `rate_sweep`, naming the range.
std::vector<SweptRange> checked_ranges(const std::vector<SweepRange>& ranges, const RateSweepOptions& options);

}  // namespace libseal::detail
