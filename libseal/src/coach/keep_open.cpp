#include "libseal/coach/keep_open.hpp"

#include <algorithm>
#include <map>
#include <sstream>

#include "coach/open_edge.hpp"
#include "libseal/catalogue/joint_type.hpp"

namespace libseal {
namespace {

/// Kinds of the catalogue by the joint types and kinds of part that they name, read once: see Catalogue::derived.
struct Kinds {
    std::map<std::string, std::string> of_joint;
    std::map<std::string, std::vector<std::string>> of_part;
    std::map<std::string, std::string> reason;
    std::map<std::string, double> inside;  ///< [m]

    explicit Kinds(const Catalogue& catalogue) {
        for (const auto& kind : catalogue.names("keep_open")) {
            const std::string base = "keep_open/" + kind;
            reason[kind] = catalogue.word(base + "/reason");
            inside[kind] = catalogue.has(base + "/inside_mm") ? catalogue.number(base + "/inside_mm") * 1e-3 : 0.0;
            each_word(catalogue, base + "/joints", [&](const std::string& type) { of_joint[type] = kind; });
            each_word(catalogue, base + "/parts", [&](const std::string& part) { of_part[part].push_back(kind); });
        }
    }

    template <class Do>
    static void each_word(const Catalogue& catalogue, const std::string& id, Do act) {
        if (!catalogue.has(id)) return;
        std::istringstream words(catalogue.word(id));
        for (std::string word; words >> word;) act(word);
    }
};

/// Round a part, so far within its outer edge; of small parts at most a quarter of their size.
std::vector<Point> rim(const Part& part, double inside) {
    const double in = std::min({inside, (part.high.u - part.low.u) / 4, (part.high.v - part.low.v) / 4});
    const Point a{part.low.u + in, part.low.v + in}, b{part.high.u - in, part.high.v - in};
    return {a, {b.u, a.v}, b, {a.u, b.v}, a};
}

void add_of_joint(const Joint& joint, const Kinds& kinds, const JointType& type, std::vector<KeepOpen>& places) {
    const auto paths = detail::open_edge_paths(joint, joint.open_edge.empty() ? type.open_edge : joint.open_edge);
    const auto found = kinds.of_joint.find(joint.type);
    const std::string kind = found == kinds.of_joint.end() ? "other_edge" : found->second;
    for (std::size_t k = 0; k < paths.size(); ++k) {
        const std::string id = kind + ":" + joint.id + (paths.size() > 1 ? ":" + std::to_string(k + 1) : "");
        places.push_back({id, kind, joint.part, joint.id, joint.surface, joint.slide, paths[k],
                          type.never_seal ? type.never_seal_reason : kinds.reason.at(kind)});
    }
}

void add_of_parts(const Coach& coach, const Kinds& kinds, std::vector<KeepOpen>& places) {
    for (const auto& part : coach.parts) {
        const auto found = kinds.of_part.find(part.kind);
        if (found == kinds.of_part.end()) continue;
        for (const auto& kind : found->second)
            places.push_back({kind + ":" + part.id, kind, part.id, "", part.surface, part.slide, rim(part, kinds.inside.at(kind)),
                              kinds.reason.at(kind)});
    }
}

}  // namespace

std::vector<KeepOpen> detail::places_kept_open_of_parts(const Coach& coach, const Catalogue& catalogue) {
    std::vector<KeepOpen> places;
    add_of_parts(coach, catalogue.derived<Kinds>(), places);
    return places;
}

std::string open_edge_of(const Joint& joint, const Catalogue& catalogue) {
    return joint.open_edge.empty() ? joint_type(catalogue, joint.type).open_edge : joint.open_edge;
}

std::vector<KeepOpen> places_kept_open(const Coach& coach, const Catalogue& catalogue) {
    const Kinds& kinds = catalogue.derived<Kinds>();
    std::vector<KeepOpen> places;
    for (const auto& joint : coach.joints) add_of_joint(joint, kinds, joint_type(catalogue, joint.type), places);
    add_of_parts(coach, kinds, places);
    return places;
}

std::vector<KeepOpen> places_kept_open_at(const Coach& coach, const std::string& joint, const Catalogue& catalogue) {
    const Joint& of = joint_of(coach, joint);
    std::vector<KeepOpen> places = places_kept_open(coach, catalogue);
    std::erase_if(places, [&](const KeepOpen& p) { return p.joint != joint && (of.part.empty() || p.part != of.part || !p.joint.empty()); });
    return places;
}

}  // namespace libseal
