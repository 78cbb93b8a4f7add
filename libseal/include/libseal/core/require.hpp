#pragma once
// Checks at the border of the library. Each returns its value, so that constructors read in one line.

#include <string_view>

namespace libseal {

/// @throws ValueError  unless value is finite.
double require_finite(double value, std::string_view name);
/// @throws ValueError  unless value is finite and > 0.
double require_positive(double value, std::string_view name);
/// @throws ValueError  unless value is finite and >= 0.
double require_not_negative(double value, std::string_view name);
/// @throws ValueError  unless low <= value <= high.
double require_between(double value, double low, double high, std::string_view name);
/// @throws ValueError  unless low < value < high.
double require_inside(double value, double low, double high, std::string_view name);
/// @throws ValueError  unless low < value <= high.
double require_above(double value, double low, double high, std::string_view name);

}  // namespace libseal
