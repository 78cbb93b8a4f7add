#pragma once
// The ways that water takes over and through a coach.

#include <memory>
#include <string>
#include <vector>

#include "libseal/catalogue/catalogue.hpp"
#include "libseal/coach/place.hpp"

namespace libseal {

/// A place that water can be at. Cells are about 0.8 m long.
struct WaterPlace {
    std::string id;       ///< "roof_vent_1", "roof_edge_curb:3" (a run of a long joint), "deck:2:street", "floor:4:curb", ...
    std::string kind;     ///< outside: "joint", "surface"; hidden: "deck", "wall_top", "wall_core", "corner_post", "floor_edge", ...;
                          ///< inside: "ceiling", "inner_wall", "floor", "compartment", "bunk"
    std::string joint;    ///< of a joint's run; else ""
    std::string surface;  ///< that it is drawn on
    std::string slide;    ///< id of the slide-out, "" for the shell
    Point at;             ///< middle, on that surface [m]
    Place place;          ///< the same in space
    bool inside = false;  ///< can be seen from indoors
    std::string exposure; ///< of a joint's run, by what rain and road reach it: "roof", "front", "side", ... ("leak/when/..."); else ""
};

/// Water at one place gets to another.
struct WaterLink {
    int from = 0;         ///< index into the places
    int to = 0;           ///< index into the places
    double passes = 0;    ///< probability that it does [-]
    std::string way;      ///< in words: "runs along the framing", "drips through the ceiling", ...
};

/// Places and links. Every link passes with a probability below 1, so the longer a way the less of it arrives.
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

/// Most probable ways from one place to all others: a tree.
struct WaterTree {
    int start = 0;                    ///< index into the places
    std::vector<int> reached_by;      ///< link by which each place is reached; -1 the start, and what is not reached
    std::vector<double> probability;  ///< product of what passes on the way [-]; 0 not reached

    /// Links from the start to a place, in order; empty at the start and where no way leads.
    std::vector<int> path_to(const Drainage& drainage, int end) const;
};

/// Finds ways through a drainage graph, which must outlive it.
///
/// @threads  Read it from as many threads as you like.
class WaterWays {
public:
    explicit WaterWays(const Drainage& drainage);
    /// Most probable ways, by Dijkstra on -ln(passes); equal ways are settled the same way each time.
    /// @throws ValueError  for a place that is not there.
    WaterTree from(int start) const;

private:
    struct Impl;
    std::shared_ptr<const Impl> impl_;
};

/// Joints from which water runs down the outside onto this one, nearest first. No two are upstream of each other: a joint
/// that reaches higher, or on the roof nearer to its middle, is the upper one.
std::vector<std::string> upstream_joints(const Drainage& drainage, const std::string& joint);

}  // namespace libseal
