#pragma once
// Temperature of a panel in sun, wind and sky; what its site shares.

#include <cstddef>

namespace libseal::kernel {

/// Air, sky and wind, one value an hour.
struct PanelColumns {
    std::size_t count = 0;
    const double* air = nullptr;          ///< [K]
    const double* sky_radiant = nullptr;  ///< fourth power of the sky's temperature [K^4]
    const double* film = nullptr;         ///< [W/m2K]
    const double* irradiance = nullptr;   ///< on the panel [W/m2]; null: dark
};

struct PanelFactors {
    double absorptance = 0;    ///< times what a cover lets through [-]
    double radiant = 0;        ///< emittance times the constant of Stefan and Boltzmann [W/m2K4]
    double sky_share = 1;      ///< of its faces together that look at the sky [-]
    double faces = 1;          ///< 2 if the back is free
};

/// Surface temperature [degC], at which what the panel takes up is what film and radiation carry off.
using PanelTemperatureKernel = void (*)(const PanelColumns& panel, const PanelFactors& factors, double* surface);

/// Fourth power of the sky's temperature [K^4] from air and dew point [degC] and opaque cover [tenths].
using SkyRadiantKernel = void (*)(std::size_t count, const double* air, const double* dew_point, const double* cover, double* sky_radiant);

}  // namespace libseal::kernel
