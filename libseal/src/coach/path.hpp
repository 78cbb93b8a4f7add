#pragma once
// Places on and around the path of a joint.

#include <vector>

#include "libseal/coach/joint.hpp"

namespace libseal::detail {

/// Point at a distance along a path; its end beyond it. @param path  At least one point.
Point point_along(const std::vector<Point>& path, double distance);

struct PathBox {
    Point low, high;
};
/// Smallest rectangle round a path. @param path  At least one point.
PathBox box_of(const std::vector<Point>& path);

}  // namespace libseal::detail
