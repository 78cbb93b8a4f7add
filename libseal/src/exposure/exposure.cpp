#include "libseal/exposure/exposure.hpp"

#include "climate/magnus.hpp"
#include "exposure/ground.hpp"
#include "exposure/site_slots.hpp"
#include "libseal/climate/ultraviolet.hpp"

namespace libseal {
namespace {

using detail::ground_albedo;
using detail::ground_uv_albedo;
using detail::indoor_minimum;
using detail::light_under;

/// Humidity at a surface that differs from the air only in temperature, at most 100 %.
Column humidity_at(const Column& temperature, const Column& dew_point) {
    const Column humidity = 100 * (detail::magnus_exponent(dew_point) - detail::magnus_exponent(temperature)).exp();
    return (humidity > 100).select(100.0, humidity);  // what is not known stays so
}

Column air_under(const CoverFactors& cover, const Weather& weather) {
    return cover.open_air ? weather.air_temperature : weather.air_temperature.max(indoor_minimum).eval();
}

}  // namespace

Column surface_temperature_hours(const Weather& weather, const SiteHours& site, const Plane& plane, double absorptance,
                                 double emittance, const CoverFactors& cover) {
    const double light = light_under(cover, plane);
    if (light <= 0) return air_under(cover, weather);
    const Column total = light * plane_total(site.sun, site.light, plane.tilt, plane.azimuth, ground_albedo);
    return surface_temperature(site.panel, total, plane.tilt, absorptance, emittance);
}

SiteHours site_hours(const Weather& weather) {
    SiteHours site;
    site.sun = sun_hours(weather);
    site.light = sky_hours(weather, site.sun);
    site.ultraviolet = ultraviolet_hours(weather, site.sun);
    site.panel = panel_hours(weather);
    return site;
}

SurfaceHours surface_hours(const Weather& weather, const SiteHours& site, const Plane& plane, double absorptance,
                           double emittance, const CoverFactors& cover) {
    SurfaceHours hours;
    const double light = light_under(cover, plane);
    hours.air_temperature = air_under(cover, weather);
    hours.air_humidity = humidity_at(hours.air_temperature, weather.dew_point);
    if (light <= 0) {
        hours.ultraviolet = Column::Zero(weather.size());
        hours.surface_temperature = hours.air_temperature;
        hours.surface_humidity = hours.air_humidity;
        return hours;
    }
    hours.ultraviolet = light * plane_total(site.sun, site.ultraviolet, plane.tilt, plane.azimuth, ground_uv_albedo);
    hours.surface_temperature = surface_temperature_hours(weather, site, plane, absorptance, emittance, cover);
    hours.surface_humidity = humidity_at(hours.surface_temperature, weather.dew_point);
    return hours;
}

}  // namespace libseal
