#pragma once
// Which joints to look at next, and in which order to walk: what each look would tell against the minutes it takes.

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "libseal/coach/coach.hpp"
#include "libseal/forecast/forecast.hpp"

namespace libseal {

/// Optional inputs of `inspection_plan`; the names are the keywords in Python.
struct InspectionOptions {
    std::optional<Date> day;     ///< day of the inspection, not before that of the forecast; absent: that of the forecast
    double horizon = 1;          ///< what is asked is whether a joint is due within this time of `day` [yr], > 0, at most 50
    double budget = std::numeric_limits<double>::infinity();  ///< minutes there are [min]; what is overdue is looked at anyway
    double least_bits_per_minute = 0.01;  ///< a look that tells less is not worth its minutes [bit/min], >= 0
    bool weigh_consequence = false;  ///< choose by bits times the weight of what gets wet instead of bits alone
    std::string inspector;       ///< who looks, among those with a noise of their own in the forecast; "": the usual noise
};

/// One joint to look at.
struct InspectionStop {
    std::string joint;
    int number = 0;              ///< place in the walk, from 1; the ground comes before the roof
    std::string trip;            ///< "ground" or "roof"
    double minutes = 0;          ///< for the look and its record [min]
    double bits = 0;             ///< what a look is expected to tell about being due within the horizon [bit]
    double due = 0;              ///< probability that a layer that can be seen is due within the horizon [-]
    bool overdue = false;        ///< the look at a layer that can be seen is due by `day`, or any layer is likely due already
    std::string reason;          ///< why it is on the list, in words
    std::vector<std::string> cautions;  ///< ids, from the joint type
};

/// One joint that is not looked at this time.
struct JointLeftOut {
    std::string joint;
    double minutes = 0;          ///< that a look would take [min]
    double bits = 0;             ///< [bit]
    double bits_per_minute = 0;  ///< [bit/min], without the way up to the roof
    std::string reason;          ///< in words
};

/// What to look at, in walking order.
struct InspectionPlan {
    std::string coach;
    Date day{};
    double horizon = 1;          ///< [yr]
    std::vector<InspectionStop> stops;    ///< in order of their numbers
    std::vector<JointLeftOut> left_out;   ///< in order of bits per minute, the most first
    double minutes = 0;          ///< in all: fixed part, way up to the roof, stops [min]
    double fixed_minutes = 0;    ///< of them once for the inspection; 0 without stops [min]
    double roof_set_up_minutes = 0;  ///< of them for the ladder and the way up and down; 0 without stops up there [min]
    double bits = 0;             ///< sum over the stops [bit]
    double ground_walk = 0;      ///< round the coach to the last stop and the shorter way back [m]
    double roof_walk = 0;        ///< from the ladder to the far end and, past the stops, back to it [m]
};

/// What to look at next on a coach, and in which walking order.
///
/// Information: mutual information between the grades (0 to 5) that a look would report and whether a layer that it
/// sees is due within the horizon, over the beliefs of the forecast; noise, overlooked defects, stray looks and
/// workmanship defects are those of the model. A look sees every layer but a bedding under a cap bead, and under a
/// cover tape the tape alone. Layers of a joint share its effects: their grades are taken together, not summed.
/// Choice: what is overdue always (`inspect_by` of a layer that can be seen, or the model's target probability of being
/// due reached by any layer); of the others those that bring most bits (less `least_bits_per_minute` times the
/// minutes) within the budget, the roof only if what it tells is worth the way up or something up there is overdue.
/// Way: once round the coach (curb wall from the front, rear, street wall with what slides out of it, front; the
/// underside with the wall that is nearer), then once over the roof from the end far from the ladder back to it.
///
/// @param coach     One of the coaches of the forecast.
/// @param forecast  Made by `forecast`.
/// @return          Each joint once: among the stops or left out. Same bits for any order of the findings.
/// @throws ValueError  naming the option, or the coach or joint that the forecast does not know.
/// @throws StateError  for a forecast that `forecast` has not made.
/// @source  Mutual information: Shannon 1948. Minutes: catalogue, judgement of this project.
/// @threads pure.
InspectionPlan inspection_plan(const Coach& coach, const Forecast& forecast, const InspectionOptions& options = {});

}  // namespace libseal
