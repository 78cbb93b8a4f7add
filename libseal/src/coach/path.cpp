#include "coach/path.hpp"

#include <algorithm>
#include <cmath>

namespace libseal::detail {

Point point_along(const std::vector<Point>& path, double distance) {
    for (std::size_t k = 1; k < path.size(); ++k) {
        const Point &a = path[k - 1], &b = path[k];
        const double leg = std::hypot(b.u - a.u, b.v - a.v);
        if (distance <= leg && leg > 0) {
            const double t = distance / leg;
            return {a.u + t * (b.u - a.u), a.v + t * (b.v - a.v)};
        }
        distance -= leg;
    }
    return path.back();
}

PathBox box_of(const std::vector<Point>& path) {
    PathBox box{path.front(), path.front()};
    for (const Point& p : path) {
        box.low = {std::min(box.low.u, p.u), std::min(box.low.v, p.v)};
        box.high = {std::max(box.high.u, p.u), std::max(box.high.v, p.v)};
    }
    return box;
}

}  // namespace libseal::detail
