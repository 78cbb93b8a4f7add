#include "libseal/coach/coach.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "libseal/catalogue/joint_type.hpp"
#include "libseal/catalogue/sealant.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

[[noreturn]] void throw_unknown(const std::string& what, const std::string& id, const std::vector<std::string>& known) {
    const std::string near = nearest_name(id, known);
    throw_value_error(what, "a known id", "\"" + id + "\"", near.empty() ? "" : "did you mean \"" + near + "\"?");
}

template <class Item>
std::vector<std::string> ids_of(const std::vector<Item>& items) {
    std::vector<std::string> ids;
    for (const auto& item : items) ids.push_back(item.id);
    return ids;
}

/// Gathers what is wrong with one coach, field by field.
class CoachCheck {
public:
    CoachCheck(const Coach& coach, const Catalogue& catalogue) : coach_(coach), catalogue_(catalogue) {
        types_ = joint_type_names(catalogue);
        families_ = catalogue.names("sealant");
        substrates_ = catalogue.names("substrate");
        finishes_ = catalogue.names("finish");
    }

    void run() {
        if (coach_.id.empty()) add("id", "a text that is not empty", "nothing");
        positive(coach_.length, "length");
        positive(coach_.width, "width");
        if (!(coach_.roof_height > coach_.floor_height) || !(coach_.floor_height >= 0))
            add("roof_height", "more than floor_height, which is not negative", number_text(coach_.roof_height));
        surfaces();
        std::set<std::string> parts;
        for (std::size_t i = 0; i < coach_.parts.size(); ++i)
            unique(parts, coach_.parts[i].id, "parts[" + std::to_string(i) + "].id");
        std::set<std::string> joints;
        for (std::size_t i = 0; i < coach_.joints.size(); ++i) {
            const std::string field = "joints[" + std::to_string(i) + "]";
            unique(joints, coach_.joints[i].id, field + ".id");
            joint(coach_.joints[i], field, parts);
        }
        try {
            if (!coach_.stays.empty()) checked_itinerary(coach_.stays);
        } catch (const ValueError& error) {
            for (Problem problem : error.problems()) {
                problem.field = place("stays");
                problems_.push_back(std::move(problem));
            }
        }
        if (problems_.size() > 50) problems_.resize(50);
        if (!problems_.empty()) throw ValueError(std::move(problems_));
    }

private:
    std::string place(const std::string& field) const { return (coach_.id.empty() ? "coach" : coach_.id) + "." + field; }
    void add(const std::string& field, const std::string& expected, const std::string& got, const std::string& hint = "") {
        Problem problem;
        problem.field = place(field);
        problem.expected = expected;
        problem.got = got;
        problem.hint = hint;
        problems_.push_back(std::move(problem));
    }
    void positive(double value, const std::string& field) {
        if (!(std::isfinite(value) && value > 0)) add(field, "a number > 0 [m]", number_text(value));
    }
    void unique(std::set<std::string>& seen, const std::string& id, const std::string& field) {
        if (id.empty())
            add(field, "a text that is not empty", "nothing");
        else if (!seen.insert(id).second)
            add(field, "an id that stands once", "\"" + id + "\" again");
    }
    bool known(const std::string& name, const std::vector<std::string>& names, const std::string& field,
               const std::string& what) {
        if (std::find(names.begin(), names.end(), name) != names.end()) return true;
        const std::string near = nearest_name(name, names);
        add(field, "a known " + what, "\"" + name + "\"", near.empty() ? "" : "did you mean \"" + near + "\"?");
        return false;
    }

    void surfaces() {
        std::set<std::pair<std::string, std::string>> seen;
        for (std::size_t i = 0; i < coach_.surfaces.size(); ++i) {
            const Surface& surface = coach_.surfaces[i];
            const std::string field = "surfaces[" + std::to_string(i) + "]";
            known(surface.name, surface_names(), field + ".name", "surface");
            known(surface.substrate, substrates_, field + ".substrate", "substrate");
            known(surface.finish, finishes_, field + ".finish", "finish");
            if (!(surface.high.u > surface.low.u && surface.high.v > surface.low.v))
                add(field, "a rectangle with high above low", "none");
            if (!seen.emplace(surface.name, surface.slide).second)
                add(field + ".name", "a surface that stands once", "\"" + surface.name + "\" again");
        }
    }

