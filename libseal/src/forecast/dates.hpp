#pragma once
// A forecast of dates alone, for calendars of many coaches.

#include "libseal/forecast/forecast.hpp"

namespace libseal::detail {

/// Columns that a forecast has.
enum class Columns {
    all,
    dates,  ///< age, effective_age, due_now to due_2_years, due_10, due_50, due_90 and inspect_by; the other columns are empty
};

/// `forecast` with some of its columns; these have the same bits.
Forecast forecast_of(Fleet fleet, Date as_of, double years, const ForecastOptions& options, Columns wanted);

}  // namespace libseal::detail
