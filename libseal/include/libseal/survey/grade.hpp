#pragma once
// From signs to a condition grade: cap and bedding apart, open path, damage.

#include <string>
#include <vector>

#include "libseal/catalogue/joint_type.hpp"
#include "libseal/survey/finding.hpp"

namespace libseal {

enum class OpenPath { no, yes, unknown };

/// Condition of one joint as seen on one day.
struct Grade {
    int cap = -1;       ///< 0 to 5; -1 not seen
    int bedding = -1;   ///< 0 to 5; -1 not seen
    OpenPath open_path = OpenPath::no;
    int damage = 0;     ///< 0 to 3
    bool inspected = false;
    std::vector<std::string> reasons;  ///< in words, one for each rule that spoke
};

/// Grades the findings of one joint on one day (all of them: several signs are one look).
/// Thresholds come from "grade/..." of the catalogue.
/// @throws ValueError  for a value on a sign that has no such measure.
/// @source  Scale and rules: our proposal; quantity and size apart after ISO 4628-1.
Grade grade(const std::vector<Finding>& findings, const JointType& type, const Catalogue& catalogue);

enum class Urgency { next_inspection, next_service, within_30_days, at_once };
std::string to_text(Urgency urgency);

/// How soon something must happen, from "urgency/..." of the catalogue.
/// @param exposed_soon  Rain or a trip is due within 14 days.
/// @source  Table and overrides: our proposal.
Urgency urgency(const Grade& grade, const JointType& type, bool exposed_soon, const Catalogue& catalogue);

}  // namespace libseal
