#pragma once
// Kinds of joint: how they are built, what they wet, what must stay open.

#include <string>
#include <string_view>
#include <vector>

#include "libseal/catalogue/catalogue.hpp"

namespace libseal {

/// One kind of joint, read from "joint_type/NAME/..." of a catalogue.
struct JointType {
    std::string name;
    std::string bedding;          ///< usual bedding family; "" for none
    std::string cap;              ///< usual cap family; "" for none
    std::string profile;          ///< "fillet", "strip" or "" (no bead)
    double bead_width = 0;        ///< strip width [m]
    double bead_thickness = 0;    ///< strip thickness, or leg of a fillet [m]
    double screw_spacing = 0;     ///< centre to centre [m]; 0 without screws
    int consequence = 3;          ///< class 1 to 4: what gets wet
    std::string open_edge;        ///< edge that must stay open: "bottom", "ends", "none", "all" (never sealed)
    bool never_seal = false;      ///< a hard constraint: no bead whatever
    std::string never_seal_reason;
    std::vector<std::string> cautions;  ///< ids of cautions that any work here brings
};

/// One type, as long as a copy of the catalogue lives. @throws ValueError  unknown type (nearest name).
const JointType& joint_type(const Catalogue& catalogue, std::string_view name);
/// Joint types in order of the catalogue.
std::vector<std::string> joint_type_names(const Catalogue& catalogue);

/// Solar absorptance and long-wave emittance of a finish, from "finish/NAME/...". [-]
struct Finish {
    std::string name;
    double absorptance = 0.35;  ///< [-]
    double emittance = 0.9;     ///< [-]
};
/// @throws ValueError  unknown finish (nearest name).
Finish finish(const Catalogue& catalogue, const std::string& name);

/// How a new sealant family takes to a clean substrate: "ok", "test" (primer or adhesion test first), "never".
/// @throws ValueError  unknown family or substrate.
const std::string& compatibility(const Catalogue& catalogue, std::string_view family, std::string_view substrate);
/// How a new family takes to an old one left on the joint: "ok", "test", "strip", "never".
const std::string& compatibility_over(const Catalogue& catalogue, std::string_view family, std::string_view old_family);

}  // namespace libseal
