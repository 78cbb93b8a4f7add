#pragma once
// From signs to a condition grade: cap, bedding and hardware apart, open path, damage.

#include <limits>
#include <string>
#include <vector>

#include "libseal/catalogue/joint_type.hpp"
#include "libseal/coach/joint.hpp"
#include "libseal/survey/finding.hpp"

namespace libseal {

enum class OpenPath { no, yes, unknown };

/// Condition of one joint, or of one part, as seen on one day.
struct Grade {
    int cap = -1;       ///< bead, insert, gasket and seals, 0 to 5; -1 not seen
    int bedding = -1;   ///< 0 to 5; -1 not seen
    int hardware = -1;  ///< fasteners, rails and the part itself, 0 to 5; -1 nothing noted of them
    /// Mean over the segments that were named, by length, for the trend [0 to 5]; NaN where nothing was graded. What was noted of
    /// the whole joint stands for the rest of its length; what nobody looked at is left out.
    double mean = std::numeric_limits<double>::quiet_NaN();
    OpenPath open_path = OpenPath::no;
    int damage = 0;     ///< 0 to 3
    bool inspected = false;
    std::vector<std::string> reasons;  ///< in words, one for each rule that spoke

    /// The joint's grade: the worst of cap, bedding and hardware, 0 to 5; -1 not seen.
    int worst() const;
};

/// Grades the findings of one joint, or of one part, on one day (all of them: several signs are one look).
/// Thresholds come from "grade/..." of the catalogue. In the mean all segments weigh the same.
/// @throws ValueError  for a value on a sign that has no such measure, and for findings of several joints or days.
/// @source  Scale and rules: our proposal; quantity and size apart after ISO 4628-1.
Grade grade(const std::vector<Finding>& findings, const JointType& type, const Catalogue& catalogue);

/// The same with the joint's own segments: the mean weighs them by length.
Grade grade_of_joint(const std::vector<Finding>& findings, const Joint& joint, const Catalogue& catalogue);

/// What could not be looked at on a coach and has not been since: one sentence a joint or part, with the reason, by id.
std::vector<std::string> not_inspected(const std::vector<Finding>& findings, const std::string& coach, Date as_of);

/// What a reading of moisture says. Bands are for wood; a meter on thin panels is only good for differences.
struct MoistureBand {
    std::string name;     ///< "dry", "note", "early_ingress", "evident", "structural"
    std::string meaning;  ///< in words
};
/// @param reading  [% wood scale], 0 to 200. On an edge the worse band.
/// @source  Service-trade pages: catalogue, "moisture/band/...".
MoistureBand moisture_band(double reading, const Catalogue& catalogue);

}  // namespace libseal
