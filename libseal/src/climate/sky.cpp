#include "libseal/climate/sky.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "climate/irradiance_parts.hpp"
#include "climate/lengths.hpp"
#include "climate/plane_factors.hpp"
#include "kernel/kernels.hpp"
#include "libseal/core/require.hpp"

namespace libseal {
namespace {

namespace perez = kernel::perez;
using kernel::cos_85, kernel::cos_89;

constexpr double pi = 3.14159265358979323846;
constexpr double radian = pi / 180;
constexpr double nan = std::numeric_limits<double>::quiet_NaN();

struct Brightness {
    double circumsolar, horizon;  ///< F1, F2
};

/// zenith [deg]; dhi > 0.
Brightness perez_brightness(double zenith, double dni, double dhi, double extraterrestrial, double mass) {
    const double z = zenith * radian;
    const double cube = perez::zenith_weight * z * z * z;
    const double clearness = ((dhi + dni) / dhi + cube) / (1 + cube);
    const double brightness = dhi * mass / extraterrestrial;
    int bin = 0;
    for (int i = 1; i < 8; ++i) bin += clearness >= perez::bin_from[i];
    const double* f = perez::coefficients[bin];
    return {std::max(0.0, f[0] + f[1] * brightness + f[2] * z), f[3] + f[4] * brightness + f[5] * z};
}

kernel::SkyColumns columns_of(const SunHours& sun, const SkyHours& sky) {
    const Eigen::Index n = sun.cos_zenith.size();
    detail::require_length(sky.beam.size(), n, "sky.beam");
    return {static_cast<std::size_t>(n), sun.cos_zenith.data(), sun.east.data(),   sun.north.data(),    sky.beam.data(),
            sky.circumsolar.data(),      sky.dome.data(),       sky.horizon.data(), sky.horizontal.data()};
}

}  // namespace

double cos_incidence(double tilt, double azimuth, double sun_zenith, double sun_azimuth) {
    return std::cos(tilt * radian) * std::cos(sun_zenith * radian) +
           std::sin(tilt * radian) * std::sin(sun_zenith * radian) * std::cos((sun_azimuth - azimuth) * radian);
}

double isotropic_sky(double tilt, double dhi) { return dhi * (1 + std::cos(tilt * radian)) / 2; }

double hay_davies_sky(double tilt, double cos_incidence, double sun_zenith, double dni, double dhi,
                      double extraterrestrial) {
    const double around = dni / extraterrestrial;
    const double ratio = std::max(cos_incidence, 0.0) / std::max(std::cos(sun_zenith * radian), cos_89);
    return dhi * (around * ratio + (1 - around) * (1 + std::cos(tilt * radian)) / 2);
}

double perez_sky(double tilt, double cos_incidence, double sun_zenith, double dni, double dhi, double extraterrestrial,
                 double air_mass) {
    if (!(dhi > 0)) return std::isnan(dhi) ? nan : 0.0;
    const Brightness f = perez_brightness(sun_zenith, dni, dhi, extraterrestrial, air_mass);
    const double ratio = std::max(cos_incidence, 0.0) / std::max(std::cos(sun_zenith * radian), cos_85);
    const double sky = dhi * ((1 - f.circumsolar) * (1 + std::cos(tilt * radian)) / 2 + f.circumsolar * ratio +
                              f.horizon * std::sin(tilt * radian));
    return sky < 0 ? 0.0 : sky;
}

Split erbs_split(double ghi, double zenith, double extraterrestrial) {
    const double cos_zenith = std::cos(zenith * radian);
    const double kt = ghi / (extraterrestrial * std::max(cos_zenith, 0.065));
    double share = 0.165;
    if (kt <= 0.22)
        share = 1 - 0.09 * kt;
    else if (kt <= 0.8)
        share = 0.9511 + kt * (-0.1604 + kt * (4.388 + kt * (-16.638 + kt * 12.336)));
    const double dni = (ghi - share * ghi) / cos_zenith;
    if (std::isnan(dni)) return {nan, nan, nan};
    if (zenith > 87 || ghi < 0 || dni < 0) return {0, std::max(ghi, 0.0), kt};
    return {dni, share * ghi, kt};
}

double haurwitz_clear(double zenith) {
    const double cos_zenith = std::cos(zenith * radian);
    return cos_zenith > 0 ? kernel::haurwitz::scale * cos_zenith * std::exp(-kernel::haurwitz::loss / cos_zenith) : std::isnan(zenith) ? nan : 0.0;
}

ClearSky tau_clear(double taub, double taud, double altitude, int day_of_year) {
    if (altitude <= 0) return {0, 0};
    const double e0 = 1367 * (1 + 0.033 * std::cos(2 * pi * (day_of_year - 3) / 365));
    const double mass = 1 / (std::sin(altitude * radian) + 0.50572 * std::pow(6.07995 + altitude, -1.6364));
    const double ab = 1.219 - 0.043 * taub - 0.151 * taud - 0.204 * taub * taud;
    const double ad = 0.202 + 0.852 * taub - 0.007 * taud - 0.357 * taub * taud;
    return {e0 * std::exp(-taub * std::pow(mass, ab)), e0 * std::exp(-taud * std::pow(mass, ad))};
}

SkyHours sky_hours(const Weather& weather, const SunHours& sun) {
    const detail::IrradianceParts parts = detail::irradiance_parts(weather, sun);
    const Eigen::Index n = weather.size();
    SkyHours sky{Column(n), Column(n), Column(n), Column(n), parts.ghi};
    kernel::kernels().sky_light({static_cast<std::size_t>(n), parts.dni.data(), parts.dhi.data(), sun.cos_zenith.data(), sun.zenith.data(),
                                 sun.air_mass.data(), sun.extraterrestrial.data()},
                                {sky.beam.data(), sky.circumsolar.data(), sky.dome.data(), sky.horizon.data()});
    return sky;
}

kernel::PlaneFactors detail::plane_factors(double tilt, double azimuth, double albedo) {
    require_between(tilt, 0, 180, "tilt");
    if (std::isinf(azimuth)) require_finite(azimuth, "azimuth");
    require_between(albedo, 0, 1, "albedo");
    kernel::PlaneFactors plane;
    plane.cos_tilt = std::cos(tilt * radian);
    plane.sin_tilt = std::sin(tilt * radian);
    plane.known = !std::isnan(azimuth);
    if (plane.known) {
        plane.east = plane.sin_tilt * std::sin(azimuth * radian);
        plane.north = plane.sin_tilt * std::cos(azimuth * radian);
    }
    plane.dome = (1 + plane.cos_tilt) / 2;
    plane.ground = albedo * (1 - plane.cos_tilt) / 2;
    return plane;
}

PlaneIrradiance plane_irradiance(const SunHours& sun, const SkyHours& sky, double tilt, double azimuth, double albedo) {
    const Eigen::Index n = sun.cos_zenith.size();
    PlaneIrradiance plane{Column(n), Column(n), Column(n)};
    kernel::kernels().plane_parts(columns_of(sun, sky), detail::plane_factors(tilt, azimuth, albedo), plane.beam.data(), plane.sky.data(),
                                  plane.ground.data());
    return plane;
}

Column plane_total(const SunHours& sun, const SkyHours& sky, double tilt, double azimuth, double albedo) {
    Column total(sun.cos_zenith.size());
    kernel::kernels().plane_total(columns_of(sun, sky), detail::plane_factors(tilt, azimuth, albedo), total.data());
    return total;
}

PlaneIrradiance plane_irradiance(const Weather& weather, const SunHours& sun, double tilt, double azimuth,
                                 double albedo) {
    return plane_irradiance(sun, sky_hours(weather, sun), tilt, azimuth, albedo);
}

PlaneIrradiance plane_irradiance(const Weather& weather, double tilt, double azimuth, double albedo) {
    return plane_irradiance(weather, sun_hours(weather), tilt, azimuth, albedo);
}

}  // namespace libseal
