#pragma once
// A forecast under other assumptions, beside the one that stands; and which assumption moves a date most.

#include <string>
#include <vector>

#include "libseal/forecast/forecast.hpp"

namespace libseal {

/// One assumption that a call changes. `target` is
/// - an id of the catalogue: "sealant/polyurethane/median_life", "finish/white_gelcoat/absorptance", "model/look_sd";
/// - "coach/ID/FIELD", FIELD one of cover, heading, station, place (of all stays) or finish/SURFACE;
/// - "joint/COACH/JOINT/FIELD", FIELD one of screw_spacing_mm, length_m, LAYER/family, LAYER/installed.
/// "*" in place of an ID stands for all.
struct Change {
    std::string target;
    std::string value;  ///< number, word or date as the target takes it
};

/// Two forecasts with the same rows.
struct Comparison {
    Forecast before;
    Forecast after;
    Column days;  ///< later due_50 of `after`: positive where the change puts the date off [d]
};

/// Forecasts with the changes and without. @param years  Span of interest. [yr], > 0, at most 50
/// @throws ValueError  naming the target or the value, with the nearest known one.
/// @threads pure.
Comparison what_if(const Fleet& fleet, Date as_of, double years, const std::vector<Change>& changes,
                   const ForecastOptions& options = {});
Comparison what_if(const Coach& coach, Date as_of, double years, const std::vector<Change>& changes,
                   const ForecastOptions& options = {});

/// How far each assumption moves the median due date of each row, one at a time, over its plausible range.
struct Sensitivity {
    std::vector<std::string> assumption;  ///< targets as in Change
    std::vector<std::string> low;         ///< value at the low end
    std::vector<std::string> high;
    Eigen::ArrayXXd days_low;             ///< move of due_50 with the low value, one row an assumption, one column a layer [d]
    Eigen::ArrayXXd days_high;            ///< [d]
    std::vector<std::string> most;        ///< per layer: what moves it most: "measure this next"; "" if nothing does
    Column most_days;                     ///< per layer: the larger of its two moves, without sign [d]
};

/// Goes through the families' energies, exponents and lives, the finishes, the installation dates, headings and covers
/// that are not known. Costs two forecasts an assumption: ask for one coach.
/// @param years  [yr], > 0, at most 50
/// @throws ValueError  as `forecast`.
/// @threads pure.
Sensitivity sensitivity(const Coach& coach, Date as_of, double years, const ForecastOptions& options = {});

}  // namespace libseal
