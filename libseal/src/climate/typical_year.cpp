// Puts the parts of a typical year together; checks the station's figures.

#include "libseal/climate/typical_year.hpp"

#include <cmath>
#include <string>

#include "libseal/core/require.hpp"
#include "typical_year_parts.hpp"

namespace libseal {
namespace {

std::string field_of(int month, const char* name) {
    return "station.months[" + std::to_string(month) + "]." + name;
}

/// Of the figures that a station may lack: NaN is not known.
void require_if_known(double value, double low, double high, const std::string& field) {
    if (!std::isnan(value)) require_between(value, low, high, field);
}

// All limits are wider than anything in the table of stations; judgement of this project.
void check_temperatures(const MonthNormals& month, int m) {
    const double air = require_between(month.air_temperature, -70, 60, field_of(m, "air_temperature"));
    const double high = require_between(month.daily_maximum, air, 65, field_of(m, "daily_maximum"));
    const double low = require_between(month.daily_minimum, -80, air, field_of(m, "daily_minimum"));
    require_between(month.highest, high, 70, field_of(m, "highest"));
    require_between(month.lowest, -95, low, field_of(m, "lowest"));
    require_between(month.dew_point, -80, air + 1, field_of(m, "dew_point"));
    require_if_known(month.temperature_when_sunny, low - 15, high + 15, field_of(m, "temperature_when_sunny"));
}

void check_month(const MonthNormals& month, int m) {
    check_temperatures(month, m);
    require_between(month.relative_humidity, 1, 100, field_of(m, "relative_humidity"));
    require_between(month.wind_speed, 0, 40, field_of(m, "wind_speed"));
    require_if_known(month.wind_when_sunny, 0, 60, field_of(m, "wind_when_sunny"));
    require_between(month.ghi, 0, 13, field_of(m, "ghi"));
    require_between(month.dhi, 0, month.ghi + 0.05, field_of(m, "dhi"));
    require_between(month.dni, 0, 16, field_of(m, "dni"));
    require_between(month.cloud, 0, 10, field_of(m, "cloud"));
}

void check_station(const Station& station) {
    require_between(station.site.latitude, -90, 90, "station.site.latitude");
    require_between(station.site.longitude, -180, 180, "station.site.longitude");
    require_between(station.site.elevation, -500, 6000, "station.site.elevation");
    require_between(station.site.utc_offset, -14, 14, "station.site.utc_offset");
    require_between(station.rain_hours, 0, 8760, "station.rain_hours");
    require_if_known(station.annual_precipitation, 0, 30000, "station.annual_precipitation");
    require_if_known(station.wind_daytime_cv, 0, 2, "station.wind_daytime_cv");
    require_if_known(station.sun_centroid, 0, 24, "station.sun_centroid");
    for (int m = 0; m < 12; ++m) check_month(station.months[m], m);
}

/// Pressure of the standard atmosphere. [Pa]  @source ISO 2533:1975.
double standard_pressure(double elevation) { return 101325 * std::pow(1 - 2.25577e-5 * elevation, 5.25588); }

InstantColumn hours_of_2001(double utc_offset) {
    const Instant start = make_instant(2001, 1, 1) - static_cast<Instant>(std::llround(3600 * utc_offset));
    InstantColumn time(detail::kHours);
    for (int i = 0; i < detail::kHours; ++i) time[i] = start + 3600 * static_cast<Instant>(i + 1);
    return time;
}

void add_notes(const Station& station, const detail::SunYear& sun, Weather& weather) {
    weather.notes.push_back("hourly year made from the monthly figures of " + station.site.name +
                            ": means are the station's, hours are not observations");
    weather.notes.push_back("wind direction is uniform at random; pressure is the standard atmosphere's");
    if (sun.centroid_ignored)
        weather.notes.push_back("the station's sun_centroid was left out: so far from noon it is a clock error of its source");
    if (!std::isfinite(station.annual_precipitation))
        weather.notes.push_back(weather.precipitation.sum() > 0 ? "annual precipitation is not known: a usual intensity was assumed"
                                                                : "annual precipitation is not known and no hours of rain are reported: the year has none");
}

}  // namespace

Weather typical_year(const Station& station, std::uint64_t seed) { return detail::typical_year(station, detail::YearDraws(seed)); }

Weather detail::typical_year(const Station& station, const YearDraws& draws) {
    check_station(station);
    Weather weather;
    weather.site = station.site;
    weather.typical = true;
    weather.time_utc = hours_of_2001(station.site.utc_offset);

    const Geometry geometry = geometry_of(station.site, weather.time_utc);
    SunYear sun = make_sun(station, geometry, draws);
    const TemperatureYear temperature = make_temperature(station, geometry, sun, draws);
    HumidityYear humidity = make_humidity(station, temperature, draws);
    weather.wind_speed = make_wind(station, geometry, sun, draws);
    weather.wind_direction = draws.wind_direction;
    weather.opaque_sky_cover = make_opaque_cover(station, sun);
    weather.precipitation = make_precipitation(station, temperature.air, humidity.relative_humidity,
                                                       weather.opaque_sky_cover, draws);
    weather.pressure = Column::Constant(kHours, standard_pressure(station.site.elevation));
    add_notes(station, sun, weather);

    weather.ghi = std::move(sun.ghi);
    weather.dni = std::move(sun.dni);
    weather.dhi = std::move(sun.dhi);
    weather.air_temperature = temperature.air;
    weather.dew_point = std::move(humidity.dew_point);
    weather.relative_humidity = std::move(humidity.relative_humidity);
    return weather;
}

}  // namespace libseal
