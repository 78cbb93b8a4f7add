#include "coach/check.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "coach/open_edge.hpp"
#include "core/problem.hpp"
#include "libseal/catalogue/joint_type.hpp"
#include "libseal/core/limits.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

/// Names of a catalogue, listed once: see Catalogue::derived.
struct Known {
    explicit Known(const Catalogue& catalogue)
        : families(catalogue.names("sealant")),
          substrates(catalogue.names("substrate")),
          finishes(catalogue.names("finish")),
          types(joint_type_names(catalogue)) {}
    std::vector<std::string> families, substrates, finishes, types;
};

/// Where in a coach, put into words only for a problem. Refers to what it stands in.
class Field {
public:
    Field(const char* name) : name_(name) {}
    Field(const char* name, std::size_t index) : name_(name), index_(static_cast<std::ptrdiff_t>(index)) {}
    Field(const Field& above, const char* name) : above_(&above), name_(name) {}
    Field(const Field& above, const char* name, std::size_t index)
        : above_(&above), name_(name), index_(static_cast<std::ptrdiff_t>(index)) {}

    std::string text() const {
        std::string words = above_ ? above_->text() + "." + name_ : name_;
        if (index_ >= 0) words += "[" + std::to_string(index_) + "]";
        return words;
    }

private:
    const Field* above_ = nullptr;
    const char* name_;
    std::ptrdiff_t index_ = -1;
};

class Checker {
public:
    Checker(const Coach& coach, const Catalogue& catalogue) : coach_(coach), catalogue_(catalogue), known_(catalogue.derived<Known>()) {}

    std::vector<Problem> run() {
        try {
            check_all();
        } catch (const Enough&) {
        }
        return std::move(problems_);
    }

private:
    struct Enough {};  ///< nobody reads more problems

    void check_all() {
        check_measures();
        check_counts();
        check_surfaces();
        check_parts();
        std::set<std::string_view> ids;
        for (std::size_t i = 0; i < coach_.joints.size(); ++i) {
            const Field field("joints", i);
            check_id(coach_.joints[i].id, ids, field);
            check_joint(coach_.joints[i], field);
        }
        tell_undated();
        for (auto& problem : open_edge_problems(coach_, catalogue_)) take(std::move(problem));
        check_stays();
    }

    void take(Problem problem) {
        problems_.push_back(std::move(problem));
        if (problems_.size() == limits::problems) throw Enough();
    }
    void add(const Field& field, const std::string& expected, const std::string& got, const std::string& hint = "") {
        take(field_problem(field.text(), expected, got, hint));
    }

    /// Too many of something end the check: what follows takes the product of two of these counts.
    void check_count(std::size_t count, std::size_t most, const Field& field) {
        if (count <= most) return;
        add(field, "at most " + std::to_string(most), std::to_string(count), "is something doubled?");
        throw Enough();
    }

    void check_counts() {
        check_count(coach_.surfaces.size(), limits::coach_surfaces, "surfaces");
        check_count(coach_.parts.size(), limits::coach_parts, "parts");
        check_count(coach_.joints.size(), limits::coach_joints, "joints");
        check_count(coach_.stays.size(), limits::coach_stays, "stays");
        for (std::size_t i = 0; i < coach_.surfaces.size(); ++i)
            check_count(coach_.surfaces[i].outline.size(), limits::joint_points, Field(Field("surfaces", i), "outline_m"));
        for (std::size_t i = 0; i < coach_.joints.size(); ++i)
            check_count(coach_.joints[i].path.size(), limits::joint_points, Field(Field("joints", i), "path_m"));
    }

    void check_name(const std::string& name, const std::vector<std::string>& known, const Field& field) {
        if (std::find(known.begin(), known.end(), name) != known.end()) return;
        std::string list;
        for (const auto& one : known) list += (list.empty() ? "" : ", ") + one;
        const std::string near = nearest_name(name, known);
        add(field, "one of " + list, "\"" + name + "\"", near.empty() ? "" : "did you mean \"" + near + "\"?");
    }

    void check_id(const std::string& id, std::set<std::string_view>& ids, const Field& field) {
        if (id.empty()) add(Field(field, "id"), "an id", "\"\"");
        else if (id.size() > limits::name_octets)
            add(Field(field, "id"), "an id of at most " + std::to_string(limits::name_octets) + " octets", std::to_string(id.size()), "shorten it");
        else if (!ids.insert(id).second) add(Field(field, "id"), "an id that no other has", "\"" + id + "\"");
    }

