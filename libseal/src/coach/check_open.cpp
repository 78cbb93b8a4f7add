// Edges and places that stay open are hard constraints: no bead lies on them.

#include <algorithm>
#include <map>

#include "coach/open_edge.hpp"
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
            if (!catalogue_.has_prefix("joint_type/" + joint.type + "/")) continue;
            const std::string field = "joints[" + std::to_string(i) + "]";
            const Kind& kind = kind_of(joint.type);
            if (kind.never_seal) {
                check_never_sealed(joint, field);
            } else if (layer_of(joint, "cap_bead")) {
                check_edge(joint, kind, field);
                check_places(joint, field);
            }
        }
        return std::move(problems_);
    }

private:
    struct Kind {
        std::string open_edge;
        bool never_seal;
    };

    void add(const std::string& field, const std::string& expected, const std::string& got, const std::string& hint) {
        Problem problem;
        problem.field = field;
        problem.expected = expected;
        problem.got = got;
        problem.hint = hint;
        problems_.push_back(std::move(problem));
    }

    void check_never_sealed(const Joint& joint, const std::string& field) {
        if (joint.open_edge.empty() || joint.open_edge == "all") return;
        add(field + ".open_edge", "all: a " + joint.type + " is never sealed", "\"" + joint.open_edge + "\"",
            joint_type(catalogue_, joint.type).never_seal_reason);
    }

    void check_edge(const Joint& joint, const Kind& kind, const std::string& field) {
        const std::string& edge = joint.open_edge.empty() ? kind.open_edge : joint.open_edge;
        if (runs_along_open_edge(joint, edge))
            add(field + ".path_m", "a path that keeps off the edge that stays open (" + edge + ")", "a bead along it",
                "water must leave there; where this frame does not drain so, give the joint \"open_edge\": \"none\"");
    }

    void check_places(const Joint& joint, const std::string& field) {
        const double meet = 0.05;  // a bead may meet a place so far, of small ones for half a side [m]
        for (const auto& place : places_)
            if (place.surface == joint.surface && place.slide == joint.slide && near(place, joint) &&
                shared_length(place.path, joint.path) > std::min(meet, path_length(place.path) / 8))
                return add(field + ".path_m", "a path that keeps off places that stay open", "a bead on " + place.id, place.reason);
    }

    /// A joint all to one side of a part's place cannot lie on it.
    static bool near(const KeepOpen& place, const Joint& joint) {
        const Point low = place.path[0], high = place.path[2];
        const auto all = [&](auto beyond) { return std::all_of(joint.path.begin(), joint.path.end(), beyond); };
        const double beside = 0.01;  // [m]
        return !all([&](const Point& p) { return p.u < low.u - beside; }) && !all([&](const Point& p) { return p.u > high.u + beside; }) &&
               !all([&](const Point& p) { return p.v < low.v - beside; }) && !all([&](const Point& p) { return p.v > high.v + beside; });
    }

    /// The whole type is more than is asked here, of every coach that is read.
    const Kind& kind_of(const std::string& type) {
        const auto found = kinds_.find(type);
        if (found != kinds_.end()) return found->second;
        const std::string base = "joint_type/" + type;
        return kinds_.emplace(type, Kind{catalogue_.word(base + "/open_edge"), catalogue_.word(base + "/never_seal") == "yes"}).first->second;
    }

    const Coach& coach_;
    const Catalogue& catalogue_;
    const std::vector<KeepOpen> places_;
    std::map<std::string, Kind> kinds_;
    std::vector<Problem> problems_;
};

}  // namespace

std::vector<Problem> open_edge_problems(const Coach& coach, const Catalogue& catalogue) { return OpenChecker(coach, catalogue).run(); }

}  // namespace libseal::detail
