#pragma once
// The network behind a trace: runs of joints and other causes, ways of the water, marks.

#include <string>
#include <vector>

#include "libseal/leak/network.hpp"
#include "libseal/leak/trace.hpp"

namespace libseal::detail {

/// A run of a joint that may let water in, with its ways.
struct LeakSource {
    int run = 0;               ///< place of the drainage
    std::size_t joint = 0;     ///< of the coach
    WaterTree tree;
};

/// What was seen at one place under one circumstance ("" for any).
struct Sighting {
    std::size_t stain = 0;
    int place = 0;
    std::string when;
    bool wet = false;
};

/// A mark that one cause may have made under one circumstance.
struct Contribution {
    std::size_t sighting = 0;
    int node = 0;
};

struct SourceNodes {
    std::size_t source = 0;
    int open = 0;
    std::vector<Contribution> marks;
};

struct OtherNodes {
    std::string name;
    std::vector<Contribution> marks;
    int made = -1;
};

/// Network of one trace, with the meaning of its nodes.
struct LeakModel {
    CauseNetwork network;
    std::vector<CauseEvidence> evidence;
    std::vector<SourceNodes> sources;
    std::vector<int> made;       ///< per joint: node "made at least one of the wet marks", -1 if it cannot
    std::vector<int> any_open;   ///< per joint: node "some run is open", -1 if it plays no part
    std::vector<OtherNodes> others;
};

/// Chance that each joint is open, before the marks were seen. [-]
struct LeakInputs {
    const Coach& coach;
    const Catalogue& catalogue;
    const Drainage& drainage;
    const std::vector<LeakSource>& sources;
    const std::vector<double>& prior;       ///< per joint
    const std::vector<Stain>& stains;
    const std::vector<Sighting>& sightings;
    const std::vector<LeakTest>& tests;
};
LeakModel leak_model(const LeakInputs& inputs);

/// Circumstances that a stain may name.
const std::vector<std::string>& circumstance_names();

}  // namespace libseal::detail