    void check_size(double value, double low, double high, const Field& field) {
        if (!(value >= low && value <= high))  // also catches NaN
            add(field, "a length from " + number_text(low) + " m to " + number_text(high) + " m", number_text(value) + " m");
    }

    void check_measures() {
        if (coach_.id.empty()) add("id", "an id", "\"\"");
        if (coach_.id.size() > limits::name_octets)
            add("id", "an id of at most " + std::to_string(limits::name_octets) + " octets", std::to_string(coach_.id.size()), "shorten it");
        check_name(coach_.kind, coach_kinds(), "kind");
        if (coach_.model_year != 0 && (coach_.model_year < 1920 || coach_.model_year > 2200))
            add("model_year", "a year from 1920 to 2200, or none", std::to_string(coach_.model_year));
        check_size(coach_.length, 1, 25, "length_m");
        check_size(coach_.width, 1, 4, "width_m");
        check_size(coach_.floor_height, 0, 3, "floor_height_m");
        check_size(coach_.roof_height, 0.5, 6, "roof_height_m");
        if (coach_.roof_height <= coach_.floor_height)
            add("roof_height_m", "more than the floor height", number_text(coach_.roof_height) + " m");
    }

    void check_surfaces() {
        std::set<std::string> seen;
        for (std::size_t i = 0; i < coach_.surfaces.size(); ++i) {
            const Surface& surface = coach_.surfaces[i];
            const Field field("surfaces", i);
            check_name(surface.name, surface_names(), Field(field, "name"));
            check_name(surface.substrate, known_.substrates, Field(field, "substrate"));
            check_name(surface.finish, known_.finishes, Field(field, "finish"));
            if (surface.name.starts_with("slide_") == surface.slide.empty())
                add(Field(field, "slide"), surface.slide.empty() ? "the id of a slide-out" : "no slide-out for a surface of the shell",
                    "\"" + surface.slide + "\"");
            if (!seen.insert(surface.name + "/" + surface.slide).second)
                add(Field(field, "name"), "a surface that stands once", "\"" + surface.name + "\"");
            check_box(surface.low, surface.high, field);
            check_outline(surface, field);
        }
    }

    /// A stepped wall: at least three corners, all inside the rectangle, some area.
    void check_outline(const Surface& surface, const Field& above) {
        const Field field(above, "outline_m");
        const auto& corners = surface.outline;
        if (corners.empty()) return;
        if (corners.size() < 3) return add(field, "at least three corners, or none", std::to_string(corners.size()));
        double twice_area = 0;
        for (std::size_t k = 0; k < corners.size(); ++k) {
            const Point &a = corners[k], &b = corners[(k + 1) % corners.size()];
            twice_area += a.u * b.v - b.u * a.v;
            if (!in_box(a, surface)) {
                add(Field(above, "outline_m", k), "a corner inside low_m and high_m", number_text(a.u) + ", " + number_text(a.v));
                return;
            }
        }
        if (crosses_itself(corners)) return add(field, "edges that do not cross", "an outline that crosses itself", "corners in order round the surface");
        if (!(std::abs(twice_area) > 0.02)) add(field, "corners in order round the surface", "no area");
    }

    /// Do two edges cross that do not meet in a corner?
    static bool crosses_itself(const std::vector<Point>& corners) {
        const std::size_t n = corners.size();
        const auto side = [](const Point& a, const Point& b, const Point& p) {
            const double turn = (b.u - a.u) * (p.v - a.v) - (b.v - a.v) * (p.u - a.u);
            return turn > 0 ? 1 : turn < 0 ? -1 : 0;
        };
        for (std::size_t i = 0; i < n; ++i)
            for (std::size_t k = i + 2; k < n; ++k) {
                if (i == 0 && k + 1 == n) continue;  // neighbours round the end
                const Point &a = corners[i], &b = corners[i + 1], &c = corners[k], &d = corners[(k + 1) % n];
                if (side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0) return true;
            }
        return false;
    }

    void check_box(const Point& low, const Point& high, const Field& field) {
        for (const double value : {low.u, low.v, high.u, high.v})
            if (!std::isfinite(value) || std::abs(value) > 50) {
                add(Field(field, "low_m"), "places within 50 m", number_text(value) + " m");
                return;
            }
        if (low.u >= high.u || low.v >= high.v) add(Field(field, "high_m"), "more than low_m in u and v", "no area");
    }

    const Surface* surface_at(const std::string& name, const std::string& slide) const {
        for (const auto& surface : coach_.surfaces)
            if (surface.name == name && surface.slide == slide) return &surface;
        return nullptr;
    }

