#pragma once
// Coaches and fleets from files.

#include <string>
#include <string_view>

#include "libseal/coach/coach.hpp"

namespace libseal {

/// Reads a coach, schema `libseal/coach/1`: written out joint by joint, or a layout with changes.
/// @throws FileError, ValueError  with file, line, column and field of up to 50 problems.
/// @threads pure.
Coach read_coach(const std::string& path);
/// The same from text in memory; `name` stands for the file in errors.
Coach read_coach_text(std::string_view text, const std::string& name);
/// The coach as text that reads back equal.
std::string coach_json(const Coach& coach);

/// Reads a fleet: JSON (schema `libseal/fleet/1`: coaches inline or by file beside it), or CSV with one row a coach
/// (id, layout, length_m, model_line, model_year, station, finish, ...).
Fleet read_fleet(const std::string& path);
/// The same from text in memory; coaches by file are looked for in `folder`.
Fleet read_fleet_text(std::string_view text, const std::string& name, const std::string& folder = "");
/// The fleet as text that reads back equal.
std::string fleet_json(const Fleet& fleet);

}  // namespace libseal
