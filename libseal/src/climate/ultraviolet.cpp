#include "libseal/climate/ultraviolet.hpp"

#include <algorithm>
#include <cmath>

#include "climate/irradiance_parts.hpp"

namespace libseal {
namespace {

constexpr double cos_89 = 0.01745240643728351;

/// Ultraviolet (280 to 400 nm) part of the sun's light above the atmosphere: 102.84 of 1366.1 W/m2 (ASTM G173).
constexpr double share_above = 102.84 / 1366.1;

/// How much more the beam loses than the whole in clear air: beam shares of ultraviolet and of all light, 1 - fd, with
/// fd = 1 - exp(-0.43 m) and 1 - exp(-0.117 m^0.75). Both fitted to SPECTRL2 spectra, m = 1 to 5.6, within 0.03 and 0.01.
double beam_factor(double mass) { return std::exp(-0.43 * mass + 0.117 * std::pow(mass, 0.75)); }

}  // namespace

double ultraviolet_share(double air_mass, double clear_sky_index) {
    const double cloud = 1 - std::clamp(clear_sky_index, 0.0, 1.0);
    return 0.0629 * std::pow(air_mass, -0.243) * (1 + 0.61 * std::pow(cloud, 1.285));
}

SkyHours ultraviolet_hours(const Weather& weather, const SunHours& sun) {
    const detail::IrradianceParts parts = detail::irradiance_parts(weather, sun);
    const Eigen::Index n = weather.size();
    const double grazing = air_mass(90);
    SkyHours sky{Column::Zero(n), Column::Zero(n), Column::Zero(n), Column::Zero(n), Column::Zero(n)};
    for (Eigen::Index i = 0; i < n; ++i) {
        const double ghi = parts.ghi[i], dni = parts.dni[i], cos_zenith = sun.cos_zenith[i];
        if (ghi <= 0) continue;  // NaN goes on and stays NaN
        const bool up = cos_zenith > 0;
        const double mass = up ? sun.air_mass[i] : grazing;
        const double clear = haurwitz_clear(sun.zenith[i]);
        // In the hours of sunrise and sunset the clear-sky model says nothing; their light is small.
        const double index = clear > 1 ? ghi / clear : 1.0;
        const double global = ultraviolet_share(mass, index) * ghi;
        const double beam =
            up ? std::min(ultraviolet_share(mass, 1.0) * beam_factor(mass) * dni, global / cos_zenith) : 0.0;
        const double diffuse = global - beam * std::max(cos_zenith, 0.0);
        const double around = std::min(1.0, beam / (share_above * sun.extraterrestrial[i]));
        sky.beam[i] = beam;
        sky.circumsolar[i] = diffuse * around / std::max(cos_zenith, cos_89);
        sky.dome[i] = diffuse * (1 - around);
        sky.horizontal[i] = global;
    }
    return sky;
}

Column ultraviolet(const Weather& weather, const SunHours& sun, double tilt, double azimuth, double albedo) {
    return plane_total(sun, ultraviolet_hours(weather, sun), tilt, azimuth, albedo);
}

Column ultraviolet(const Weather& weather, double tilt, double azimuth, double albedo) {
    return ultraviolet(weather, sun_hours(weather), tilt, azimuth, albedo);
}

}  // namespace libseal
