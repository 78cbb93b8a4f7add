#pragma once
// Calendars as CSV and JSON, and back.

#include <string>
#include <string_view>

#include "libseal/calendar/year.hpp"

namespace libseal {

/// One row a task of a visit (one row for a visit without tasks).
std::string calendar_csv(const Calendar& calendar);
/// Schema `libseal/calendar/1`; reads back equal.
std::string calendar_json(const Calendar& calendar);

/// Reads a calendar written by `write_json`, for `previous`.
/// @throws FileError, ValueError  with file, line, column and field of up to 50 problems.
Calendar read_calendar(const std::string& path);
/// The same from text in memory; `name` stands for the file in errors.
Calendar read_calendar_text(std::string_view text, const std::string& name);

}  // namespace libseal
