#pragma once
// Light of the sky by its parts, hour by hour.

#include <cstddef>

namespace libseal::kernel {

/// Heights of the sun below which light around it is spread no further.
inline constexpr double cos_85 = 0.08715574274765817, cos_89 = 0.01745240643728351;

/// Perez et al. 1990, table 6: brightness coefficients of eight bins of sky clearness.
namespace perez {
inline constexpr double bin_from[8] = {1, 1.065, 1.23, 1.5, 1.95, 2.8, 4.5, 6.2};
inline constexpr double coefficients[8][6] = {
    {-0.008, 0.588, -0.062, -0.060, 0.072, -0.022},  //
    {0.130, 0.683, -0.151, -0.019, 0.066, -0.029},   //
    {0.330, 0.487, -0.221, 0.055, -0.064, -0.026},   //
    {0.568, 0.187, -0.295, 0.109, -0.152, -0.014},   //
    {0.873, -0.392, -0.362, 0.226, -0.462, 0.001},   //
    {1.132, -1.237, -0.412, 0.288, -0.823, 0.056},   //
    {1.060, -1.600, -0.359, 0.264, -1.127, 0.131},   //
    {0.678, -0.327, -0.250, 0.156, -1.377, 0.251},
};
inline constexpr double zenith_weight = 1.041;  ///< of the cube of the zenith angle in the clearness
}  // namespace perez

struct IrradianceColumns {
    std::size_t count = 0;
    const double *dni = nullptr, *dhi = nullptr;                    ///< [W/m2]
    const double *up = nullptr, *zenith = nullptr;                  ///< of the sun [-], [deg]
    const double *air_mass = nullptr, *extraterrestrial = nullptr;  ///< [-], [W/m2]
};
struct SkyLightColumns {
    double *beam, *circumsolar, *dome, *horizon;  ///< as in SkyColumns
};
/// Light that is not known stays so.
using SkyLightKernel = void (*)(const IrradianceColumns& irradiance, const SkyLightColumns& sky);

}  // namespace libseal::kernel
