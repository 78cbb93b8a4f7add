#pragma once
// What no weather file may go beyond: see libseal/core/limits.hpp.

#include "climate/read_table.hpp"
#include "libseal/core/limits.hpp"

namespace libseal::detail {

/// To be asked before a row is read. @throws ValueError  if there are too many rows.
inline void check_room(SourceText& source, const RawWeather& raw, int line) {
    if (raw.size() < limits::weather_rows) return;
    source.report(line, 1, "", "at most " + std::to_string(limits::weather_rows) + " rows", "more", "split the file, or take longer intervals");
    source.problems.throw_if_any();
}

}  // namespace libseal::detail
