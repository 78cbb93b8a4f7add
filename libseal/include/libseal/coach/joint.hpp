#pragma once
// One joint: where it runs, what it is made of, layer by layer.

#include <string>
#include <vector>

#include "libseal/coach/surface.hpp"
#include "libseal/core/date.hpp"

namespace libseal {

/// A layer of a joint. Its installation date may be known only as an interval.
struct Layer {
    std::string kind;      ///< "cap_bead", "bedding", "gasket", ...
    std::string family;    ///< sealant or layer family
    Date installed_from{};
    Date installed_to{};   ///< equal to installed_from when the day is known
    int generation = 1;    ///< raised by each renewal
};

/// Shape and size of a bead of sealant.
struct Bead {
    std::string profile;   ///< "fillet", "strip" or "" (none)
    double width = 0;      ///< strip width [m]
    double thickness = 0;  ///< strip thickness or fillet leg [m]
};

/// A joint between parts of the outside, with its layers.
struct Joint {
    std::string id;        ///< unique within the coach
    std::string type;      ///< joint type of the word list
    std::string part;      ///< id of the part it seals, "" for seams
    std::string surface;   ///< surface that it runs on
    std::string slide;     ///< id of the slide-out, "" for the shell
    std::vector<Point> path;  ///< polyline on the surface, at least two points [m]
    double length = 0;     ///< sealed length [m]
    Bead bead;
    double screw_spacing = 0;  ///< [m]; 0 without screws
    std::vector<std::string> substrates;  ///< what it joins, one or two
    std::vector<Layer> layers;
    std::string open_edge{};   ///< edge left open for water to leave: "bottom", "ends", "none", "all"; "": as its type
};

/// The layer of a kind, or nullptr.
const Layer* layer_of(const Joint& joint, const std::string& kind);
/// Length of a polyline [m].
double path_length(const std::vector<Point>& path);
/// Cross-section of a bead [mm2], which is also its wet volume [mL/m].
double bead_section_mm2(const Bead& bead);

/// Names of layers.
const std::vector<std::string>& layer_names();

}  // namespace libseal
