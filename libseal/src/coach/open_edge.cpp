#include "coach/open_edge.hpp"

#include <algorithm>
#include <cmath>

#include "coach/path.hpp"

namespace libseal::detail {
namespace {

constexpr double slack = 0.01;  // [m], measured by hand
constexpr double beside = 0.002;  // lines this near are one [m]
constexpr double foot = 0.02;   // of a moulding, kept open at its end [m]: common practice, 10 to 20 mm

/// On walls v is upwards; roofs and undersides lie flat.
bool stands(const Joint& joint) {
    return joint.surface.ends_with("wall") || joint.surface.ends_with("cap") || joint.surface.ends_with("face") ||
           joint.surface.ends_with("_side");  // of a slide-out; an underside lies flat
}

bool is_closed(const std::vector<Point>& path) {
    return path.size() > 3 && std::hypot(path.front().u - path.back().u, path.front().v - path.back().v) <= slack;
}

/// The first stretch of a path from one end.
std::vector<Point> foot_at(const Point& end, const Point& next) {
    const double whole = std::hypot(next.u - end.u, next.v - end.v), share = whole > foot ? foot / whole : 1.0;
    return {end, {end.u + (next.u - end.u) * share, end.v + (next.v - end.v) * share}};
}

std::vector<std::vector<Point>> feet(const std::vector<Point>& path) {
    return {foot_at(path.front(), path[1]), foot_at(path.back(), path[path.size() - 2])};
}

/// A frame has upright sides, or goes all round; an arch has not.
bool is_frame(const std::vector<Point>& path) {
    if (is_closed(path)) return true;
    const std::size_t n = path.size();
    return n > 2 && std::abs(path[1].u - path[0].u) <= slack && std::abs(path[n - 1].u - path[n - 2].u) <= slack;
}

/// Length over which the stretch c-d lies on the stretch a-b. [m]
double shared_stretch(const Point& a, const Point& b, const Point& c, const Point& d) {
    const double length = std::hypot(b.u - a.u, b.v - a.v);
    if (length < 1e-9) return 0;
    const double tu = (b.u - a.u) / length, tv = (b.v - a.v) / length;
    const auto along = [&](const Point& p) { return (p.u - a.u) * tu + (p.v - a.v) * tv; };
    const auto off = [&](const Point& p) { return std::abs((p.v - a.v) * tu - (p.u - a.u) * tv); };
    if (off(c) > beside || off(d) > beside) return 0;
    return std::max(0.0, std::min(length, std::max(along(c), along(d))) - std::max(0.0, std::min(along(c), along(d))));
}

std::vector<std::vector<Point>> bottom_paths(const Joint& joint) {
    const auto& path = joint.path;
    const PathBox box = box_of(path);
    const bool level = box.high.v - box.low.v <= 3 * slack, upright = box.high.u - box.low.u <= 3 * slack;
    if (!stands(joint)) {
        if (path.size() == 2) return {path};  // the moulding's lower edge runs beside all of it
        if (is_closed(path)) return {{box.low, {box.high.u, box.low.v}}};
        return {{path.front(), path.back()}};  // what it leaves open
    }
    if (level) return {path};
    if (upright) {
        const bool down = path.front().v > path.back().v;
        return {down ? foot_at(path.back(), path[path.size() - 2]) : foot_at(path.front(), path[1])};
    }
    if (is_frame(path)) return {{box.low, {box.high.u, box.low.v}}};
    return feet(path);
}

}  // namespace

std::vector<std::vector<Point>> open_edge_paths(const Joint& joint, const std::string& open_edge) {
    if (joint.path.size() < 2) return {};
    if (open_edge == "all") return {joint.path};
    if (open_edge == "ends") return feet(joint.path);
    if (open_edge == "bottom") return bottom_paths(joint);
    return {};
}

bool runs_along_open_edge(const Joint& joint, const std::string& open_edge) {
    if (joint.path.size() < 2) return false;
    if (open_edge == "all") return true;
    if (open_edge == "ends") return is_closed(joint.path);
    if (open_edge != "bottom") return false;
    if (!stands(joint)) return is_closed(joint.path);
    const PathBox box = box_of(joint.path);
    if (box.high.v - box.low.v <= 3 * slack || !is_frame(joint.path)) return false;
    double along = 0;  // length of the path that lies on the lower edge [m]
    for (std::size_t k = 1; k < joint.path.size(); ++k) {
        const Point &a = joint.path[k - 1], &b = joint.path[k];
        if (std::max(a.v, b.v) <= box.low.v + slack) along += std::abs(b.u - a.u);
    }
    // A bead may turn the corner a little, as far as it has to for its ends.
    return along > 0.1 * (box.high.u - box.low.u);
}

double shared_length(const std::vector<Point>& a, const std::vector<Point>& b) {
    double most = 0;
    for (std::size_t i = 1; i < a.size(); ++i)
        for (std::size_t k = 1; k < b.size(); ++k) most = std::max(most, shared_stretch(a[i - 1], a[i], b[k - 1], b[k]));
    return most;
}

}  // namespace libseal::detail