    const Surface* surface_of_joint(const Joint& joint) const {
        for (const auto& surface : coach_.surfaces)
            if (surface.name == joint.surface && surface.slide == joint.slide) return &surface;
        return nullptr;
    }

    void joint(const Joint& joint, const std::string& field, const std::set<std::string>& parts) {
        const bool type_known = known(joint.type, types_, field + ".type", "joint type");
        positive(joint.length, field + ".length");
        if (!joint.part.empty() && !parts.count(joint.part)) {
            const std::string near = nearest_name(joint.part, {parts.begin(), parts.end()});
            add(field + ".part", "the id of a part", "\"" + joint.part + "\"",
                near.empty() ? "" : "did you mean \"" + near + "\"?");
        }
        for (const auto& substrate : joint.substrates) known(substrate, substrates_, field + ".substrates", "substrate");
        const Surface* surface = surface_of_joint(joint);
        if (!surface)
            add(field + ".surface", "a surface of this coach", "\"" + joint.surface + "\"");
        else
            path_on(joint, *surface, field);
        if (joint.layers.empty()) add(field + ".layers", "at least one layer", "none");
        std::set<std::string> kinds;
        for (std::size_t l = 0; l < joint.layers.size(); ++l) {
            const Layer& layer = joint.layers[l];
            const std::string at = field + ".layers[" + std::to_string(l) + "]";
            known(layer.kind, layer_names(), at + ".kind", "layer");
            known(layer.family, families_, at + ".family", "family");
            if (!kinds.insert(layer.kind).second) add(at + ".kind", "a layer that stands once", "\"" + layer.kind + "\" again");
            if (layer.installed_to < layer.installed_from)
                add(at + ".installed", "from not after to", to_text(layer.installed_from) + " to " + to_text(layer.installed_to));
            if (type_known && layer.kind == "cap_bead") {
                const JointType type = joint_type(catalogue_, joint.type);
                if (type.never_seal)
                    add(at + ".kind", "no bead: " + joint.type + " is never sealed", "\"cap_bead\"", type.never_seal_reason);
            }
        }
    }

    void path_on(const Joint& joint, const Surface& surface, const std::string& field) {
        constexpr double slack = 0.05;  // a bead may lap over the edge [m]
        if (joint.path.size() < 2) add(field + ".path", "at least two points", std::to_string(joint.path.size()));
        for (const auto& p : joint.path) {
            const bool inside = p.u >= surface.low.u - slack && p.u <= surface.high.u + slack &&
                                p.v >= surface.low.v - slack && p.v <= surface.high.v + slack;
            if (inside) continue;
            add(field + ".path",
                "points on " + surface.name + ", u " + number_text(surface.low.u, 2) + " to " + number_text(surface.high.u, 2) +
                    " m, v " + number_text(surface.low.v, 2) + " to " + number_text(surface.high.v, 2) + " m",
                "(" + number_text(p.u, 3) + ", " + number_text(p.v, 3) + ")");
            return;
        }
    }

    const Coach& coach_;
    const Catalogue& catalogue_;
    std::vector<std::string> types_, families_, substrates_, finishes_;
    std::vector<Problem> problems_;
};

}  // namespace

const Joint& joint_of(const Coach& coach, const std::string& id) {
    for (const auto& joint : coach.joints)
        if (joint.id == id) return joint;
    throw_unknown("joint of coach " + coach.id, id, ids_of(coach.joints));
}

const Coach& coach_of(const Fleet& fleet, const std::string& id) {
    for (const auto& coach : fleet.coaches)
        if (coach.id == id) return coach;
    throw_unknown("coach", id, ids_of(fleet.coaches));
}

const Surface& surface_of(const Coach& coach, const std::string& surface, const std::string& slide) {
    std::vector<std::string> names;
    for (const auto& candidate : coach.surfaces) {
        if (candidate.name == surface && candidate.slide == slide) return candidate;
        names.push_back(candidate.name);
    }
    throw_unknown("surface of coach " + coach.id, surface, names);
}

void check_coach(const Coach& coach, const Catalogue& catalogue) { CoachCheck(coach, catalogue).run(); }

}  // namespace libseal
