#pragma once
// What a reseal, a look and an open joint cost, and where the usual joint of a type lies.

#include <string>

#include "libseal/climate/station.hpp"
#include "libseal/exposure/plane.hpp"
#include "libseal/tuning/interval_table.hpp"

namespace libseal::detail {

struct JointCosts {
    double reseal = 0;
    double look = 0;
    double failure = 0;
};
/// Costs of the usual joint of a type: as given, else by the catalogue in hours of work.
JointCosts joint_costs(const IntervalTableOptions& options, const std::string& joint_type);

/// Plane of a surface in words of the catalogue: roof, wall, underside.
Plane plane_of_usual(const std::string& surface, double heading);

/// "hot, sunny, dry" by the means of a station.
std::string climate_words(const Station& station, const Catalogue& catalogue);

}  // namespace libseal::detail
