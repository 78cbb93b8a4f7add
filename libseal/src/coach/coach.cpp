#include "libseal/coach/coach.hpp"

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

template <class Items>
const auto& item_of(const Items& items, std::string_view id, const char* what) {
    for (const auto& item : items)
        if (item.id == id) return item;
    std::vector<std::string> ids;
    for (const auto& item : items) ids.push_back(item.id);
    const std::string near = nearest_name(id, ids);
    throw_value_error(what, "the id of one of " + std::to_string(items.size()) + " known", "\"" + std::string(id) + "\"",
                      near.empty() ? "" : "did you mean \"" + near + "\"?");
}

}  // namespace

const Joint& joint_of(const Coach& coach, std::string_view id) { return item_of(coach.joints, id, "joint"); }
const Coach& coach_of(const Fleet& fleet, std::string_view id) { return item_of(fleet.coaches, id, "coach"); }

const Surface& surface_of(const Coach& coach, std::string_view surface, std::string_view slide) {
    for (const auto& candidate : coach.surfaces)
        if (candidate.name == surface && candidate.slide == slide) return candidate;
    std::vector<std::string> names;
    for (const auto& candidate : coach.surfaces) names.push_back(candidate.name);
    const std::string near = nearest_name(surface, names);
    throw_value_error("surface", "a surface of coach \"" + coach.id + "\"",
                      "\"" + std::string(surface) + "\"" + (slide.empty() ? "" : " of slide-out \"" + std::string(slide) + "\""),
                      near.empty() || near == surface ? "" : "did you mean \"" + near + "\"?");
}

}  // namespace libseal
