#pragma once
// A panel as the loops over hours want it.

#include "kernel/panel_heat.hpp"

namespace libseal::detail {

/// @throws ValueError  naming the argument.
kernel::PanelFactors panel_factors(double tilt, double absorptance, double emittance, bool two_sided);

}  // namespace libseal::detail
