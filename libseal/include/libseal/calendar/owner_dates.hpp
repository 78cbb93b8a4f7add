#pragma once
// Trips and storage of coaches from files.

#include <string>
#include <string_view>
#include <vector>

#include "libseal/calendar/visits.hpp"

namespace libseal {

/// Reads trips and storage from CSV (header of the field names: coach, from, to, kind, set_up_percent, reason) or JSON
/// (schema `libseal/owner_dates/1`). `to` is the day after the last; `kind` is "trip" if it is left out.
/// @throws FileError, ValueError  with file, line, column and field of up to 50 problems.
std::vector<OwnerDates> read_owner_dates(const std::string& path);
/// The same from text in memory; `name` stands for the file in errors.
std::vector<OwnerDates> read_owner_dates_text(std::string_view text, const std::string& name);

/// Checks that every record names a coach of the fleet, a kind, days in order and a percentage from 0 to 1000.
/// @throws ValueError  naming record, field, value and what is allowed, up to 50 problems.
void check_owner_dates(const std::vector<OwnerDates>& owner_dates, const Fleet& fleet);

}  // namespace libseal
