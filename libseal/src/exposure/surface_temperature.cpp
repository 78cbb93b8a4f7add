#include "libseal/exposure/surface_temperature.hpp"

#include <algorithm>
#include <cmath>

#include "climate/lengths.hpp"
#include "exposure/panel_factors.hpp"
#include "kernel/kernels.hpp"
#include "kernel/units.hpp"
#include "libseal/core/require.hpp"

namespace libseal {
namespace {

constexpr double radian = 3.14159265358979323846 / 180;
constexpr double sigma = 5.670374419e-8;  // Stefan and Boltzmann [W/m2K4]
using kernel::zero_celsius;

double fourth(double x) { return x * x * x * x; }

void check_options(const SurfaceTemperatureOptions& o) {
    require_between(o.albedo, 0, 1, "albedo");
    require_not_negative(o.wind_factor, "wind_factor");
    require_not_negative(o.film_base, "film_base");
    require_not_negative(o.film_slope, "film_slope");
    require_not_negative(o.film_floor, "film_floor");
    require_positive(std::max(o.film_floor, o.film_base), "film_base");  // a panel in still air must lose heat
}

/// Walton's factor for cloud.
double cloud_factor(double n) { return 1 + n * (0.0224 + n * (-0.0035 + n * 0.00028)); }

}  // namespace

double sky_emissivity(double dew_point, double opaque_cover) {
    const double e = (0.787 + 0.764 * std::log((dew_point + zero_celsius) / 273)) * cloud_factor(opaque_cover);
    return e > 1 ? 1.0 : e;  // the fit passes 1 under cloud above a dew point of about 28 degC; a sky cannot
}

PanelHours panel_hours(const Weather& weather, const SurfaceTemperatureOptions& options) {
    check_options(options);
    const Eigen::Index n = weather.size();
    detail::require_length(weather.air_temperature.size(), n, "weather.air_temperature");
    detail::require_length(weather.dew_point.size(), n, "weather.dew_point");
    detail::require_length(weather.wind_speed.size(), n, "weather.wind_speed");
    detail::require_length(weather.opaque_sky_cover.size(), n, "weather.opaque_sky_cover");
    const bool gaps = weather.opaque_sky_cover.isNaN().any();
    const Column filled = gaps ? filled_sky_cover(weather, sun_hours(weather)) : Column();
    const Column& cover = gaps ? filled : weather.opaque_sky_cover;

    PanelHours panel{weather.air_temperature + kernel::zero_celsius, Column(n), Column(n), options.two_sided};
    kernel::kernels().sky_radiant(static_cast<std::size_t>(n), weather.air_temperature.data(), weather.dew_point.data(), cover.data(),
                                  panel.sky_radiant.data());
    for (Eigen::Index i = 0; i < n; ++i) {
        const double film = options.film_base + options.film_slope * options.wind_factor * weather.wind_speed[i];
        panel.film[i] = film < options.film_floor ? options.film_floor : film;
    }
    return panel;
}

kernel::PanelFactors detail::panel_factors(double tilt, double absorptance, double emittance, bool two_sided) {
    require_between(tilt, 0, 180, "tilt");
    require_between(absorptance, 0, 1, "absorptance");
    require_between(emittance, 0, 1, "emittance");
    // The back of a free panel sees what the front does not: together one sky and one ground.
    return {absorptance, emittance * sigma, two_sided ? 1.0 : (1 + std::cos(tilt * radian)) / 2, two_sided ? 2.0 : 1.0};
}

Column surface_temperature(const PanelHours& panel, ConstColumn irradiance, double tilt, double absorptance,
                           double emittance) {
    const kernel::PanelFactors factors = detail::panel_factors(tilt, absorptance, emittance, panel.two_sided);
    const Eigen::Index n = panel.air.size();
    detail::require_length(irradiance.size(), n, "irradiance");
    Column surface(n);
    const kernel::PanelColumns columns{static_cast<std::size_t>(n), panel.air.data(), panel.sky_radiant.data(), panel.film.data(),
                                       irradiance.data()};
    kernel::kernels().panel_temperature(columns, factors, surface.data());
    return surface;
}

Column surface_temperature(const Weather& weather, ConstColumn irradiance, double tilt, double absorptance,
                           double emittance, const SurfaceTemperatureOptions& options) {
    return surface_temperature(panel_hours(weather, options), irradiance, tilt, absorptance, emittance);
}

Column surface_temperature(const Weather& weather, double tilt, double azimuth, double absorptance, double emittance,
                           const SurfaceTemperatureOptions& options) {
    const SunHours sun = sun_hours(weather);
    const Column light = plane_total(sun, sky_hours(weather, sun), tilt, azimuth, options.albedo);
    return surface_temperature(weather, light, tilt, absorptance, emittance, options);
}

double panel_balance(double absorbed, double emittance, double sky_temperature, double air_temperature, double film) {
    require_finite(absorbed, "absorbed");
    require_between(emittance, 0, 1, "emittance");
    require_not_negative(sky_temperature, "sky_temperature");
    require_positive(air_temperature, "air_temperature");
    require_positive(film, "film");
    const double radiant = emittance * sigma;
    const double gain = absorbed + radiant * fourth(sky_temperature) + film * air_temperature;
    double t = std::max(air_temperature, sky_temperature);
    for (int step = 0; step < 60; ++step) {
        const double cube = radiant * t * t * t;
        const double next = (gain + 3 * cube * t) / (film + 4 * cube);
        if (std::abs(next - t) < 1e-12 * t) return next;
        t = next;
    }
    return t;
}

double solar_reflectance_index(double reflectance, double emittance) {
    require_between(reflectance, 0, 1, "reflectance");
    const auto surface = [](double r, double e) { return panel_balance(1000 * (1 - r), e, 300, 310, 12); };
    const double black = surface(0.05, 0.90), white = surface(0.80, 0.90);
    return 100 * (black - surface(reflectance, emittance)) / (black - white);
}

double sol_air_temperature(double air_temperature, double absorptance, double irradiance, double film,
                           double long_wave_correction) {
    require_positive(film, "film");
    return air_temperature + (absorptance * irradiance - long_wave_correction) / film;
}

}  // namespace libseal
