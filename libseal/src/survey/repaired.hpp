#pragma once
// Does a piece of work end what a finding speaks of?

#include <algorithm>
#include <string>
#include <vector>

#include "libseal/catalogue/catalogue.hpp"
#include "libseal/survey/finding.hpp"

namespace libseal::detail {

/// Is the sign about the part alone: a latch, a cord, what is sealed shut?
inline bool is_of_part(const std::string& sign, const Catalogue& catalogue) { return catalogue.has("grade/sign/" + sign + "/of_part"); }

/// Looking, cleaning and covering mend nothing, but what is sealed shut is freed by cleaning it out.
inline bool mends(const WorkDone& work, const std::string& sign) {
    static const std::vector<std::string> no_repair{"monitor", "clean_and_condition", "temporary_cover", "damage_survey"};
    if (work.declined) return false;
    if (sign == "sealed_shut" && work.action == "clean_and_condition") return true;
    return std::find(no_repair.begin(), no_repair.end(), work.action) == no_repair.end();
}

/// A new bead or tape at a joint leaves its part as it was.
inline bool handles_part(const WorkDone& work) {
    static const std::vector<std::string> of_bead{"touch_up", "reseal_over", "cut_out_and_reseal", "cover_with_tape"};
    return !work.part.empty() || std::find(of_bead.begin(), of_bead.end(), work.action) == of_bead.end();
}

}  // namespace libseal::detail