    /// The surface, after noting its absence.
    const Surface* check_place(const std::string& name, const std::string& slide, const Field& field) {
        if (const Surface* found = surface_at(name, slide)) return found;
        std::vector<std::string> names;
        for (const auto& surface : coach_.surfaces)
            if (surface.slide == slide) names.push_back(surface.name);
        const std::string near = nearest_name(name, names);
        add(Field(field, "surface"), "a surface of this coach",
            "\"" + name + "\"" + (slide.empty() ? "" : " of slide-out \"" + slide + "\""),
            near.empty() ? "" : "did you mean \"" + near + "\"?");
        return nullptr;
    }

    static constexpr double slack = 0.01;  // [m], measured by hand

    static bool in_box(const Point& p, const Surface& s) {
        return p.u >= s.low.u - slack && p.u <= s.high.u + slack && p.v >= s.low.v - slack && p.v <= s.high.v + slack;
    }

    /// Distance from a point to the stretch between two others. [m]
    static double off_line(const Point& p, const Point& a, const Point& b) {
        const double du = b.u - a.u, dv = b.v - a.v, square = du * du + dv * dv;
        const double t = square > 0 ? std::clamp(((p.u - a.u) * du + (p.v - a.v) * dv) / square, 0.0, 1.0) : 0.0;
        return std::hypot(p.u - a.u - t * du, p.v - a.v - t * dv);
    }

    static bool lies_on(const Point& p, const Surface& s) {
        if (!in_box(p, s)) return false;
        if (s.outline.size() < 3) return true;
        bool inside = false;
        for (std::size_t k = 0; k < s.outline.size(); ++k) {
            const Point &a = s.outline[k], &b = s.outline[(k + 1) % s.outline.size()];
            if (off_line(p, a, b) <= slack) return true;
            if ((a.v > p.v) != (b.v > p.v) && p.u < a.u + (b.u - a.u) * (p.v - a.v) / (b.v - a.v)) inside = !inside;
        }
        return inside;
    }

    void check_on(const Point& point, const Surface& surface, const Field& field) {
        if (lies_on(point, surface)) return;  // NaN lies nowhere
        add(field, "a place on the " + surface.name + ", u " + number_text(surface.low.u) + " to " + number_text(surface.high.u) +
                       " m, v " + number_text(surface.low.v) + " to " + number_text(surface.high.v) + " m",
            number_text(point.u) + ", " + number_text(point.v));
    }

    void check_parts() {
        std::set<std::string_view> ids;
        for (std::size_t i = 0; i < coach_.parts.size(); ++i) {
            const Part& part = coach_.parts[i];
            const Field field("parts", i);
            check_id(part.id, ids, field);
            if (part.kind.empty()) add(Field(field, "kind"), "a kind of part", "\"\"");
            check_box(part.low, part.high, field);
            const bool slides = part.kind == "slide_out";
            if (slides != !part.state.empty() || (slides && part.state != "in" && part.state != "out" && part.state != "partway"))
                add(Field(field, "state"), slides ? "in, out or partway" : "no state: only a slide-out moves", "\"" + part.state + "\"");
            if (const Surface* surface = check_place(part.surface, part.slide, field)) {
                check_on(part.low, *surface, Field(field, "low_m"));
                check_on(part.high, *surface, Field(field, "high_m"));
                // Its own surfaces are measured along a side: in an end they would lie somewhere else.
                if (slides && part.surface != "street_wall" && part.surface != "curb_wall")
                    add(Field(field, "surface"), "street_wall or curb_wall: a slide-out moves through a side wall", "\"" + part.surface + "\"",
                        "describe a slide-out at an end as part of the end, with a kind of its own");
            }
        }
        part_ids_ = std::move(ids);
    }

