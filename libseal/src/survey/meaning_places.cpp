// Where the rules of meaning look: above, around, on the sunny side.

#include <algorithm>
#include <cmath>

#include "survey/meaning_case.hpp"

namespace libseal::detail {
namespace {

constexpr double touch = 0.02;  // closer than this, two joints meet [m]

struct Box {
    Point low, high;
};

Box box_of(const Joint& joint) {
    Box box{joint.path.front(), joint.path.front()};
    for (const Point& p : joint.path) {
        box.low = {std::min(box.low.u, p.u), std::min(box.low.v, p.v)};
        box.high = {std::max(box.high.u, p.u), std::max(box.high.v, p.v)};
    }
    return box;
}

double between(double low_a, double high_a, double low_b, double high_b) {
    return std::max({0.0, low_a - high_b, low_b - high_a});
}

double gap_of(const Box& a, const Box& b) {
    return std::hypot(between(a.low.u, a.high.u, b.low.u, b.high.u), between(a.low.v, a.high.v, b.low.v, b.high.v));
}

bool is_upright(const std::string& surface) {
    return surface != "roof" && surface != "underside" && surface != "slide_roof" && surface != "slide_floor";
}

bool same_surface(const Joint& a, const Joint& b) { return a.surface == b.surface && a.slide == b.slide && a.id != b.id; }

/// Joints that `wanted` gives a distance, nearest first, ties by id.
template <class Distance>
std::vector<const Joint*> nearest_first(const Coach& coach, const Joint& joint, double farthest, const Distance& distance) {
    std::vector<std::pair<double, const Joint*>> found;
    if (joint.path.empty()) return {};
    const Box here = box_of(joint);
    for (const auto& other : coach.joints) {
        if (!same_surface(joint, other) || other.path.empty()) continue;
        const double off = distance(here, box_of(other));
        if (off <= farthest) found.emplace_back(off, &other);
    }
    std::sort(found.begin(), found.end(), [](const auto& a, const auto& b) {
        return a.first != b.first ? a.first < b.first : a.second->id < b.second->id;
    });
    std::vector<const Joint*> joints;
    for (const auto& [off, other] : found) joints.push_back(other);
    return joints;
}

}  // namespace

std::vector<const Joint*> joints_just_above(const Coach& coach, const Joint& joint, double distance) {
    if (!is_upright(joint.surface)) return joints_around(coach, joint, distance);
    return nearest_first(coach, joint, distance, [&](const Box& here, const Box& other) {
        const bool over = between(here.low.u, here.high.u, other.low.u, other.high.u) <= touch;
        const bool higher =
            other.low.v >= here.high.v - touch && other.low.v + other.high.v > here.low.v + here.high.v + touch;
        return over && higher ? std::max(0.0, other.low.v - here.high.v) : distance + 1;
    });
}

std::vector<const Joint*> joints_around(const Coach& coach, const Joint& joint, double distance) {
    return nearest_first(coach, joint, distance, [](const Box& here, const Box& other) { return gap_of(here, other); });
}

bool on_sunny_side(const Coach& coach, const Joint& joint, Date day) {
    if (joint.surface == "roof" || joint.surface == "slide_roof") return true;
    const auto stay =
        std::find_if(coach.stays.begin(), coach.stays.end(), [&](const Stay& s) { return s.from <= day && day < s.to; });
    if (stay == coach.stays.end() || !std::isfinite(stay->heading)) return false;
    std::string wall = joint.surface;
    if (!joint.slide.empty())
        for (const auto& part : coach.parts)
            if (part.id == joint.slide && joint.surface == "slide_face") wall = part.surface;
    double turn = 0;  // from the heading of the front [deg]
    if (wall == "curb_wall")
        turn = 90;
    else if (wall == "street_wall")
        turn = -90;
    else if (wall == "rear_cap" || wall == "slide_rear_side")
        turn = 180;
    else if (wall != "front_cap" && wall != "slide_front_side")
        return false;
    const bool south = std::isfinite(stay->latitude) && stay->latitude < 0;
    const double noon =
        south ? 0 : 180;  // azimuth of the sun at its highest; a stay known by a station alone counts as northern
    const double off = std::remainder(stay->heading + turn - noon, 360.0);
    return std::abs(off) < 90;
}

}  // namespace libseal::detail
