#include "libseal/climate/ultraviolet.hpp"

#include <algorithm>
#include <cmath>

#include "climate/irradiance_parts.hpp"
#include "kernel/kernels.hpp"

namespace libseal {

double ultraviolet_share(double air_mass, double clear_sky_index) {
    using namespace kernel::ultraviolet_law;
    const double cloud = 1 - std::clamp(clear_sky_index, 0.0, 1.0);
    return at_mass_1 * std::pow(air_mass, mass_power) * (1 + cloud_gain * std::pow(cloud, cloud_power));
}

SkyHours ultraviolet_hours(const Weather& weather, const SunHours& sun) {
    const detail::IrradianceParts parts = detail::irradiance_parts(weather, sun);
    const Eigen::Index n = weather.size();
    SkyHours sky{Column(n), Column(n), Column(n), Column::Zero(n), Column(n)};
    kernel::kernels().ultraviolet_light({static_cast<std::size_t>(n), parts.ghi.data(), parts.dni.data(), sun.cos_zenith.data(), sun.zenith.data(),
                                         sun.air_mass.data(), sun.extraterrestrial.data(), air_mass(90)},
                                        {sky.beam.data(), sky.circumsolar.data(), sky.dome.data(), sky.horizontal.data()});
    return sky;
}

Column ultraviolet(const Weather& weather, const SunHours& sun, double tilt, double azimuth, double albedo) {
    return plane_total(sun, ultraviolet_hours(weather, sun), tilt, azimuth, albedo);
}

Column ultraviolet(const Weather& weather, double tilt, double azimuth, double albedo) {
    return ultraviolet(weather, sun_hours(weather), tilt, azimuth, albedo);
}

}  // namespace libseal
