#pragma once
// The gate of a step where it is done: on the ground, or on a ladder or roof.

#include <algorithm>
#include <string>

#include "libseal/schedule/gates.hpp"

namespace libseal::detail {

inline bool is_aloft(const std::string& reach) { return reach == "ladder" || reach == "roof"; }

/// Aloft it is never colder than "climb" allows, whatever the sealant endures: nobody stands on ice.
inline Gate step_gate(const std::string& name, const std::string& family, bool aloft, const Catalogue& catalogue) {
    Gate gate = gate_for(name, family, catalogue);
    if (aloft) gate.lowest_temperature = std::max(gate.lowest_temperature, gate_for("climb", "", catalogue).lowest_temperature);
    return gate;
}

}  // namespace libseal::detail
