#pragma once
// Whether a fleet with its findings and work on record can be forecast.

#include <vector>

#include "libseal/forecast/forecast.hpp"

namespace libseal::detail {

/// @param findings  Those that are used; `options.findings` is not looked at.
/// @throws ValueError  coaches of one id, coaches, findings and records that cannot be, `look_noise`.
void check_fleet_inputs(const Fleet& fleet, const std::vector<Finding>& findings, Date as_of, const ForecastOptions& options);

}  // namespace libseal::detail
