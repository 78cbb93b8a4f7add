#include "work/areas.hpp"

#include <algorithm>
#include <cmath>

namespace libseal::detail {
namespace {

constexpr double touch = 0.02;  ///< closer than this, two joints meet [m]

int height_class(const std::string& surface) {
    if (surface == "roof") return 0;
    if (surface == "slide_roof") return 1;
    if (surface == "underside" || surface == "slide_floor") return 3;
    return 2;
}

/// Height of a level surface: a slide's roof is as high as its face.
double level_height(const Coach& coach, const Joint& joint) {
    if (joint.surface == "roof") return coach.roof_height;
    if (joint.surface == "underside") return coach.floor_height;
    for (const Surface& surface : coach.surfaces)
        if (surface.slide == joint.slide && surface.name == "slide_face")
            return joint.surface == "slide_roof" ? surface.high.v : surface.low.v;
    return joint.surface == "slide_roof" ? coach.roof_height : coach.floor_height;
}

}  // namespace

JointPlace place_of(const Coach& coach, const Joint& joint) {
    JointPlace place;
    place.joint = &joint;
    // A joint of the shell beside a slide-out carries the slide's id but drains as part of its wall.
    const bool on_slide = joint.surface.compare(0, 6, "slide_") == 0;
    place.area = joint.surface + (on_slide && !joint.slide.empty() ? " of " + joint.slide : "");
    place.height_class = height_class(joint.surface);
    if (joint.path.empty()) return place;
    place.u_low = place.u_high = joint.path.front().u;
    place.z_low = place.z_high = joint.path.front().v;
    for (const Point& point : joint.path) {
        place.u_low = std::min(place.u_low, point.u);
        place.u_high = std::max(place.u_high, point.u);
        place.z_low = std::min(place.z_low, point.v);
        place.z_high = std::max(place.z_high, point.v);
    }
    if (place.height_class != 2) place.z_low = place.z_high = level_height(coach, joint);
    return place;
}

bool runs_over(const JointPlace& upper, const JointPlace& lower) {
    if (upper.area != lower.area || upper.height_class != 2) return false;
    const bool overlap = std::max(upper.u_low, lower.u_low) <= std::min(upper.u_high, lower.u_high) + touch;
    const bool above = upper.z_low >= lower.z_high - touch &&
                       upper.z_low + upper.z_high > lower.z_low + lower.z_high + touch;
    return overlap && above;
}

bool area_over(const JointPlace& upper, const JointPlace& lower) {
    if (upper.area == lower.area || upper.height_class >= lower.height_class) return false;
    if (upper.height_class == 0) return true;
    if (upper.height_class == 1) return upper.joint->slide == lower.joint->slide;
    return true;  // upright surfaces over what lies below them
}

double way_to_ladder(const Coach& coach, const JointPlace& place) {
    double ladder = coach.length;  // without one on the coach, the shop's own ladder stands at the rear
    for (const Joint& joint : coach.joints)
        if (joint.type == "ladder_roof_foot" && joint.surface == "roof" && !joint.path.empty())
            ladder = joint.path.front().u;
    if (place.u_low <= ladder && ladder <= place.u_high) return 0;
    return std::min(std::abs(place.u_low - ladder), std::abs(place.u_high - ladder));
}

}  // namespace libseal::detail
