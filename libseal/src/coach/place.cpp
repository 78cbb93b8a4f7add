#include "libseal/coach/place.hpp"

#include <algorithm>
#include <cmath>

#include "coach/path.hpp"
#include "coach/wall_span.hpp"
#include "libseal/core/error.hpp"

namespace libseal {
namespace detail {

Span wall_span(const Coach& coach, double x) {
    const Surface& wall = surface_of(coach, "street_wall", "");
    if (wall.outline.empty()) return {wall.low.v, wall.high.v};
    Span span{wall.high.v, wall.low.v};
    for (std::size_t i = 0; i < wall.outline.size(); ++i) {
        const Point &a = wall.outline[i], &b = wall.outline[(i + 1) % wall.outline.size()];
        constexpr double slack = 1e-9;
        const double run = b.u - a.u;
        const bool upright = std::abs(run) < slack;  // the level edges at its ends say all
        if (upright || x < std::min(a.u, b.u) - slack || x > std::max(a.u, b.u) + slack) continue;
        const double v = a.v + (b.v - a.v) * (x - a.u) / run;
        span = {std::min(span.low, v), std::max(span.high, v)};
    }
    return span;
}

}  // namespace detail

namespace {

Place place_on_slide(const Coach& coach, const Surface& on, Point p) {
    const double side = wall_of_slide(coach, on.slide) == "curb_wall" ? 1.0 : -1.0, half = coach.width / 2;
    const Surface& face = surface_of(coach, "slide_face", on.slide);
    if (on.name == "slide_roof") return {p.u, p.v, face.high.v};
    if (on.name == "slide_floor") return {p.u, p.v, face.low.v};
    if (on.name == "slide_front_side") return {face.low.u, side * (half + p.u), p.v};
    if (on.name == "slide_rear_side") return {face.high.u, side * (half + p.u), p.v};
    const Surface& roof = surface_of(coach, "slide_roof", on.slide);
    return {p.u, side > 0 ? roof.high.v : roof.low.v, p.v};
}

}  // namespace

const std::string& wall_of_slide(const Coach& coach, std::string_view slide) {
    for (const auto& part : coach.parts)
        if (part.id == slide && part.kind == "slide_out") return part.surface;
    throw_value_error("slide", "the id of a slide-out of coach " + coach.id, "\"" + std::string(slide) + "\"");
}

Place place_of(const Coach& coach, const std::string& surface, const std::string& slide, Point p) {
    const Surface& on = surface_of(coach, surface, slide);
    const double half = coach.width / 2;
    if (!slide.empty()) return place_on_slide(coach, on, p);
    if (surface == "roof") return {p.u, p.v, detail::wall_span(coach, p.u).high};
    if (surface == "underside") return {p.u, p.v, detail::wall_span(coach, p.u).low};
    if (surface == "front_cap") return {0, p.u, p.v};
    if (surface == "rear_cap") return {coach.length, p.u, p.v};
    return {p.u, surface == "curb_wall" ? half : -half, p.v};
}

Point middle_of(const Joint& joint) {
    return joint.path.empty() ? Point{} : detail::point_along(joint.path, path_length(joint.path) / 2);
}

}  // namespace libseal
