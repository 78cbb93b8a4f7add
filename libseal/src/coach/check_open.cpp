// Edges and places that stay open are hard constraints: no bead lies on them.

#include <algorithm>
#include <map>

#include "coach/open_edge.hpp"
#include "core/problem.hpp"
#include "libseal/catalogue/joint_type.hpp"

namespace libseal::detail {
namespace {

class OpenChecker {
public:
    OpenChecker(const Coach& coach, const Catalogue& catalogue)
        : coach_(coach), catalogue_(catalogue), places_(places_kept_open_of_parts(coach, catalogue)) {}

    std::vector<Problem> run() {
        for (std::size_t i = 0; i < coach_.joints.size(); ++i) {
            const Joint& joint = coach_.joints[i];
            const JointType* type = type_of(joint.type);
            if (!type) continue;
            if (type->never_seal) {
                check_never_sealed(joint, *type, i);
            } else if (layer_of(joint, "cap_bead")) {
                check_edge(joint, *type, i);
                check_places(joint, i);
            }
        }
        return std::move(problems_);
    }

private:
    /// @param joint  Its place in the list.
    void add(std::size_t joint, const std::string& field, const std::string& expected, const std::string& got, const std::string& hint) {
        problems_.push_back(field_problem("joints[" + std::to_string(joint) + "]." + field, expected, got, hint));
    }

    void check_never_sealed(const Joint& joint, const JointType& type, std::size_t i) {
        if (joint.open_edge.empty() || joint.open_edge == "all") return;
        add(i, "open_edge", "all: a " + joint.type + " is never sealed", "\"" + joint.open_edge + "\"", type.never_seal_reason);
    }

    void check_edge(const Joint& joint, const JointType& type, std::size_t i) {
        const std::string& edge = joint.open_edge.empty() ? type.open_edge : joint.open_edge;
        if (runs_along_open_edge(joint, edge))
            add(i, "path_m", "a path that keeps off the edge that stays open (" + edge + ")", "a bead along it",
                "water must leave there; where this frame does not drain so, give the joint \"open_edge\": \"none\"");
    }

    void check_places(const Joint& joint, std::size_t i) {
        const double meet = 0.05;  // a bead may meet a place so far, of small ones for half a side [m]
        for (const auto& place : places_)
            if (place.surface == joint.surface && place.slide == joint.slide && near(place, joint) &&
                shared_length(place.path, joint.path) > std::min(meet, path_length(place.path) / 8))
                return add(i, "path_m", "a path that keeps off places that stay open", "a bead on " + place.id, place.reason);
    }

    /// A joint all to one side of a part's place cannot lie on it.
    static bool near(const KeepOpen& place, const Joint& joint) {
        const Point low = place.path[0], high = place.path[2];
        const auto all = [&](auto beyond) { return std::all_of(joint.path.begin(), joint.path.end(), beyond); };
        const double beside = 0.01;  // [m]
        return !all([&](const Point& p) { return p.u < low.u - beside; }) && !all([&](const Point& p) { return p.u > high.u + beside; }) &&
               !all([&](const Point& p) { return p.v < low.v - beside; }) && !all([&](const Point& p) { return p.v > high.v + beside; });
    }

    /// nullptr if the catalogue has none of that name, which is noted where joints are checked one by one.
    const JointType* type_of(const std::string& name) {
        const auto [place, fresh] = types_.try_emplace(name, nullptr);
        if (fresh && catalogue_.has_prefix("joint_type/" + name + "/")) place->second = &joint_type(catalogue_, name);
        return place->second;
    }

    const Coach& coach_;
    const Catalogue& catalogue_;
    const std::vector<KeepOpen> places_;
    std::map<std::string_view, const JointType*> types_;
    std::vector<Problem> problems_;
};

}  // namespace

std::vector<Problem> open_edge_problems(const Coach& coach, const Catalogue& catalogue) { return OpenChecker(coach, catalogue).run(); }

}  // namespace libseal::detail
