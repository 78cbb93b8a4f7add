#include "libseal/climate/place_weather.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "climate/distance.hpp"
#include "core/problem.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

constexpr double least_days = 27;  // of known hours that make up a calendar month

bool known(const Weather& weather, Eigen::Index i) {
    return std::isfinite(weather.air_temperature[i]) && std::isfinite(weather.dew_point[i]);
}

Date local_day(const Weather& weather, Eigen::Index i) {
    const double middle = static_cast<double>(weather.time_utc[i]) + weather.site.utc_offset * 3600 - weather.step / 2;
    return date_of(static_cast<Instant>(std::floor(middle)));
}

void check_dated(const Weather& weather, const std::string& field) {
    const bool divides = weather.step <= 3600 ? std::fmod(3600, weather.step) == 0
                                              : std::fmod(86400, weather.step) == 0 && std::fmod(weather.step, 3600) == 0;
    if (!divides || weather.step > 6 * 3600)
        throw_value_error(field + ".step", "a part of an hour, or 1, 2, 3, 4 or 6 hours, in seconds", number_text(weather.step));
    static const Date earliest = make_date(1950, 1, 1), latest = make_date(2200, 12, 31);
    for (const Eigen::Index i : {Eigen::Index{0}, weather.size() - 1})
        if (const Date day = local_day(weather, i); day < earliest || day > latest)
            throw_value_error(field + ".time_utc[" + std::to_string(i) + "]", "a time of the years 1950 to 2200",
                              to_text_utc(weather.time_utc[i]),
                              "seconds since 1970, in UTC; mark a composed year as typical");
    for (Eigen::Index i = 0; i < weather.size(); ++i)
        if (known(weather, i)) return;
    throw_value_error(field, "at least one interval with air_temperature and dew_point", "none",
                      weather.relative_humidity.isNaN().all() ? "leave the part out: the typical year then stands for it"
                                                              : "dew_point_from_humidity gives the dew point");
}

/// Values that are in range and yet cannot be in the unit asked for. A day, or two months of light, must be known.
void check_units(const Weather& weather, const std::string& field) {
    double most_damp = 0, most_light = 0;
    Eigen::Index damp = 0, light = 0, both = 0, above = 0;
    for (Eigen::Index i = 0; i < weather.size(); ++i) {
        if (std::isfinite(weather.relative_humidity[i])) {
            ++damp;
            most_damp = std::max(most_damp, weather.relative_humidity[i]);
        }
        if (std::isfinite(weather.ghi[i])) {
            ++light;
            most_light = std::max(most_light, weather.ghi[i]);
        }
        if (!known(weather, i)) continue;
        ++both;
        if (weather.dew_point[i] > weather.air_temperature[i] + 2) ++above;
    }
    const auto days = [&](Eigen::Index count) { return static_cast<double>(count) * weather.step / 86400; };
    if (days(damp) >= 1 && most_damp > 0 && most_damp <= 1)
        throw_value_error(field + ".relative_humidity", "percent, 0 to 100", "at most " + number_text(most_damp),
                          "this looks like a share: multiply by 100");
    if (days(light) >= 60 && most_light > 0 && most_light <= 2 && std::abs(weather.site.latitude) < 60)
        throw_value_error(field + ".ghi", "W/m2, 0 to 2000", "at most " + number_text(most_light) + " in " + number_text(days(light), 0) + " days",
                          "this looks like kW/m2: multiply by 1000");
    if (days(both) >= 1 && 2 * above > both)
        throw_value_error(field + ".dew_point", "degC, not above air_temperature",
                          "more than 2 K above it in " + std::to_string(above) + " of " + std::to_string(both) + " intervals",
                          "are the columns mixed up, or in different units?");
}

/// Dated parts describe one place: a day must mean the same in all.
void check_together(const Weather& first, const Weather& other, const std::string& field) {
    if (first.site.utc_offset != other.site.utc_offset)
        throw_value_error(field + ".site.utc_offset", number_text(first.site.utc_offset) + " h as in the first dated part",
                          number_text(other.site.utc_offset) + " h", "times are in UTC; the offset says where local days begin");
    const double apart = detail::distance_km(first.site.latitude, first.site.longitude, other.site.latitude, other.site.longitude);
    if (apart > detail::far_km)
        throw_value_error(field + ".site", "a place at most 200 km from that of the first dated part",
                          number_text(apart, 0) + " km away");
}

}  // namespace

const Weather* PlaceWeather::typical() const {
    for (const Weather& part : parts)
        if (part.typical) return &part;
    return nullptr;
}

bool PlaceWeather::knows_every_month() const {
    std::map<Date, double> seconds;  // known of each day; parts may overlap
    for (const Weather& part : parts) {
        if (part.typical) continue;
        double* of_day = nullptr;
        Date day{};
        for (Eigen::Index i = 0; i < part.size(); ++i) {
            if (!known(part, i)) continue;
            if (const Date here = local_day(part, i); !of_day || here != day) {
                day = here;
                of_day = &seconds[day];
            }
            *of_day += part.step;
        }
    }
    std::array<double, 12> of_month{};
    for (const auto& [day, of_day] : seconds)
        of_month[static_cast<std::size_t>(year_month_day(day).month - 1)] += std::min(86400.0, of_day);
    return std::all_of(of_month.begin(), of_month.end(), [](double s) { return s >= least_days * 86400; });
}

std::string PlaceWeather::missing_columns() const {
    bool dated = false, light = false, wind = false;
    for (const Weather& part : parts) {
        if (part.typical) continue;
        dated = true;
        light = light || !part.ghi.isNaN().all() || !(part.dni + part.dhi).isNaN().all();
        wind = wind || !part.wind_speed.isNaN().all();
    }
    if (!dated || (light && wind)) return "";
    return light ? "wind_speed" : wind ? "ghi" : "ghi and wind_speed";
}

void check_place_weather(const PlaceWeather& weather, const std::string& name) {
    if (weather.parts.empty()) throw_value_error(name, "at least one weather", "none");
    const Weather* dated = nullptr;
    bool typical = false;
    for (std::size_t i = 0; i < weather.parts.size(); ++i) {
        const Weather& part = weather.parts[i];
        const std::string field = weather.parts.size() == 1 ? name : name + "[" + std::to_string(i) + "]";
        try {
            check_weather(part);
        } catch (const ValueError& error) {
            throw ValueError(detail::problems_within(field + ".", error.problems()));
        }
        check_units(part, field);
        if (part.typical) {
            if (typical) throw_value_error(field, "at most one typical year", "a second one");
            typical = true;
            continue;
        }
        check_dated(part, field);
        if (dated) check_together(*dated, part, field);
        if (!dated) dated = &part;
    }
}

}  // namespace libseal
