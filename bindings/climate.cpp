// Weather, stations, sun, sky, ultraviolet and moisture in Python.

#include <array>
#include <optional>

#include "bind.hpp"
#include "docs/climate.hpp"
#include "libseal/climate/moisture.hpp"
#include "libseal/climate/read.hpp"
#include "libseal/climate/sky.hpp"
#include "libseal/climate/station.hpp"
#include "libseal/climate/sun.hpp"
#include "libseal/climate/typical_year.hpp"
#include "libseal/climate/ultraviolet.hpp"

namespace libseal::python {
namespace {

using OptionalDoubles = std::optional<Doubles>;

Column column_or_nan(const OptionalDoubles& values, Eigen::Index size, const char* argument) {
    if (!values) return Column::Constant(size, std::numeric_limits<double>::quiet_NaN());
    return column_in(*values, argument);
}

/// datetime64[s] of an instant, None for none.
py::object instant_out(std::optional<Instant> instant) {
    if (!instant) return py::none();
    return py::module_::import("numpy").attr("datetime64")(*instant, "s");
}

std::string repr_of(const Weather& w) {
    return "Weather(" + (w.site.name.empty() ? "unnamed place" : w.site.name) + ", " +
           std::to_string(w.size()) + " intervals" + (w.typical ? ", typical year)" : ")");
}

ReadWeatherOptions read_options(const std::string& gaps, int longest_fill, const std::string& hours) {
    ReadWeatherOptions options;
    options.gaps = gaps;
    options.longest_fill = longest_fill;
    options.hours = hours;
    return options;
}

void define_site() {
    auto site = known<Site>();
    const auto new_site = [](double latitude, double longitude, const std::string& name, double elevation,
                             double utc_offset) {
        return Site{name, latitude, longitude, elevation, utc_offset};
    };
    site.def(py::init(new_site), "latitude"_a, "longitude"_a, py::kw_only(), "name"_a = "",
             "elevation"_a = 0.0, "utc_offset"_a = 0.0);
    field(site, LIBSEAL_FIELD(Site, name));
    field(site, LIBSEAL_FIELD(Site, latitude));
    field(site, LIBSEAL_FIELD(Site, longitude));
    field(site, LIBSEAL_FIELD(Site, elevation));
    field(site, LIBSEAL_FIELD(Site, utc_offset));

    auto gap = known<Gap>();
    field(gap, LIBSEAL_FIELD(Gap, column));
    field(gap, LIBSEAL_FIELD(Gap, first));
    field(gap, LIBSEAL_FIELD(Gap, count));
    field(gap, LIBSEAL_FIELD(Gap, filled));
}

void define_weather() {
    auto weather = known<Weather>();
    const auto new_weather = [](const Site& place, const py::object& time_utc, const OptionalDoubles& ghi,
                                const OptionalDoubles& dni, const OptionalDoubles& dhi,
                                const OptionalDoubles& air_temperature, const OptionalDoubles& dew_point,
                                const OptionalDoubles& relative_humidity, const OptionalDoubles& wind_speed,
                                const OptionalDoubles& wind_direction, const OptionalDoubles& pressure,
                                const OptionalDoubles& opaque_sky_cover, const OptionalDoubles& precipitation,
                                double step, double sun_offset, bool typical) {
        Weather w;
        w.site = place;
        w.time_utc = instants_in(time_utc, "time_utc");
        w.step = step;
        w.sun_offset = sun_offset;
        w.typical = typical;
        const std::array<const OptionalDoubles*, 11> given = {&ghi,          &dni,
                                                              &dhi,          &air_temperature,
                                                              &dew_point,    &relative_humidity,
                                                              &wind_speed,   &wind_direction,
                                                              &pressure,     &opaque_sky_cover,
                                                              &precipitation};
        for (std::size_t i = 0; i < given.size(); ++i) {
            const std::string& name = weather_column_names()[i];
            weather_column(w, name) = column_or_nan(*given[i], w.size(), name.c_str());
        }
        check_weather(w);
        return w;
    };
    const auto none = py::none();
    weather.def(py::init(new_weather), "site"_a, "time_utc"_a, py::kw_only(), "ghi"_a = none, "dni"_a = none,
                "dhi"_a = none, "air_temperature"_a = none, "dew_point"_a = none,
                "relative_humidity"_a = none, "wind_speed"_a = none, "wind_direction"_a = none,
                "pressure"_a = none, "opaque_sky_cover"_a = none, "precipitation"_a = none, "step"_a = 3600.0,
                "sun_offset"_a = -1800.0, "typical"_a = false, doc::check_weather);
    field(weather, LIBSEAL_FIELD(Weather, site));
    field(weather, LIBSEAL_FIELD(Weather, time_utc));
    field(weather, LIBSEAL_FIELD(Weather, step));
    field(weather, LIBSEAL_FIELD(Weather, sun_offset));
    field(weather, LIBSEAL_FIELD(Weather, ghi));
    field(weather, LIBSEAL_FIELD(Weather, dni));
    field(weather, LIBSEAL_FIELD(Weather, dhi));
    field(weather, LIBSEAL_FIELD(Weather, air_temperature));
    field(weather, LIBSEAL_FIELD(Weather, dew_point));
    field(weather, LIBSEAL_FIELD(Weather, relative_humidity));
    field(weather, LIBSEAL_FIELD(Weather, wind_speed));
    field(weather, LIBSEAL_FIELD(Weather, wind_direction));
    field(weather, LIBSEAL_FIELD(Weather, pressure));
    field(weather, LIBSEAL_FIELD(Weather, opaque_sky_cover));
    field(weather, LIBSEAL_FIELD(Weather, precipitation));
    field(weather, LIBSEAL_FIELD(Weather, typical));
    field(weather, LIBSEAL_FIELD(Weather, gaps));
    field(weather, LIBSEAL_FIELD(Weather, notes));
    weather.def("__len__", &Weather::size).def("__repr__", py::overload_cast<const Weather&>(&repr_of));
}

void define_station() {
    auto month = known<MonthNormals>();
    field(month, LIBSEAL_FIELD(MonthNormals, air_temperature));
    field(month, LIBSEAL_FIELD(MonthNormals, daily_maximum));
    field(month, LIBSEAL_FIELD(MonthNormals, daily_minimum));
    field(month, LIBSEAL_FIELD(MonthNormals, lowest));
    field(month, LIBSEAL_FIELD(MonthNormals, highest));
    field(month, LIBSEAL_FIELD(MonthNormals, dew_point));
    field(month, LIBSEAL_FIELD(MonthNormals, relative_humidity));
    field(month, LIBSEAL_FIELD(MonthNormals, wind_speed));
    field(month, LIBSEAL_FIELD(MonthNormals, ghi));
    field(month, LIBSEAL_FIELD(MonthNormals, dni));
    field(month, LIBSEAL_FIELD(MonthNormals, dhi));
    field(month, LIBSEAL_FIELD(MonthNormals, humid_hours));
    field(month, LIBSEAL_FIELD(MonthNormals, wet_hours));
    field(month, LIBSEAL_FIELD(MonthNormals, freeze_thaw_days));
    field(month, LIBSEAL_FIELD(MonthNormals, cloud));
    field(month, LIBSEAL_FIELD(MonthNormals, wind_when_sunny));
    field(month, LIBSEAL_FIELD(MonthNormals, temperature_when_sunny));

    auto station = known<Station>();
    field(station, LIBSEAL_FIELD(Station, site));
    field(station, LIBSEAL_FIELD(Station, id));
    field(station, LIBSEAL_FIELD(Station, state));
    field(station, LIBSEAL_FIELD(Station, months));
    field(station, LIBSEAL_FIELD(Station, rain_hours));
    field(station, LIBSEAL_FIELD(Station, annual_precipitation));
    field(station, LIBSEAL_FIELD(Station, wind_daytime_cv));
    field(station, LIBSEAL_FIELD(Station, sun_centroid));
    field(station, LIBSEAL_FIELD(Station, quality_flags));
    field(station, LIBSEAL_FIELD(Station, distance_km));
    field(station, LIBSEAL_FIELD(Station, far));
    station.def("__repr__", [](const Station& s) {
        return "Station(" + s.id + ", " + s.site.name + ", " + s.state + ")";
    });
}

void define_results() {
    auto position = known<SunPosition>();
    field(position, LIBSEAL_FIELD(SunPosition, zenith));
    field(position, LIBSEAL_FIELD(SunPosition, azimuth));
    auto hours = known<SunHours>();
    field(hours, LIBSEAL_FIELD(SunHours, cos_zenith));
    field(hours, LIBSEAL_FIELD(SunHours, east));
    field(hours, LIBSEAL_FIELD(SunHours, north));
    field(hours, LIBSEAL_FIELD(SunHours, zenith));
    field(hours, LIBSEAL_FIELD(SunHours, azimuth));
    field(hours, LIBSEAL_FIELD(SunHours, extraterrestrial));
    field(hours, LIBSEAL_FIELD(SunHours, air_mass));
    auto plane = known<PlaneIrradiance>();
    field(plane, LIBSEAL_FIELD(PlaneIrradiance, beam));
    field(plane, LIBSEAL_FIELD(PlaneIrradiance, sky));
    field(plane, LIBSEAL_FIELD(PlaneIrradiance, ground));
    auto split = known<Split>();
    field(split, LIBSEAL_FIELD(Split, dni));
    field(split, LIBSEAL_FIELD(Split, dhi));
    field(split, LIBSEAL_FIELD(Split, clearness));
    auto clear = known<ClearSky>();
    field(clear, LIBSEAL_FIELD(ClearSky, beam_normal));
    field(clear, LIBSEAL_FIELD(ClearSky, diffuse));
    auto frost = known<FreezeThaw>();
    field(frost, LIBSEAL_FIELD(FreezeThaw, crossings));
    field(frost, LIBSEAL_FIELD(FreezeThaw, mixed_days));
    field(frost, LIBSEAL_FIELD(FreezeThaw, thaw_days));
    auto times = known<SunTimes>();
    times
        .def_property_readonly(
            "rise", [](const SunTimes& self) { return instant_out(self.rise); }, doc::SunTimes_rise)
        .def_property_readonly(
            "set", [](const SunTimes& self) { return instant_out(self.set); }, doc::SunTimes_set)
        .def_property_readonly(
            "noon", [](const SunTimes& self) { return instant_out(self.noon); }, doc::SunTimes_noon);
    field(times, LIBSEAL_FIELD(SunTimes, up_all_day));
}

void define_sources(py::module_& m) {
    const ReadWeatherOptions defaults;
    m.def(
        "read_weather",
        [](const Path& path, const std::string& gaps, int longest_fill, const std::string& hours, const std::optional<Path>& cache) {
            return read_weather(path.string(), read_options(gaps, longest_fill, hours), cache ? cache->string() : std::string());
        },
        "path"_a, py::kw_only(), "gaps"_a = defaults.gaps, "longest_fill"_a = defaults.longest_fill,
        "hours"_a = defaults.hours, "cache"_a = py::none(), doc::read_weather, Free());
    m.def(
        "read_weather_text",
        [](const std::string& text, const std::string& name, const std::string& gaps, int longest_fill,
           const std::string& hours) {
            return read_weather_text(text, name, read_options(gaps, longest_fill, hours));
        },
        "text"_a, "name"_a, py::kw_only(), "gaps"_a = defaults.gaps, "longest_fill"_a = defaults.longest_fill,
        "hours"_a = defaults.hours, doc::read_weather_text, Free());
    m.def("weather_csv", &weather_csv, "weather"_a, doc::weather_csv, Free());
    m.def("weather_column_names", &weather_column_names, doc::weather_column_names);
    m.def(
        "weather_column",
        [](const py::object& weather, const std::string& name) {
            return view_of(weather_column(weather.cast<const Weather&>(), name), weather);
        },
        "weather"_a, "name"_a, doc::weather_column);
    m.def("find_station", py::overload_cast<double, double>(&find_station), "latitude"_a, "longitude"_a,
          doc::find_station);
    m.def("find_station", py::overload_cast<const std::string&>(&find_station), "name"_a);
    m.def("station_count", &station_count, doc::station_count);
    m.def("station_at", &station_at, "index"_a, doc::station_at);
    m.def("typical_year", &typical_year, "station"_a, "seed"_a = 0, doc::typical_year, Free());
}

void define_sun_and_sky(py::module_& m) {
    m.def(
        "sun_position",
        [](const py::object& time_utc, double latitude, double longitude) {
            const InstantColumn instants = instants_in(time_utc, "time_utc");
            const py::gil_scoped_release free;
            return sun_position(instants, latitude, longitude);
        },
        "time_utc"_a, "latitude"_a, "longitude"_a, doc::sun_position);
    m.def("sun_hours", &sun_hours, "weather"_a, doc::sun_hours, Free());
    m.def("sun_times", &sun_times, "date"_a, "latitude"_a, "longitude"_a, "utc_offset"_a = 0.0,
          doc::sun_times);
    m.def("refraction", py::vectorize(&refraction), "elevation"_a, "pressure"_a = 101325.0,
          "temperature"_a = 10.0, doc::refraction);
    m.def("air_mass", py::vectorize(&air_mass), "zenith"_a, doc::air_mass);
    m.def("extraterrestrial_irradiance", py::vectorize(&extraterrestrial_irradiance), "day_of_year"_a,
          "solar_constant"_a = 1366.1, doc::extraterrestrial_irradiance);
    m.def("plane_irradiance", py::overload_cast<const Weather&, double, double, double>(&plane_irradiance),
          "weather"_a, "tilt"_a, "azimuth"_a, "albedo"_a = 0.2, doc::plane_irradiance, Free());
    m.def("cos_incidence", py::vectorize(&cos_incidence), "tilt"_a, "azimuth"_a, "sun_zenith"_a,
          "sun_azimuth"_a, doc::cos_incidence);
    m.def("perez_sky", py::vectorize(&perez_sky), "tilt"_a, "cos_incidence"_a, "sun_zenith"_a, "dni"_a,
          "dhi"_a, "extraterrestrial"_a, "air_mass"_a, doc::perez_sky);
    m.def("isotropic_sky", py::vectorize(&isotropic_sky), "tilt"_a, "dhi"_a, doc::isotropic_sky);
    m.def("hay_davies_sky", py::vectorize(&hay_davies_sky), "tilt"_a, "cos_incidence"_a, "sun_zenith"_a,
          "dni"_a, "dhi"_a, "extraterrestrial"_a, doc::hay_davies_sky);
    m.def("erbs_split", &erbs_split, "ghi"_a, "zenith"_a, "extraterrestrial"_a, doc::erbs_split);
    m.def("haurwitz_clear", py::vectorize(&haurwitz_clear), "zenith"_a, doc::haurwitz_clear);
    m.def("tau_clear", &tau_clear, "taub"_a, "taud"_a, "altitude"_a, "day_of_year"_a, doc::tau_clear);
    m.def(
        "ultraviolet",
        [](const Weather& weather, double tilt, double azimuth, double albedo) {
            py::gil_scoped_release free;
            Column column = ultraviolet(weather, tilt, azimuth, albedo);
            const py::gil_scoped_acquire lock;
            return give(std::move(column));
        },
        "weather"_a, "tilt"_a, "azimuth"_a, "albedo"_a = 0.04, doc::ultraviolet);
    m.def("ultraviolet_share", py::vectorize(&ultraviolet_share), "air_mass"_a, "clear_sky_index"_a,
          doc::ultraviolet_share);
}

void define_moisture(py::module_& m) {
    m.def("saturation_pressure", py::vectorize(&saturation_pressure), "temperature"_a,
          doc::saturation_pressure);
    m.def("humidity_from_dew_point", py::vectorize(&humidity_from_dew_point), "temperature"_a, "dew_point"_a,
          doc::humidity_from_dew_point);
    m.def("dew_point_from_humidity", py::vectorize(&dew_point_from_humidity), "temperature"_a,
          "relative_humidity"_a, doc::dew_point_from_humidity);
    m.def("time_of_wetness", &time_of_wetness, "weather"_a, doc::time_of_wetness);
    m.def("wetness_class", &wetness_class, "hours_per_year"_a, doc::wetness_class);
    m.def(
        "dew_hours",
        [](const Weather& weather, const Doubles& surface_temperature) {
            return dew_hours(weather, column_in(surface_temperature, "surface_temperature"));
        },
        "weather"_a, "surface_temperature"_a, doc::dew_hours);
    m.def("freeze_thaw", &freeze_thaw, "weather"_a, doc::freeze_thaw);
    m.def(
        "driving_rain",
        [](const Weather& weather, double azimuth) { return give(driving_rain(weather, azimuth)); },
        "weather"_a, "azimuth"_a, doc::driving_rain);
    m.def("rain_roughness", &rain_roughness, "category"_a, "height"_a, doc::rain_roughness);
    m.def(
        "climate_class",
        [](const Doubles& monthly_temperature, const Doubles& monthly_precipitation, double cold_limit) {
            return climate_class(column_in(monthly_temperature, "monthly_temperature"),
                                 column_in(monthly_precipitation, "monthly_precipitation"), cold_limit);
        },
        "monthly_temperature"_a, "monthly_precipitation"_a, "cold_limit"_a = 0.0, doc::climate_class);
}

}  // namespace

void declare_climate(py::module_& m) {
    py::class_<Site>(m, "Site", doc::Site);
    py::class_<Gap>(m, "Gap", doc::Gap);
    py::class_<Weather>(m, "Weather", doc::Weather);
    py::class_<MonthNormals>(m, "MonthNormals", doc::MonthNormals);
    py::class_<Station>(m, "Station", doc::Station);
    py::class_<SunPosition>(m, "SunPosition", doc::SunPosition);
    py::class_<SunTimes>(m, "SunTimes", doc::SunTimes);
    py::class_<SunHours>(m, "SunHours", doc::SunHours);
    py::class_<PlaneIrradiance>(m, "PlaneIrradiance", doc::PlaneIrradiance);
    py::class_<Split>(m, "Split", doc::Split);
    py::class_<ClearSky>(m, "ClearSky", doc::ClearSky);
    py::class_<FreezeThaw>(m, "FreezeThaw", doc::FreezeThaw);
}

void define_climate(py::module_& m) {
    define_site();
    define_weather();
    define_station();
    define_results();
    define_sources(m);
    define_sun_and_sky(m);
    define_moisture(m);
}

}  // namespace libseal::python
