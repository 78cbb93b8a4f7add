#include "libseal/survey/segments.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "coach/path.hpp"

namespace libseal {
namespace {

constexpr double longest_run = 1.0;    // [m]
constexpr double corner_reach = 0.05;  // each way from a corner, and an end [m]
constexpr double straight = 0.02;      // a path that strays less is straight [m]
constexpr double same = 1e-6;          // closer points are one [m]

double apart(const Point& a, const Point& b) { return std::hypot(b.u - a.u, b.v - a.v); }

/// Names of the low and high ends of both axes of a surface.
struct Axes {
    std::string u_low, u_high, v_low, v_high;
};

Axes axes_of(const std::string& surface) {
    if (surface == "front_cap" || surface == "rear_cap") return {"street", "curb", "bottom", "top"};
    if (surface == "slide_front_side" || surface == "slide_rear_side") return {"inner", "outer", "bottom", "top"};
    if (surface == "roof" || surface == "underside" || surface == "slide_roof" || surface == "slide_floor")
        return {"front", "rear", "street", "curb"};
    return {"front", "rear", "bottom", "top"};
}

void add_runs(const Joint& joint, double drawn, std::vector<JointSegment>& segments) {
    const double length = joint.length > 0 ? joint.length : drawn;
    const int count = std::max(1, static_cast<int>(std::ceil(length / longest_run - same)));
    for (int i = 0; i < count; ++i)
        segments.push_back({std::to_string(i + 1), length / count, detail::point_along(joint.path, drawn * (i + 0.5) / count)});
}

void add_ends(const Joint& joint, const detail::PathBox& box, std::vector<JointSegment>& segments) {
    const Axes axes = axes_of(joint.surface);
    const bool lies = box.high.u - box.low.u >= box.high.v - box.low.v;
    const Point &first = joint.path.front(), &last = joint.path.back();
    const bool rising = lies ? first.u <= last.u : first.v <= last.v;
    segments.push_back({lies ? axes.u_low : axes.v_low, corner_reach, rising ? first : last});
    segments.push_back({lies ? axes.u_high : axes.v_high, corner_reach, rising ? last : first});
}

bool stands_at(const std::vector<Point>& path, const Point& corner) {
    return std::any_of(path.begin(), path.end(), [&](const Point& p) { return apart(p, corner) < straight; });
}

/// Each leg of the path belongs to the side of the box that its middle is nearest to. A side that the bead leaves open for
/// water to leave is a side of the frame too.
void add_sides(const Joint& joint, const detail::PathBox& box, std::vector<JointSegment>& segments) {
    const Axes axes = axes_of(joint.surface);
    const std::array<std::string, 4> names{axes.u_low, axes.u_high, axes.v_low, axes.v_high};
    std::array<double, 4> length{}, u{}, v{};
    for (std::size_t k = 1; k < joint.path.size(); ++k) {
        const Point &a = joint.path[k - 1], &b = joint.path[k];
        const Point middle{(a.u + b.u) / 2, (a.v + b.v) / 2};
        const std::array<double, 4> off{middle.u - box.low.u, box.high.u - middle.u, middle.v - box.low.v, box.high.v - middle.v};
        const auto side = static_cast<std::size_t>(std::min_element(off.begin(), off.end()) - off.begin());
        const double leg = apart(a, b);
        length[side] += leg;
        u[side] += leg * middle.u;
        v[side] += leg * middle.v;
    }
    const std::array<std::pair<Point, Point>, 4> edges{{{box.low, {box.low.u, box.high.v}},
                                                        {{box.high.u, box.low.v}, box.high},
                                                        {box.low, {box.high.u, box.low.v}},
                                                        {{box.low.u, box.high.v}, box.high}}};
    for (std::size_t side = 0; side < 4; ++side) {
        const auto& [a, b] = edges[side];
        if (length[side] > same) segments.push_back({names[side], length[side], {u[side] / length[side], v[side] / length[side]}});
        else if (stands_at(joint.path, a) && stands_at(joint.path, b))
            segments.push_back({names[side], apart(a, b), {(a.u + b.u) / 2, (a.v + b.v) / 2}});
    }
}

void add_corners(const Joint& joint, const detail::PathBox& box, std::vector<JointSegment>& segments) {
    const Axes axes = axes_of(joint.surface);
    for (const bool far : {false, true})
        for (const bool high : {false, true}) {
            const Point corner{far ? box.high.u : box.low.u, high ? box.high.v : box.low.v};
            if (!stands_at(joint.path, corner)) continue;
            segments.push_back({"corner_" + (far ? axes.u_high : axes.u_low) + "_" + (high ? axes.v_high : axes.v_low), 2 * corner_reach, corner});
        }
}

}  // namespace

std::vector<JointSegment> segments_of(const Joint& joint) {
    std::vector<JointSegment> segments;
    if (joint.path.empty()) return segments;
    add_runs(joint, path_length(joint.path), segments);
    const detail::PathBox box = detail::box_of(joint.path);
    if (std::min(box.high.u - box.low.u, box.high.v - box.low.v) < straight) {
        add_ends(joint, box, segments);
    } else {
        add_sides(joint, box, segments);
        add_corners(joint, box, segments);
    }
    return segments;
}

}  // namespace libseal
