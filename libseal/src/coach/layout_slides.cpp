// Slide-outs: boxes that move through a side wall.

#include <algorithm>

#include "coach/layout_maker.hpp"
#include "libseal/core/error.hpp"

namespace libseal::detail {

void LayoutMaker::add_slides(const SlideRow& row) {
    double from = row.from;
    for (int i = 0; i < row.count; ++i) {
        const double room = (row.to - from) / (row.count - i) - 0.15;
        const double width = std::min({3.7, row.share * length, room});
        if (width < 1.0) throw_value_error(row.argument, "no more than fits on the " + row.wall, std::to_string(row.count));
        add_slide(row, "slide_" + std::to_string(++slides_), from, width, i == 0 ? row.depth : 0.60);
        from += width + 0.15;
    }
}

int LayoutMaker::slides_on(const std::string& wall) const {
    return static_cast<int>(std::count_if(coach_.parts.begin(), coach_.parts.end(),
                                          [&](const Part& p) { return p.kind == "slide_out" && p.surface == wall; }));
}

void LayoutMaker::add_slide(const SlideRow& row, const std::string& id, double u, double width, double depth) {
    // The box stays below the roof edge.
    const double high = top - 0.12, side = row.wall == "curb_wall" ? 1 : -1, outer = side * (half + depth);
    const std::string &ws = o.wall_substrate, &wf = o.wall_finish;
    const Point low_v{u, std::min(side * half, outer)}, high_v{u + width, std::max(side * half, outer)};
    build_.part_at({id, "slide_out", row.wall, "", {u, row.low}, {u + width, high}, "slide-out " + id.substr(6), "out"});
    build_.surface("slide_roof", low_v, high_v, o.roof_substrate, o.roof_finish, id);
    build_.surface("slide_face", {u, row.low}, {u + width, high}, ws, wf, id);
    build_.surface("slide_front_side", {0, row.low}, {depth, high}, ws, wf, id);
    build_.surface("slide_rear_side", {0, row.low}, {depth, high}, ws, wf, id);
    build_.surface("slide_floor", low_v, high_v, "plywood", "black_plastic", id);
    add_slide_joints(row, id, u, width, outer);
}

void LayoutMaker::add_slide_joints(const SlideRow& row, const std::string& id, double u, double width, double outer) {
    const double low = row.low, high = top - 0.12, inner = outer > 0 ? half : -half, edge = outer - (outer > 0 ? 0.02 : -0.02);
    const std::string& ws = o.wall_substrate;
    const std::vector<Point> frame{{u, low}, {u, high}, {u + width, high}, {u + width, low}};
    const std::vector<Point> ring{{u, low}, {u, high}, {u + width, high}, {u + width, low}, {u, low}};
    const std::vector<Point> box{{u + 0.02, inner}, {u + 0.02, edge}, {u + width - 0.02, edge}, {u + width - 0.02, inner}};
    build_.joint(id + "_flange", "slide_opening_flange", row.wall, frame, {"mill_aluminium", ws}, 0, "", id);
    build_.joint(id + "_bulb_seal", "slide_bulb_seal", row.wall, ring, {"mill_aluminium", ws}, 0, "", id);
    build_.joint(id + "_wiper_seal", "slide_wiper_seal", row.wall, frame, {"mill_aluminium", ws}, 0, "", id);
    build_.joint(id + "_roof_seam", "slide_roof_seam", "slide_roof", box, {"mill_aluminium", o.roof_substrate}, 0, id, id);
    for (const bool front : {true, false}) {
        const double at = front ? u + 0.02 : u + width - 0.02;
        build_.joint(id + (front ? "_corner_front" : "_corner_rear"), "slide_corner_moulding", "slide_face", {{at, low}, {at, high}},
                     {"mill_aluminium", ws}, 2 * (high - low), id, id);
    }
    build_.joint(id + "_floor_edge", "slide_floor_edge", "slide_floor", box, {"plywood", "pvc"}, 0, id, id);
    if (!o.slide_awnings) return;
    const double v = high + 0.055;
    build_.part_at({id + "_awning", "slide_awning", row.wall, "", {u, v - 0.015}, {u + width, v + 0.015}, "awning of slide-out " + id.substr(6), ""});
    build_.joint(id + "_awning_rail", "slide_awning_rail", row.wall, {{u, v}, {u + width, v}}, {"mill_aluminium", ws}, 0, "", id + "_awning");
}

/// A slide-out takes the place of a window, so it carries one.
void LayoutMaker::add_slide_window(const std::string& slide) {
    const Surface face = surface_of(coach_, "slide_face", slide);
    const std::string number = std::to_string(++windows_);
    const double height = std::min(0.56, face.high.v - face.low.v - 0.20);
    const double middle = std::clamp(floor + 0.62 * o.wall_height, face.low.v + height / 2, face.high.v - height / 2);
    const Wanted wanted{"window_" + number, "window", "slide_face", {(face.low.u + face.high.u) / 2, middle}, 0.76, height,
                        "window " + number, "windows", 0.2, slide};
    build_.round(build_.part(wanted), "window_frame", {"painted_aluminium", o.wall_substrate});
}

void LayoutMaker::add_side_windows(const std::string& wall, int count, bool with_exit) {
    const int on_slides = std::min(slides_on(wall), count);
    std::vector<std::string> slides;
    for (const auto& part : coach_.parts)
        if (part.kind == "slide_out" && part.surface == wall) slides.push_back(part.id);
    for (int i = 0; i < on_slides; ++i) add_slide_window(slides[static_cast<std::size_t>(i)]);
    add_windows(wall, count - on_slides, with_exit);
}

}  // namespace libseal::detail
