#include "libseal/coach/coach.hpp"

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

template <class Items>
const auto& item_of(const Items& items, const std::string& id, const char* what) {
    for (const auto& item : items)
        if (item.id == id) return item;
    std::vector<std::string> ids;
    for (const auto& item : items) ids.push_back(item.id);
    const std::string near = nearest_name(id, ids);
    throw_value_error(what, "the id of one of " + std::to_string(items.size()) + " known", "\"" + id + "\"",
                      near.empty() ? "" : "did you mean \"" + near + "\"?");
}

}  // namespace

const Joint& joint_of(const Coach& coach, const std::string& id) { return item_of(coach.joints, id, "joint"); }
const Coach& coach_of(const Fleet& fleet, const std::string& id) { return item_of(fleet.coaches, id, "coach"); }

const Surface& surface_of(const Coach& coach, const std::string& surface, const std::string& slide) {
    for (const auto& candidate : coach.surfaces)
        if (candidate.name == surface && candidate.slide == slide) return candidate;
    std::vector<std::string> names;
    for (const auto& candidate : coach.surfaces) names.push_back(candidate.name);
    const std::string near = nearest_name(surface, names);
    throw_value_error("surface", "a surface of coach \"" + coach.id + "\"",
                      "\"" + surface + "\"" + (slide.empty() ? "" : " of slide-out \"" + slide + "\""),
                      near.empty() || near == surface ? "" : "did you mean \"" + near + "\"?");
}

}  // namespace libseal
