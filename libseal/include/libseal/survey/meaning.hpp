#pragma once
// What a sign means: what to look at next, where, and how often that finds something.

#include <limits>
#include <string>
#include <vector>

#include "libseal/coach/coach.hpp"
#include "libseal/survey/finding.hpp"

namespace libseal {

/// One thing to look at because of what was found.
struct Check {
    std::string joint;  ///< where to look; "" for a part that no joint seals
    std::string part;   ///< the part there, "" for none
    std::string what;   ///< what to look for or do, in words
    std::string why;    ///< sentence that names the finding
    std::string rule;   ///< one of `meaning_rules`
    double likelihood = std::numeric_limits<double>::quiet_NaN();  ///< chance that the check finds what it looks for [-]
};

/// Names of the rules, in order of the word list of signs.
const std::vector<std::string>& meaning_rules();
/// Signs that a rule speaks of.
/// @throws ValueError  unknown rule, with the nearest name.
std::vector<std::string> signs_of_rule(const std::string& rule);

/// What follows from findings on a coach.
///
/// Each sign has its rules; thresholds and likelihoods are "meaning/RULE/..." of the catalogue. What was repaired since, and what was
/// seen after `as_of`, is left out. The order of the findings does not matter; checks come by joint in the order of the coach, most
/// likely first.
/// @param findings   Of any coach; those of others are passed over.
/// @param coach      As it was fitted; `work_done` tells what was renewed.
/// @throws ValueError  for joints and parts that the coach does not have.
/// @source  Rules and sources: docs/survey.md. Likelihoods: judgement of this project.
/// @threads pure.
std::vector<Check> meaning(const std::vector<Finding>& findings, const Coach& coach, const Catalogue& catalogue, Date as_of,
                           const std::vector<WorkDone>& work_done = {});

}  // namespace libseal
