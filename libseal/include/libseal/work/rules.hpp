#pragma once
// The sequence rules of the word list: what each asks for, and the order that they give to the steps of a job.

#include <limits>
#include <string>
#include <string_view>
#include <vector>

#include "libseal/work/order.hpp"

namespace libseal {

/// One rule of the word list.
struct SequenceRule {
    std::string name;
    Strength strength = Strength::hard;  ///< of its edges; where a rule has edges of two strengths, of the stronger ones
    std::string meaning;                 ///< in one sentence
    std::string source;
    std::string mark;                    ///< "published", "common_practice" or "judgement"
};

/// All rules, in the order of the word list.
const std::vector<SequenceRule>& sequence_rules();
/// @throws ValueError  if there is none, with the nearest name.
const SequenceRule& sequence_rule(std::string_view name);

/// What the order depends on besides coach and steps.
struct OrderOptions {
    double heading = std::numeric_limits<double>::quiet_NaN();  ///< azimuth of the front while beads are laid in the sun [deg]; NaN: in the shade or unknown
    bool settle_beddings = false;  ///< a bedding creeps for gate/bedding_settle_days before its bead, by a firm edge
    Date work_day{};               ///< first day of the work, for the frost; day 0: not known
    Date first_frost{};            ///< first night of frost after it; day 0: none to mind
    double temperature = 10;       ///< at which beads cure before the frost [degC]
};

/// The edges of a job, and what the rules could not or would not ask for.
struct StepOrder {
    std::vector<Edge> edges;
    std::vector<Edge> gave_way;          ///< firm and soft edges left out because stronger ones ask for the opposite
    std::vector<std::string> warnings;   ///< in words: change of family away from a corner, beads that frost will reach, ...
    std::vector<std::string> notes{};    ///< in words: which rules gave way, and how often
};

/// The order that all rules give to the steps of a job. Hard edges come first; a firm or soft one that would close a loop gives way.
///
/// @param steps  Moves of slide-outs, awnings taken off and put on, and marks are added at its end.
/// @param given  Edges that hold already, for example those of the caller; they are among the edges returned.
/// @throws ValueError  a step of a joint, slide-out or part that the coach does not have; a loop of the given edges with hard ones.
/// @source  Rules: docs/order.md. What is upstream: the drainage graph of the coach.
/// @threads pure.
StepOrder step_order(std::vector<Step>& steps, const Coach& coach, const Catalogue& catalogue,
                     const std::vector<Edge>& given = {}, const OrderOptions& options = {});

}  // namespace libseal
