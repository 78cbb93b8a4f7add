#pragma once
// Small coaches and graded findings for the tests of tuning. Invented throughout.

#include <stdexcept>
#include <string>
#include <vector>

#include "libseal/coach/layouts.hpp"
#include "libseal/survey/finding.hpp"
#include "libseal/survey/grade.hpp"
#include "support/trailers.hpp"

namespace libseal::tuning_tests {

/// A trailer with the first `vents` roof vents and `windows` window frames alone, standing in one place.
inline Coach small_coach(const std::string& id, const std::string& line, const std::string& station, Date from, Date to, int vents = 1,
                         int windows = 1) {
    LayoutOptions options;
    options.id = id;
    options.model_line = line;
    options.model_year = year_month_day(from).year;
    options.installed_from = from;
    options.installed_to = to;
    Coach coach = travel_trailer(8.0, options);
    std::vector<Joint> kept;
    for (const auto& joint : coach.joints) {
        if (joint.type == "roof_vent_flange" && vents-- > 0) kept.push_back(joint);
        if (joint.type == "window_frame" && windows-- > 0) kept.push_back(joint);
    }
    coach.joints = kept;
    coach.stays = {libseal_test::stay_since(make_date(1990, 1, 1), station)};
    return coach;
}

inline const Joint& joint_of_type(const Coach& coach, const std::string& type) {
    for (const auto& joint : coach.joints)
        if (joint.type == type) return joint;
    throw std::logic_error("no joint of type " + type);
}

/// A finding of a joint's cap that grades as asked: a clean look for 0, else a gap that was measured; 5 needs that no bedding was seen behind it.
inline Finding finding_of_grade(const Coach& coach, const Joint& joint, Date day, int wanted, const Catalogue& catalogue = Catalogue::built_in()) {
    Finding finding;
    finding.coach = coach.id;
    finding.joint = joint.id;
    finding.layer = "cap_bead";
    finding.sign = wanted == 0 ? "clean_look" : "gap";
    finding.date = day;
    if (wanted == 0) return finding;
    finding.unit = "mm";
    for (const double share : {1.0, 0.5, 0.2, 0.05, 0.01})
        for (const double gap : {0.05, 0.2, 0.4, 1.0, 2.0}) {
            finding.value = gap;
            finding.share = share;
            if (grade_of_joint({finding}, joint, catalogue).cap == wanted) return finding;
        }
    finding.bedding_seen = "absent";  // an open bead over a bedding that nobody saw is grade 4
    if (grade_of_joint({finding}, joint, catalogue).cap == wanted) return finding;
    throw std::logic_error("no finding has grade " + std::to_string(wanted));
}

inline WorkDone resealed(const Coach& coach, const Joint& joint, Date day, const std::string& family = "") {
    WorkDone work;
    work.coach = coach.id;
    work.joint = joint.id;
    work.layer = "cap_bead";
    work.date = day;
    work.action = "cut_out_and_reseal";
    work.family = family;
    return work;
}

}  // namespace libseal::tuning_tests
