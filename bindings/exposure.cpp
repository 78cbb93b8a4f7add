// Planes, covers and surface temperature in Python.

#include "docs/climate.hpp"
#include "docs/exposure.hpp"
#include "bind.hpp"
#include "libseal/exposure/exposure.hpp"
#include "libseal/exposure/itinerary.hpp"
#include "libseal/exposure/plane.hpp"
#include "libseal/exposure/surface_temperature.hpp"

namespace libseal::python {
namespace {

py::array_t<double> surface_temperature_of(const Weather& weather, double tilt, double azimuth,
                                           double absorptance, double emittance, double albedo,
                                           double wind_factor, double film_base, double film_slope,
                                           double film_floor, bool two_sided) {
    py::gil_scoped_release free;
    const SurfaceTemperatureOptions options{albedo,     wind_factor, film_base,
                                            film_slope, film_floor,  two_sided};
    Column column = surface_temperature(weather, tilt, azimuth, absorptance, emittance, options);
    const py::gil_scoped_acquire lock;
    return give(std::move(column));
}

}  // namespace

void declare_exposure(py::module_& m) {
    py::class_<Plane>(m, "Plane", doc::Plane);
    py::class_<CoverFactors>(m, "CoverFactors", doc::CoverFactors);
    py::class_<SkyHours>(m, "SkyHours", doc::SkyHours);
    py::class_<PanelHours>(m, "PanelHours", doc::PanelHours);
    py::class_<SiteHours>(m, "SiteHours", doc::SiteHours);
    py::class_<SurfaceHours>(m, "SurfaceHours", doc::SurfaceHours);
}

void define_exposure(py::module_& m) {
    auto plane = known<Plane>();
    field(plane, LIBSEAL_FIELD(Plane, tilt));
    field(plane, LIBSEAL_FIELD(Plane, azimuth));
    auto cover = known<CoverFactors>();
    field(cover, LIBSEAL_FIELD(CoverFactors, roof));
    field(cover, LIBSEAL_FIELD(CoverFactors, wall));
    field(cover, LIBSEAL_FIELD(CoverFactors, rain));
    field(cover, LIBSEAL_FIELD(CoverFactors, open_air));

    auto sky = known<SkyHours>();
    field(sky, LIBSEAL_FIELD(SkyHours, beam));
    field(sky, LIBSEAL_FIELD(SkyHours, circumsolar));
    field(sky, LIBSEAL_FIELD(SkyHours, dome));
    field(sky, LIBSEAL_FIELD(SkyHours, horizon));
    field(sky, LIBSEAL_FIELD(SkyHours, horizontal));
    auto panel = known<PanelHours>();
    field(panel, LIBSEAL_FIELD(PanelHours, air));
    field(panel, LIBSEAL_FIELD(PanelHours, sky_radiant));
    field(panel, LIBSEAL_FIELD(PanelHours, film));
    field(panel, LIBSEAL_FIELD(PanelHours, two_sided));
    auto site = known<SiteHours>();
    field(site, LIBSEAL_FIELD(SiteHours, sun));
    field(site, LIBSEAL_FIELD(SiteHours, light));
    field(site, LIBSEAL_FIELD(SiteHours, ultraviolet));
    field(site, LIBSEAL_FIELD(SiteHours, panel));
    auto hours = known<SurfaceHours>();
    field(hours, LIBSEAL_FIELD(SurfaceHours, ultraviolet));
    field(hours, LIBSEAL_FIELD(SurfaceHours, surface_temperature));
    field(hours, LIBSEAL_FIELD(SurfaceHours, surface_humidity));
    field(hours, LIBSEAL_FIELD(SurfaceHours, air_temperature));
    field(hours, LIBSEAL_FIELD(SurfaceHours, air_humidity));

    m.def("plane_of", &plane_of, "surface"_a, "heading"_a, doc::plane_of);
    m.def("cover_factors", &cover_factors, "cover"_a, doc::cover_factors);

    m.def("site_hours", &site_hours, "weather"_a, doc::site_hours, Free());
    m.def("surface_hours", &surface_hours, "weather"_a, "site"_a, "plane"_a, "absorptance"_a, "emittance"_a,
          "cover"_a, doc::surface_hours, Free());

    const SurfaceTemperatureOptions defaults;
    m.def("surface_temperature", &surface_temperature_of, "weather"_a, "tilt"_a, "azimuth"_a, "absorptance"_a,
          "emittance"_a = 0.9, py::kw_only(), "albedo"_a = defaults.albedo,
          "wind_factor"_a = defaults.wind_factor, "film_base"_a = defaults.film_base,
          "film_slope"_a = defaults.film_slope, "film_floor"_a = defaults.film_floor,
          "two_sided"_a = defaults.two_sided, doc::surface_temperature);
    m.def("sky_emissivity", py::vectorize(&sky_emissivity), "dew_point"_a, "opaque_cover"_a,
          doc::sky_emissivity);
    m.def("panel_balance", py::vectorize(&panel_balance), "absorbed"_a, "emittance"_a, "sky_temperature"_a,
          "air_temperature"_a, "film"_a, doc::panel_balance);
    m.def("solar_reflectance_index", py::vectorize(&solar_reflectance_index), "reflectance"_a, "emittance"_a,
          doc::solar_reflectance_index);
    m.def("sol_air_temperature", py::vectorize(&sol_air_temperature), "air_temperature"_a, "absorptance"_a,
          "irradiance"_a, "film"_a, "long_wave_correction"_a, doc::sol_air_temperature);
}

}  // namespace libseal::python
