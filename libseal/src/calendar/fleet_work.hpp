#pragma once
// The work of a fleet before it has days: forecast and planned coach by coach, large fleets part by part.

#include <vector>

#include "calendar/draft.hpp"

namespace libseal::detail {

/// The year in the making; in the order of the fleet.
struct Making {
    std::vector<VisitDraft> drafts;
    std::vector<CoachFacts> facts;
    std::vector<Unplaced> unplaced;
};

/// Forecasts the fleet and plans its work. No result depends on the parts or the threads.
/// @throws ValueError  naming coach, joint and field.
Making work_of_fleet(const Fleet& fleet, const YearFrame& frame);
/// From a forecast that is there already.
Making work_of_fleet(const Fleet& fleet, const YearFrame& frame, const Forecast& forecast);

}  // namespace libseal::detail
