#pragma once
// How soon something must happen, and why.

#include <string>
#include <vector>

#include "libseal/survey/grade.hpp"

namespace libseal {

enum class Urgency { next_inspection, next_service, within_30_days, at_once };
std::string to_text(Urgency urgency);

/// How soon something must happen, by grade and damage alone, from "urgency/..." of the catalogue.
/// @param exposed_soon  Rain or a trip is due within 14 days.
/// @source  Table and overrides: our proposal.
Urgency urgency(const Grade& grade, const JointType& type, bool exposed_soon, const Catalogue& catalogue);

/// What follows from a look, with the rule that spoke.
struct UrgencyAnswer {
    Urgency urgency = Urgency::next_inspection;
    /// "table", or the override that decided: "open_over_framing", "wet_or_soft", "water_at_equipment", "sealed_shut".
    std::string rule = "table";
    std::vector<std::string> reasons;  ///< in words, one for each rule that spoke
    Date act_by{};                     ///< last day; day 0: at the next inspection
    Date cover_expires{};              ///< last day of a temporary cover that is on, or would go on now; day 0: none
    bool isolate = false;              ///< electrical or fuel equipment there is isolated and not used until checked by a qualified person
    bool safety = false;               ///< a way out or an exhaust is shut
    bool investigate = false;          ///< what is at once is to look into the damage, not to seal
    bool needs_signature = false;      ///< the owner declined what is at once: a signed line belongs on the record
};

/// Urgency with all overrides.
///
/// at_once whatever the table says: (a) an open path over framing, deck or wiring; (b) a wet reading or soft substrate, to be looked
/// into; (c) water at electrical or fuel equipment; (d) a way out or an exhaust sealed shut. (e) What was declined although at once
/// needs a signed line. A temporary cover is no repair: it ends after "action/temporary_cover/days".
/// @param findings   The look that `grade` is of.
/// @param work_done  Records of the coach: covers, and what was declined since the look.
/// @source  Our proposal: docs/survey.md.
/// @threads pure.
UrgencyAnswer judge(const Grade& grade, const std::vector<Finding>& findings, const JointType& type, bool exposed_soon,
                    const Catalogue& catalogue, Date as_of, const std::vector<WorkDone>& work_done = {});

}  // namespace libseal
