#pragma once
// Saturation over water by the Magnus form.

#include "kernel/units.hpp"
#include "libseal/core/columns.hpp"

namespace libseal::detail {

using kernel::magnus_a;
using kernel::magnus_b;

/// ln of saturation pressure but for a constant, as moisture.hpp has it. NaN stays NaN.
inline Column magnus_exponent(ConstColumn temperature) { return magnus_a * temperature / (temperature + magnus_b); }

}  // namespace libseal::detail
