#pragma once
// Text at the border: numbers with units, nearest names, whole files in and out.

#include <string>
#include <string_view>
#include <vector>

namespace libseal {

/// The whole file. @throws FileError  with the path and the system's reason.
std::string read_text_file(const std::string& path);
/// Writes all of text or nothing, by renaming a file beside `path`, once it is on the disk, over it. Links, modes and devices stay.
/// @throws FileError  with the path and the system's reason; then `path` is as it was and nothing is left beside it.
void write_text_file(const std::string& path, std::string_view text);

/// The candidate most like `name`, or "" if none is near.
std::string nearest_name(std::string_view name, const std::vector<std::string>& candidates);

/// Shortest decimal text that reads back as the same double. "nan", "inf" and "-inf" for what is not finite.
std::string number_text(double value);
/// Fixed decimals, "-0.0" written as "0.0".
std::string number_text(double value, int decimals);
/// Reads all of `text` as a number, in the C locale. False if it is not one.
bool try_parse_number(std::string_view text, double& value);
/// A length such as "6 mm", "0.25 in", "1.2 m", "3 ft", "12 cm". False if the unit is missing or unknown. [m]
bool try_parse_length(std::string_view text, double& metres);

/// Is this well-formed UTF-8? No overlong forms, no halves of surrogate pairs.
bool is_utf8(std::string_view text);

/// Lines around `line` with a caret under `column`, as errors show them.
std::string error_context(std::string_view text, int line, int column, int width = 1);

}  // namespace libseal
