#pragma once
// The ways that water takes over and through a coach.

#include <string>
#include <vector>

#include "libseal/catalogue/catalogue.hpp"
#include "libseal/coach/place.hpp"

namespace libseal {

/// A place that water can be at. Cells are about 0.8 m long.
struct WaterPlace {
    std::string id;       ///< "roof_vent_1", "roof_edge_curb:3" (a run of a long joint), "deck:2:street", "floor:4:curb", ...
    std::string kind;     ///< outside: "joint", "surface"; hidden: "deck", "wall_top", "wall_core", "corner_post", "floor_edge", ...;
                          ///< inside: "ceiling", "inner_wall", "floor", "compartment", "bunk", "lens"
    std::string joint;    ///< of a joint's run; else ""
    std::string surface;  ///< that it is drawn on
    std::string slide;    ///< id of the slide-out, "" for the shell
    Point at;             ///< middle, on that surface [m]
    Place place;          ///< the same in space
    bool inside = false;  ///< can be seen from indoors
};

/// Water at one place gets to another.
struct WaterLink {
    int from = 0;
    int to = 0;
    double passes = 0;    ///< probability that it does [-]
    std::string way;      ///< in words: "runs along the framing", "drips through the ceiling", ...
};

/// Places and links, without cycles of certainty: following links, the probability of arriving only falls.
struct Drainage {
    std::vector<WaterPlace> places;
    std::vector<WaterLink> links;

    /// @throws ValueError  if there is no such place, with the nearest id.
    int find(const std::string& id) const;
    /// Runs of a joint, in order along it.
    std::vector<int> runs_of(const std::string& joint) const;
    /// Place seen from indoors (or outside) that is nearest to a point of a surface.
    /// @throws ValueError  if there is none on that surface.
    int nearest(const Coach& coach, const std::string& surface, const std::string& slide, Point point, bool inside) const;
};

/// Drainage graph of a coach: what runs down its outside, and what water does behind each joint.
///
/// @param catalogue  "drainage/...": cell length, probability of each way.
/// @source  Ways of water: common practice, no source. Probabilities: judgement of this project.
/// @threads pure.
Drainage drainage(const Coach& coach, const Catalogue& catalogue);

/// Most probable way of water from one place to another.
struct WaterPath {
    std::vector<int> links;   ///< of the drainage, in order; empty if there is no way
    double probability = 0;   ///< product of what passes [-]
};
/// Most probable ways from one place to all others, by Dijkstra on -ln(passes); ties go to the lower link.
/// @return  One path a place.
std::vector<WaterPath> water_paths(const Drainage& drainage, int from);

/// Joints from which water runs down the outside onto this one, nearest first; what a drip edge throws off is not there.
std::vector<std::string> upstream_joints(const Drainage& drainage, const std::string& joint);

}  // namespace libseal
