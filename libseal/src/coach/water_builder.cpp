#include "coach/water_builder.hpp"

#include <algorithm>
#include <cmath>

#include "coach/wall_span.hpp"
#include "libseal/core/error.hpp"

namespace libseal::detail {
namespace {

const char* const strips[] = {"street", "middle", "curb"};
const char* const levels[] = {"upper", "lower"};

std::string joined(const std::string& a, int cell, const std::string& b) { return a + ":" + std::to_string(cell) + ":" + b; }

}  // namespace

WaterBuilder::WaterBuilder(const Coach& coach, const Catalogue& catalogue) : coach_(coach), catalogue_(catalogue) {
    const double cell = catalogue.number("drainage/cell_m");
    cells_ = std::max(3, static_cast<int>(std::ceil(coach.length / cell)));
    for (const char* name : {"street_wall", "curb_wall", "front_cap", "rear_cap"}) {
        const auto found = std::find_if(coach.surfaces.begin(), coach.surfaces.end(),
                                        [&](const Surface& s) { return s.name == name && s.slide.empty(); });
        if (found == coach.surfaces.end()) continue;
        walls_.push_back({name, found->low, found->high, found->name.ends_with("cap") ? 3 : cells_});
    }
    if (coach.surfaces.empty() || walls_.size() < 2) return;
    // Where the floor steps up towards the front, a bed or cab lies over the overhang.
    const double floor = wall_span(coach, coach.length * 0.75).low;
    const double step = 0.05;
    while (overhang_ < coach.length / 2 && wall_span(coach, overhang_ + step).low > floor + 0.3) overhang_ += step;
    if (overhang_ > 0) overhang_floor_ = wall_span(coach, overhang_ / 2).low;
}

Drainage WaterBuilder::make() {
    if (walls_.size() < 4)
        throw_value_error("coach " + coach_.id, "two side walls and two ends", std::to_string(walls_.size()) + " walls");
    add_roof();
    add_walls();
    add_corners();
    add_floor();
    add_bunk();
    for (const auto& part : coach_.parts)
        if (part.kind == "slide_out") add_slide(part.id);
    add_outside();
    for (const auto& joint : coach_.joints) add_joint(joint);
    return std::move(graph_);
}

int WaterBuilder::place(const std::string& id, const std::string& kind, const std::string& surface, Point at, bool inside,
                        const std::string& slide, const std::string& joint) {
    const int number = static_cast<int>(graph_.places.size());
    graph_.places.push_back({id, kind, joint, surface, slide, at, place_of(coach_, surface, slide, at), inside, ""});
    ids_.emplace(id, number);
    return number;
}

int WaterBuilder::at(const std::string& id) const {
    const auto found = ids_.find(id);
    return found == ids_.end() ? -1 : found->second;
}

void WaterBuilder::link(int from, int to, const std::string& way) {
    if (from < 0 || to < 0) return;
    const std::string base = "drainage/way/" + way;
    graph_.links.push_back({from, to, catalogue_.number(base), catalogue_.word(base + "/words")});
}

void WaterBuilder::link(const std::string& from, const std::string& to, const std::string& way) { link(at(from), at(to), way); }

void WaterBuilder::both(const std::string& a, const std::string& b, const std::string& way) {
    const int from = at(a), to = at(b);
    if (from < 0 || to < 0) return;
    const double rise = graph_.places[static_cast<std::size_t>(to)].place.z - graph_.places[static_cast<std::size_t>(from)].place.z;
    constexpr double level = 0.1;  // [m] up a step, such as that of an overhang, it does not run
    if (rise < level) link(from, to, way);
    if (-rise < level) link(to, from, way);
}

const WaterBuilder::Wall& WaterBuilder::wall(const std::string& name) const {
    return *std::find_if(walls_.begin(), walls_.end(), [&](const Wall& w) { return w.name == name; });
}

int WaterBuilder::cell_of(const Wall& wall, double u) const {
    const double share = (u - wall.low.u) / (wall.high.u - wall.low.u);
    return std::clamp(static_cast<int>(std::floor(share * wall.cells)), 0, wall.cells - 1);
}

const char* WaterBuilder::level_of(const Wall& wall, int cell, double v) const {
    const auto height = [&](const char* level) {
        return graph_.places[static_cast<std::size_t>(at(wall_id("wall_core", wall.name, cell, level)))].at.v;
    };
    return v > (height("upper") + height("lower")) / 2 ? "upper" : "lower";
}

int WaterBuilder::roof_cell(double u) const {
    return std::clamp(static_cast<int>(std::floor(u / coach_.length * cells_)), 0, cells_ - 1);
}

std::string WaterBuilder::strip_of(double v) const {
    const double third = coach_.width / 6;
    return v < -third ? "street" : v > third ? "curb" : "middle";
}

std::string WaterBuilder::wall_id(const std::string& kind, const std::string& wall, int cell, const char* level) const {
    return kind + ":" + wall + ":" + std::to_string(cell) + ":" + level;
}

bool WaterBuilder::in_overhang(const Place& p) const {
    return overhang_ > 0 && p.x < overhang_ && p.z < overhang_floor_ + 0.35;
}

std::string WaterBuilder::floor_at(double x, const std::string& strip) const {
    if (x < overhang_) return "bunk:" + strip;
    // The cell that the step lies in has a floor of its own only if most of it is behind the step.
    int cell = roof_cell(x);
    while (cell + 1 < cells_ && !has(joined("floor", cell, strip))) ++cell;
    return joined("floor", cell, strip);
}

void WaterBuilder::add_roof() {
    const double length = coach_.length / cells_, third = coach_.width / 3;
    for (int i = 0; i < cells_; ++i)
        for (int s = 0; s < 3; ++s) {
            const Point middle{(i + 0.5) * length, (s - 1) * third};
            place(joined("deck", i, strips[s]), "deck", "roof", middle, false);
            place(joined("ceiling", i, strips[s]), "ceiling", "roof", middle, true);
        }
    for (int i = 0; i < cells_; ++i) {
        for (const char* strip : strips) {
            link(joined("deck", i, strip), joined("ceiling", i, strip), "deck_to_ceiling");
            if (i > 0) both(joined("deck", i - 1, strip), joined("deck", i, strip), "along_deck");
        }
        for (const char* side : {"street", "curb"}) {
            link(joined("deck", i, "middle"), joined("deck", i, side), "along_rafter_outwards");
            link(joined("deck", i, side), joined("deck", i, "middle"), "along_rafter_inwards");
        }
    }
}

void WaterBuilder::add_walls() {
    for (const auto& wall : walls_) add_wall(wall);
    for (int i = 0; i < cells_; ++i)
        for (const char* side : {"street", "curb"}) {
            const std::string top = "wall_top:" + std::string(side) + "_wall:" + std::to_string(i);
            link(joined("deck", i, side), top, "deck_to_wall_top");
            link(top, joined("ceiling", i, side), "wall_top_to_ceiling");
        }
    for (const bool front : {true, false})
        for (int s = 0; s < 3; ++s) {
            const std::string top = std::string("wall_top:") + (front ? "front_cap:" : "rear_cap:") + std::to_string(s);
            const int i = front ? 0 : cells_ - 1;
            link(joined("deck", i, strips[s]), top, "deck_to_wall_top");
            link(top, joined("ceiling", i, strips[s]), "wall_top_to_ceiling");
        }
}

void WaterBuilder::add_wall(const Wall& wall) {
    const double width = (wall.high.u - wall.low.u) / wall.cells;
    const auto id = [&](const char* kind, int i) { return std::string(kind) + ":" + wall.name + ":" + std::to_string(i); };
    for (int i = 0; i < wall.cells; ++i) {
        const double u = wall.low.u + (i + 0.5) * width;
        const double x = wall.name == "front_cap" ? 0.05 : wall.name == "rear_cap" ? coach_.length - 0.05 : u;
        const Span span = wall_span(coach_, x);
        place(id("wall_top", i), "wall_top", wall.name, {u, span.high}, false);
        for (int k = 0; k < 2; ++k) {
            const Point middle{u, span.high - (span.high - span.low) * (k == 0 ? 0.25 : 0.75)};
            place(wall_id("wall_core", wall.name, i, levels[k]), "wall_core", wall.name, middle, false);
            place(wall_id("inner_wall", wall.name, i, levels[k]), "inner_wall", wall.name, middle, true);
        }
        place(id("floor_edge", i), "floor_edge", wall.name, {u, span.low}, false);
    }
    for (int i = 0; i < wall.cells; ++i) {
        const std::string upper = wall_id("wall_core", wall.name, i, "upper"), lower = wall_id("wall_core", wall.name, i, "lower");
        link(id("wall_top", i), upper, "wall_top_to_wall");
        link(upper, lower, "down_wall");
        link(lower, id("floor_edge", i), "wall_to_floor_edge");
        for (const char* level : levels)
            link(wall_id("wall_core", wall.name, i, level), wall_id("inner_wall", wall.name, i, level), "wall_to_inside");
        if (i == 0) continue;
        both(id("wall_top", i - 1), id("wall_top", i), "along_wall_top");
        both(id("floor_edge", i - 1), id("floor_edge", i), "along_floor_edge");
        for (const char* level : levels)
            both(wall_id("wall_core", wall.name, i - 1, level), wall_id("wall_core", wall.name, i, level), "along_wall");
    }
}

void WaterBuilder::add_corners() {
    for (const char* side : {"street", "curb"})
        for (const bool front : {true, false}) {
            const std::string wall = std::string(side) + "_wall", end = front ? "front_cap" : "rear_cap";
            const int i = front ? 0 : cells_ - 1, s = std::string(side) == "street" ? 0 : 2;
            const std::string post = std::string("corner_post:") + (front ? "front:" : "rear:") + side;
            const Span span = wall_span(coach_, front ? 0.05 : coach_.length - 0.05);
            place(post, "corner_post", wall, {front ? 0.02 : coach_.length - 0.02, (span.low + span.high) / 2}, false);
            const auto of = [](const std::string& kind, const std::string& w, int c) { return kind + ":" + w + ":" + std::to_string(c); };
            link(of("wall_top", wall, i), post, "wall_top_to_post");
            link(of("wall_top", end, s), post, "wall_top_to_post");
            link(post, of("floor_edge", wall, i), "post_to_floor_edge");
            link(post, of("floor_edge", end, s), "post_to_floor_edge");
            link(post, wall_id("wall_core", wall, i, "lower"), "post_to_wall");
            link(post, wall_id("wall_core", end, s, "lower"), "post_to_wall");
        }
}

void WaterBuilder::add_floor() {
    const double length = coach_.length / cells_, third = coach_.width / 3;
    for (int i = 0; i < cells_; ++i)
        for (int s = 0; s < 3; ++s) {
            // Over an overhang lies the bunk, not the floor.
            if ((i + 0.5) * length < overhang_) continue;
            place(joined("floor", i, strips[s]), "floor", "underside", {(i + 0.5) * length, (s - 1) * third}, true);
        }
    for (int i = 0; i < cells_; ++i)
        for (const char* side : {"street", "curb"}) {
            link("floor_edge:" + std::string(side) + "_wall:" + std::to_string(i), joined("floor", i, side), "floor_edge_to_floor");
            link(joined("floor", i, side), joined("floor", i, "middle"), "across_floor");
        }
    for (int s = 0; s < 3; ++s) {
        link("floor_edge:rear_cap:" + std::to_string(s), joined("floor", cells_ - 1, strips[s]), "floor_edge_to_floor");
        link("floor_edge:front_cap:" + std::to_string(s), joined("floor", 0, strips[s]), "floor_edge_to_floor");
    }
    for (const auto& part : coach_.parts)
        // A hatch of the roof or the underside opens into no compartment of a wall.
        if (part.kind == "baggage_door" && part.slide.empty() && part.surface != "roof" && part.surface != "underside") {
            const std::string id = "compartment:" + part.id;
            const Point middle{(part.low.u + part.high.u) / 2, (part.low.v + part.high.v) / 2};
            place(id, "compartment", part.surface, middle, true);
            link("floor_edge:" + part.surface + ":" + std::to_string(cell_of(wall(part.surface), middle.u)), id, "floor_edge_to_compartment");
            link(wall_id("wall_core", part.surface, cell_of(wall(part.surface), middle.u), "lower"), id, "wall_to_inside");
        }
}

void WaterBuilder::add_bunk() {
    if (overhang_ <= 0) return;
    const double third = coach_.width / 3;
    for (int s = 0; s < 3; ++s) {
        const std::string id = std::string("bunk:") + strips[s];
        place(id, "bunk", "front_cap", {(s - 1) * third, overhang_floor_ + 0.02}, true);
        link("floor_edge:front_cap:" + std::to_string(s), id, "floor_edge_to_floor");
    }
    for (int i = 0; i < cells_; ++i) {
        if ((i + 0.5) * coach_.length / cells_ >= overhang_) continue;
        for (const char* side : {"street", "curb"})
            link("floor_edge:" + std::string(side) + "_wall:" + std::to_string(i), std::string("bunk:") + side, "floor_edge_to_floor");
    }
    both("bunk:street", "bunk:middle", "across_floor");
    both("bunk:middle", "bunk:curb", "across_floor");
}

void WaterBuilder::add_slide(const std::string& slide) {
    const Surface& roof = surface_of(coach_, "slide_roof", slide);
    const Surface& face = surface_of(coach_, "slide_face", slide);
    const Surface& floor = surface_of(coach_, "slide_floor", slide);
    const std::string wall_name = wall_of_slide(coach_, slide);
    const auto id = [&](const char* kind, int cell) { return std::string(kind) + ":" + slide + ":" + std::to_string(cell); };
    const int cells = 3;
    const double width = (face.high.u - face.low.u) / cells, across = (roof.low.v + roof.high.v) / 2;
    for (int i = 0; i < cells; ++i) {
        const double u = face.low.u + (i + 0.5) * width;
        place(id("slide_deck", i), "deck", "slide_roof", {u, across}, false, slide);
        place(id("slide_ceiling", i), "ceiling", "slide_roof", {u, across}, true, slide);
        place(id("slide_wall", i), "wall_core", "slide_face", {u, (face.low.v + face.high.v) / 2}, false, slide);
        place(id("slide_inner_wall", i), "inner_wall", "slide_face", {u, (face.low.v + face.high.v) / 2}, true, slide);
        place(id("slide_floor", i), "floor", "slide_floor", {u, (floor.low.v + floor.high.v) / 2}, true, slide);
        place(id("slide_frame", i), "frame", wall_name, {u, face.high.v}, false);
    }
    for (int i = 0; i < cells; ++i) {
        link(id("slide_deck", i), id("slide_ceiling", i), "deck_to_ceiling");
        link(id("slide_deck", i), id("slide_wall", i), "deck_to_wall_top");
        link(id("slide_wall", i), id("slide_inner_wall", i), "wall_to_inside");
        link(id("slide_wall", i), id("slide_floor", i), "wall_to_floor_edge");
        link(id("slide_frame", i), id("slide_floor", i), "frame_to_slide_floor");
        if (i > 0) {
            both(id("slide_deck", i - 1), id("slide_deck", i), "along_deck");
            both(id("slide_floor", i - 1), id("slide_floor", i), "along_floor_edge");
            both(id("slide_frame", i - 1), id("slide_frame", i), "along_wall_top");
        }
        // Through the opening, to the floor of the coach, or of its overhang, beside it.
        const std::string strip = wall_name == "curb_wall" ? "curb" : "street";
        const std::string main = floor_at(face.low.u + (i + 0.5) * width, strip);
        link(id("slide_frame", i), main, "frame_to_floor");
        link(id("slide_floor", i), main, "slide_floor_to_floor");
    }
}

}  // namespace libseal::detail
