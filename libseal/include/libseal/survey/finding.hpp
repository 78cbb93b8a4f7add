#pragma once
// What a technician saw, and what has been done since.

#include <limits>
#include <string>
#include <vector>

#include "libseal/catalogue/catalogue.hpp"
#include "libseal/core/date.hpp"

namespace libseal {

/// One sign on one segment of one layer of one joint, or on one part, on one day.
struct Finding {
    std::string coach;
    std::string joint;     ///< "" where the sign is about a part alone
    std::string part;      ///< id of the part; "" where the sign is about the joint alone
    std::string segment;   ///< "" the whole joint; else one of `segments_of`: "2", "top", "corner_front_top", ...
    std::string layer;     ///< "cap_bead", "bedding", ...; "" where the sign is not about a layer
    std::string sign;      ///< of the word list, also "clean_look" and "not_inspected"
    Date date{};
    double value = std::numeric_limits<double>::quiet_NaN();  ///< measure of the sign [as `unit` says]; NaN not measured
    std::string unit;      ///< "mm", "percent", or "" without a value
    std::string size;      ///< in words where not measured: "none", "slight", "clear", "severe"
    double share = std::numeric_limits<double>::quiet_NaN();  ///< of the segment's length [-], 0 to 1; NaN not noted
    bool reaches_fastener = false;  ///< a screw is reached or bare
    std::string bedding_seen;       ///< of an open cap: "sound", "poor", "absent", "not_seen", "" (not noted)
    double moisture = std::numeric_limits<double>::quiet_NaN();      ///< reading at the joint [% wood scale]
    double moisture_dry = std::numeric_limits<double>::quiet_NaN();  ///< dry reference spot [% wood scale]
    std::string inspector;
    std::string photo;
    std::string note;
    std::string reason;    ///< why not inspected
};

/// Work on a layer, which starts a new generation unless declined, or on a part alone.
struct WorkDone {
    std::string coach;
    std::string joint;     ///< "" for work on a part alone
    std::string layer;     ///< "" for work on a part alone
    Date date{};
    std::string action;    ///< of the word list
    std::string family;    ///< new sealant family; "" if no material was used
    double minutes = std::numeric_limits<double>::quiet_NaN();  ///< [min]
    std::string who;
    bool declined = false;
    std::string part;      ///< id of the part; "" where the work was on the joint
};

/// Signs of the word list.
const std::vector<std::string>& sign_names();
/// Groups of signs, as they stand on a survey form: "surface_ageing", "cracks_and_voids", ..., "material", "look".
const std::vector<std::string>& sign_groups();
/// Signs of a group, in order of the word list.
/// @throws ValueError  unknown group, with the nearest name.
std::vector<std::string> signs_of_group(const std::string& group, const Catalogue& catalogue);
/// Actions of the word list.
const std::vector<std::string>& action_names();

}  // namespace libseal
