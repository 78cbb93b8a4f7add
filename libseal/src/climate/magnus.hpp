#pragma once
// Saturation over water by the Magnus form.

#include "libseal/core/columns.hpp"

namespace libseal::detail {

/// @source Alduchov & Eskridge 1996.
constexpr double magnus_a = 17.625, magnus_b = 243.04;  // [-], [degC]

/// ln of saturation pressure but for a constant, as moisture.hpp has it. NaN stays NaN.
inline Column magnus_exponent(ConstColumn temperature) { return magnus_a * temperature / (temperature + magnus_b); }

}  // namespace libseal::detail
