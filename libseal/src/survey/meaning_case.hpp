#pragma once
// What the rules of meaning see: one finding, its place, and everything else that was found on the coach.

#include <map>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "libseal/coach/drainage.hpp"
#include "libseal/survey/meaning.hpp"

namespace libseal::detail {

/// The findings of one coach that still hold, in a fixed order.
struct Survey {
    Survey(const std::vector<Finding>& all, const Coach& of, const Catalogue& values, Date day, const std::vector<WorkDone>& work);

    const Coach& coach;
    const Catalogue& catalogue;
    const std::vector<WorkDone>& work_done;
    Date as_of{};
    std::vector<Finding> findings;

    /// Has this joint a finding of this sign?
    bool seen(const std::string& joint, const std::string& sign) const;
    /// Was a joint, or a part without one, looked at on a later day, whether anything was found or not?
    bool looked_at_since(const std::string& joint, const std::string& part, Date day) const;
    /// Joints upstream of one, nearest first; none on a coach that lacks a wall.
    std::vector<std::string> upstream(const std::string& joint) const;
    /// The layer as it stood on a day; nullptr if the joint has none. @param kept  Holds it.
    const Layer* layer_on(const Joint& joint, const std::string& kind, Date day, Layer& kept) const;

private:
    void note_look(const Finding& finding);

    std::map<std::pair<std::string, std::string>, Date> last_look_;  ///< by joint, or "" and part
    mutable std::optional<Drainage> drainage_;  ///< made when first asked for; a survey belongs to one thread
};

/// One finding in its place, and where its checks go.
struct Case {
    const Survey& survey;
    const Finding& finding;
    const Joint* joint;  ///< nullptr for a part that no joint seals
    std::string rule;
    std::vector<Check>& checks;

    double value(const std::string& name) const { return survey.catalogue.number("meaning/" + rule + "/" + name); }
    /// Here.
    void check(const std::string& what, const std::string& because = "") const;
    /// At another joint.
    void check_at(const Joint& other, const std::string& what, const std::string& because = "") const;
};

struct MeaningRule {
    const char* name;
    std::vector<const char*> signs;
    void (*apply)(const Case&);
};
const std::vector<MeaningRule>& meaning_rule_table();

/// Joints on the same surface above a joint, not further than `distance` and under no other column of the wall, nearest first; on level
/// surfaces all that near. By geometry alone.
std::vector<const Joint*> joints_just_above(const Coach& coach, const Joint& joint, double distance);
/// Joints on the same surface not further than `distance`, nearest first.
std::vector<const Joint*> joints_around(const Coach& coach, const Joint& joint, double distance);
/// Does the sun stand on this joint's surface in the middle of the day? Roofs always, walls by the heading of the stay; false if unknown.
bool on_sunny_side(const Coach& coach, const Joint& joint, Date day);

}  // namespace libseal::detail
