#pragma once
// What makes a forecast doubtful although it can be made.

#include <vector>

#include "libseal/forecast/forecast.hpp"

namespace libseal::detail {

/// Findings before a layer was fitted, records of work that are passed over, layers fitted after the day of the
/// forecast, itineraries that have ended. In order of coaches, findings and records.
std::vector<Problem> doubts_of(const Fleet& fleet, Date as_of, const ForecastOptions& options);

}  // namespace libseal::detail
