#pragma once
// Ultraviolet light of a sky, hour by hour.

#include <cstddef>

namespace libseal::kernel {

/// Share of ultraviolet in all light: at_mass_1 m^mass_power (1 + cloud_gain (1 - kc)^cloud_power), kc the clear-sky index.
namespace ultraviolet_law {
inline constexpr double at_mass_1 = 0.0629, mass_power = -0.243, cloud_gain = 0.61, cloud_power = 1.285;
/// How much more the beam loses than the whole in clear air: exp(beam_linear m + beam_bent m^beam_power). Beam shares of ultraviolet and of
/// all light, 1 - fd, with fd = 1 - exp(-0.43 m) and 1 - exp(-0.117 m^0.75): both fitted to SPECTRL2 spectra, m = 1 to 5.6,
/// within 0.03 and 0.01.
inline constexpr double beam_linear = -0.43, beam_bent = 0.117, beam_power = 0.75;
/// Ultraviolet (280 to 400 nm) part of the sun's light above the atmosphere: 102.84 of 1366.1 W/m2 (ASTM G173).
inline constexpr double share_above = 102.84 / 1366.1;
}  // namespace ultraviolet_law

/// Clear-sky global by height of the sun alone: scale cos z exp(-loss / cos z). @source Haurwitz 1945.
namespace haurwitz {
inline constexpr double scale = 1098, loss = 0.059;  // [W/m2], [-]
}  // namespace haurwitz

struct DaylightColumns {
    std::size_t count = 0;
    const double *ghi = nullptr, *dni = nullptr;              ///< of all light [W/m2]
    const double *up = nullptr, *zenith = nullptr;            ///< of the sun [-], [deg]
    const double *air_mass = nullptr, *extraterrestrial = nullptr;  ///< [-], [W/m2]
    double grazing = 0;                                       ///< air mass of a sun on the horizon
};
struct UltravioletColumns {
    double *beam, *circumsolar, *dome, *horizontal;  ///< as in SkyColumns
};
/// Light that is not known stays so.
using UltravioletLightKernel = void (*)(const DaylightColumns& daylight, const UltravioletColumns& ultraviolet);

}  // namespace libseal::kernel