    void check_joint(const Joint& joint, const Field& field) {
        check_name(joint.type, known_.types, Field(field, "type"));
        if (!joint.part.empty() && !part_ids_.contains(joint.part)) {
            const std::string near = nearest_name(joint.part, {part_ids_.begin(), part_ids_.end()});
            add(Field(field, "part"), "the id of a part of this coach", "\"" + joint.part + "\"",
                near.empty() ? "" : "did you mean \"" + near + "\"?");
        }
        const Surface* surface = check_place(joint.surface, joint.slide, field);
        const bool no_way = joint.path.size() < 2 || !(path_length(joint.path) > 0);
        if (joint.path.size() < 2) add(Field(field, "path_m"), "at least two points", std::to_string(joint.path.size()));
        else if (no_way) add(Field(field, "path_m"), "points at two places at least", "one place");
        for (std::size_t k = 0; surface && k < joint.path.size(); ++k)
            check_on(joint.path[k], *surface, Field(field, "path_m", k));
        if (!(joint.length > 0 && joint.length <= 100) && !(no_way && joint.length == 0))  // of a path without length
            add(Field(field, "length_m"), "a length above 0 and up to 100 m", number_text(joint.length) + " m");
        if (!(joint.screw_spacing >= 0 && joint.screw_spacing <= 2))
            add(Field(field, "screw_spacing_m"), "0 (no screws) to 2 m", number_text(joint.screw_spacing) + " m");
        check_bead(joint.bead, Field(field, "bead"));
        static const std::vector<std::string> edges{"bottom", "ends", "none", "all"};
        if (!joint.open_edge.empty()) check_name(joint.open_edge, edges, Field(field, "open_edge"));
        if (joint.substrates.empty() || joint.substrates.size() > 2)
            add(Field(field, "substrates"), "one or two", std::to_string(joint.substrates.size()));
        for (std::size_t k = 0; k < joint.substrates.size(); ++k)
            check_name(joint.substrates[k], known_.substrates, Field(field, "substrates", k));
        check_layers(joint, field);
    }

    void check_bead(const Bead& bead, const Field& field) {
        static const std::vector<std::string> profiles{"fillet", "strip"};  // none: an empty word
        if (bead.profile.empty()) return;
        check_name(bead.profile, profiles, Field(field, "profile"));
        check_size(bead.thickness, 0.0005, 0.1, Field(field, "thickness_m"));
        if (bead.profile == "strip") check_size(bead.width, 0.001, 0.3, Field(field, "width_m"));
    }

    /// Layers without any date are one problem, however many they are.
    void tell_undated() {
        if (undated_ == 0) return;
        const std::string others = std::to_string(undated_ - 1) + " other layers have none either; that of a joint or of the coach holds for all its layers";
        take(field_problem(first_undated_, "a date, a span or a model year", "nothing", undated_ > 1 ? others : ""));
    }

    void check_layers(const Joint& joint, const Field& field) {
        std::set<std::string_view> kinds;
        for (std::size_t k = 0; k < joint.layers.size(); ++k) {
            const Layer& layer = joint.layers[k];
            const Field at(field, "layers", k);
            check_name(layer.kind, layer_names(), Field(at, "kind"));
            check_name(layer.family, known_.families, Field(at, "family"));
            if (!kinds.insert(layer.kind).second) add(Field(at, "kind"), "a layer that stands once in a joint", "\"" + layer.kind + "\"");
            if (layer.installed_from > layer.installed_to)
                add(Field(at, "installed"), "from <= to", to_text(layer.installed_from) + " to " + to_text(layer.installed_to));
            if (layer.installed_from == Date{} && layer.installed_to == Date{} && undated_++ == 0) first_undated_ = Field(at, "installed").text();
            if (layer.generation < 1) add(Field(at, "generation"), "1 or more", std::to_string(layer.generation));
            if (layer.kind == "cap_bead" && std::find(known_.types.begin(), known_.types.end(), joint.type) != known_.types.end()) {
                const JointType& type = joint_type(catalogue_, joint.type);
                if (type.never_seal)
                    add(Field(at, "kind"), "no cap_bead: a " + joint.type + " is never sealed", "\"cap_bead\"", type.never_seal_reason);
            }
        }
    }

    void check_stays() {
        try {
            (void)checked_itinerary(coach_.stays);
        } catch (const ValueError& error) {
            for (Problem problem : error.problems()) {
                if (problem.field.starts_with("itinerary")) problem.field.replace(0, 9, "stays");
                take(std::move(problem));
            }
        }
    }

    const Coach& coach_;
    const Catalogue& catalogue_;
    const Known& known_;
    std::set<std::string_view> part_ids_;
    std::size_t undated_ = 0;     ///< layers without a date
    std::string first_undated_;  ///< where the first of them stands
    std::vector<Problem> problems_;
};

}  // namespace

const std::vector<std::string>& coach_kinds() {
    static const std::vector<std::string> kinds{"travel_trailer", "fifth_wheel", "motorhome", "van", "truck_camper"};
    return kinds;
}

std::vector<Problem> coach_problems(const Coach& coach, const Catalogue& catalogue) {
    return Checker(coach, catalogue).run();
}

}  // namespace libseal::detail

namespace libseal {

void check_coach(const Coach& coach, const Catalogue& catalogue) {
    auto problems = detail::coach_problems(coach, catalogue);
    if (!problems.empty()) throw ValueError(detail::problems_within("coach \"" + coach.id + "\": ", std::move(problems)));
}

}  // namespace libseal
