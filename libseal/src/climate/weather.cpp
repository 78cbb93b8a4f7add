#include "libseal/climate/weather.hpp"

#include <cmath>
#include <string>

#include "climate/columns.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

Column Weather::*member_of(std::string_view name) {
    for (const auto& info : detail::weather_columns)
        if (name == info.name) return info.member;
    const std::string near = nearest_name(name, weather_column_names());
    throw_value_error("name", "the name of a weather column", "\"" + std::string(name) + "\"",
                      near.empty() ? "" : "did you mean \"" + near + "\"?");
}

void check_site(const Site& site) {
    require_between(site.latitude, -90, 90, "site.latitude");
    require_between(site.longitude, -180, 180, "site.longitude");
    require_between(site.elevation, -1000, 9000, "site.elevation");
    require_between(site.utc_offset, -15, 15, "site.utc_offset");
}

/// What a value outside its range looks like; "" if like nothing known.
std::string unit_hint(const std::string& column, double value) {
    if (column == "air_temperature" || column == "dew_point") {
        if (value > 150 && value < 400) return "this looks like kelvin: take 273.15 away";
        if (value > 70 && value <= 150) return "this looks like degrees Fahrenheit: (F - 32) / 1.8";
    }
    if (column == "pressure") {
        if (value >= 300 && value <= 1200) return "this looks like hPa: multiply by 100";
        if (value >= 30 && value <= 120) return "this looks like kPa: multiply by 1000";
    }
    if (column == "opaque_sky_cover" && value > 10 && value <= 100) return "this looks like percent: divide by 10";
    return "";
}

void check_times(const Weather& weather) {
    require_positive(weather.step, "step");
    require_finite(weather.sun_offset, "sun_offset");
    const auto& time = weather.time_utc;
    if (time.size() == 0) throw_value_error("time_utc", "at least one interval", "none");
    for (Eigen::Index i = 1; i < time.size(); ++i)
        if (static_cast<double>(time[i] - time[i - 1]) != weather.step)
            throw_value_error("time_utc[" + std::to_string(i) + "]",
                              "a time " + number_text(weather.step) + " s after the one before",
                              std::to_string(time[i] - time[i - 1]) + " s after it");
}

}  // namespace

const std::vector<std::string>& weather_column_names() {
    static const std::vector<std::string> names = [] {
        std::vector<std::string> list;
        for (const auto& info : detail::weather_columns) list.emplace_back(info.name);
        return list;
    }();
    return names;
}

const Column& weather_column(const Weather& weather, std::string_view name) { return weather.*member_of(name); }
Column& weather_column(Weather& weather, std::string_view name) { return weather.*member_of(name); }

void check_weather(const Weather& weather) {
    check_site(weather.site);
    check_times(weather);
    for (const auto& info : detail::weather_columns) {
        const Column& values = weather.*info.member;
        if (values.size() != weather.size())
            throw_value_error(info.name, std::to_string(weather.size()) + " values, as many as times",
                              std::to_string(values.size()));
        for (Eigen::Index i = 0; i < values.size(); ++i)
            if (values[i] < info.low || values[i] > info.high)
                throw_value_error(std::string(info.name) + "[" + std::to_string(i) + "]",
                                  number_text(info.low) + " to " + number_text(info.high) + " " + info.unit + " or NaN",
                                  number_text(values[i]), unit_hint(info.name, values[i]));
    }
}

}  // namespace libseal
