#include "forecast/look_route.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace libseal::detail {
namespace {

enum Side { curb, rear, street, front };  // in walking order
constexpr double reach = 0.5;  // [m] that a person on the ladder can look at without stepping on the roof; judgement

struct Spot {
    double x;
    double y;
};

double distance(Spot a, Spot b) { return std::hypot(a.x - b.x, a.y - b.y); }

/// Middle of a joint in space. Beside a slide-out the shell's joints carry the slide's id too.
Place middle_place(const Coach& coach, const Joint& joint) {
    const bool on_slide = joint.surface.starts_with("slide_");
    return place_of(coach, joint.surface, on_slide ? joint.slide : "", middle_of(joint));
}

/// Foot of the ladder on the roof; without one the shop's own ladder stands at the rear.
Spot ladder_of(const Coach& coach) {
    Spot sum{0, 0};
    int feet = 0;
    for (const Joint& joint : coach.joints) {
        if (joint.type != "ladder_roof_foot" || joint.surface != "roof") continue;
        const Place at = middle_place(coach, joint);
        sum = {sum.x + at.x, sum.y + at.y};
        ++feet;
    }
    return feet > 0 ? Spot{sum.x / feet, sum.y / feet} : Spot{coach.length, 0};
}

Side side_of(const Coach& coach, const Joint& joint, const Place& at) {
    if (joint.surface == "rear_cap") return rear;
    if (joint.surface == "front_cap") return front;
    if (joint.surface == "underside") return at.y >= 0 ? curb : street;
    const std::string& wall = joint.surface.starts_with("slide_") ? wall_of_slide(coach, joint.slide) : joint.surface;
    return wall == "curb_wall" ? curb : street;
}

/// The roof is walked in three parts, each towards the ladder: its far end, its near end, what the ladder reaches.
void place_on_roof(const Coach& coach, WayPoint& point) {
    const Spot ladder = ladder_of(coach);
    const double away = std::abs(point.at.x - ladder.x);
    const bool far_is_front = ladder.x >= coach.length - ladder.x;
    const bool at_far_end = (point.at.x < ladder.x) == far_is_front;
    point.part = away <= reach ? 2 : at_far_end ? 0 : 1;
    point.along = -away;
}

/// Corner at the end of a side.
Spot corner(const Coach& coach, int side) {
    const double half = coach.width / 2;
    return {side == curb || side == rear ? coach.length : 0.0, side == curb || side == front ? half : -half};
}

/// From one point on to another, round the corners between them.
double round_the_corners(const Coach& coach, Spot from, int from_side, Spot to, int to_side) {
    double sum = 0;
    for (int side = from_side; side != to_side; side = (side + 1) % 4) {
        const Spot next = corner(coach, side);
        sum += distance(from, next);
        from = next;
    }
    return sum + distance(from, to);
}

/// Where one stands to look: beside the shell or the slide-out, not under or above it.
Spot standing(const Coach& coach, const WayPoint& point) {
    const double half = coach.width / 2;
    if (point.roof) return {point.at.x, std::clamp(point.at.y, -half, half)};
    if (point.part == curb) return {point.at.x, std::max(point.at.y, half)};
    if (point.part == street) return {point.at.x, std::min(point.at.y, -half)};
    return {point.at.x, point.at.y};
}

}  // namespace

bool is_on_roof(const Joint& joint) { return joint.surface == "roof" || joint.surface == "slide_roof"; }

WayPoint way_point(const Coach& coach, const Joint& joint) {
    WayPoint point{joint.id, is_on_roof(joint), 0, 0, middle_place(coach, joint)};
    if (point.roof) {
        place_on_roof(coach, point);
        return point;
    }
    const Side side = side_of(coach, joint, point.at);
    point.part = side;
    point.along = side == curb ? point.at.x : side == rear ? -point.at.y : side == street ? -point.at.x : point.at.y;
    return point;
}

bool comes_before(const WayPoint& a, const WayPoint& b) {
    const auto key = [](const WayPoint& p) { return std::make_tuple(p.roof, p.part, p.along, -p.at.z); };
    return key(a) != key(b) ? key(a) < key(b) : a.joint < b.joint;
}

double ground_walk(const Coach& coach, const std::vector<WayPoint>& way) {
    if (way.empty()) return 0;
    double out = 0;
    for (std::size_t i = 1; i < way.size(); ++i)
        out += round_the_corners(coach, standing(coach, way[i - 1]), way[i - 1].part, standing(coach, way[i]), way[i].part);
    const WayPoint &first = way.front(), &last = way.back();
    if (first.part == last.part) return 2 * out;  // on one side: back the same way
    return out + std::min(out, round_the_corners(coach, standing(coach, last), last.part, standing(coach, first), first.part));
}

double roof_walk(const Coach& coach, const std::vector<WayPoint>& way) {
    if (way.empty()) return 0;
    const Spot ladder = ladder_of(coach);
    double sum = 0;
    Spot here = ladder;
    for (const WayPoint& point : way) {
        const Spot next = standing(coach, point);
        sum += distance(here, next);
        here = next;
    }
    return sum + distance(here, ladder);
}

}  // namespace libseal::detail
