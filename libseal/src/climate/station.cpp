#include "libseal/climate/station.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <limits>
#include <numbers>
#include <set>
#include <string_view>

#include "climate/distance.hpp"
#include "climate/station_table.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"

namespace libseal {

namespace detail {

double distance_km(double latitude_a, double longitude_a, double latitude_b, double longitude_b) {
    constexpr double earth_radius_km = 6371.0088;  // mean radius of the International Union of Geodesy and Geophysics
    constexpr double radian = std::numbers::pi / 180;
    const double half_latitude = std::sin((latitude_b - latitude_a) * radian / 2);
    const double half_longitude = std::sin((longitude_b - longitude_a) * radian / 2);
    const double h = half_latitude * half_latitude + std::cos(latitude_a * radian) * std::cos(latitude_b * radian) *
                                                         half_longitude * half_longitude;
    return 2 * earth_radius_km * std::asin(std::sqrt(std::min(1.0, h)));
}

}  // namespace detail

namespace {

using detail::distance_km;
using detail::far_km;
using detail::station_rows;
using detail::station_table;
using detail::StationRow;

double figure(std::int32_t number, double per_unit) {
    return number == detail::missing_figure ? std::numeric_limits<double>::quiet_NaN() : number / per_unit;
}

/// Capital letters and digits; everything else is one space between words, none at the ends.
std::string plain_words(std::string_view text) {
    std::string words;
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        if (std::isalnum(byte))
            words += static_cast<char>(std::toupper(byte));
        else if (!words.empty() && words.back() != ' ')
            words += ' ';
    }
    if (words.ends_with(' ')) words.pop_back();
    return words;
}

std::string full_name(const StationRow& row) {
    return std::string(row.name) + ", " + row.state + " (" + row.id + ")";
}

/// How well a name answers what was asked for; smaller is better, 5 not at all.
int closeness(std::string_view name, std::string_view asked) {
    if (name == asked) return 1;
    if (name.starts_with(std::string(asked) + ' ')) return 2;
    const std::string among = ' ' + std::string(name) + ' ';
    if (among.find(' ' + std::string(asked) + ' ') != std::string::npos) return 3;
    return name.find(asked) != std::string_view::npos ? 4 : 5;
}

/// Rows whose names answer best, all equally well. Words elsewhere in a name stand back behind words at its
/// beginning only within one state: "Phoenix" is the city's airport, "Golden" could be in Colorado or Mississippi.
std::vector<std::size_t> best_rows(const std::string& asked, std::string_view state) {
    std::vector<std::size_t> ranked[6];
    for (std::size_t i = 0; i < station_rows; ++i)
        if (state.empty() || state == station_table[i].state)
            ranked[closeness(plain_words(station_table[i].name), asked)].push_back(i);
    if (!ranked[1].empty()) return ranked[1];
    if (!ranked[2].empty()) {
        const std::string_view here = station_table[ranked[2].front()].state;
        for (const std::size_t i : ranked[3])
            if (here != station_table[i].state) ranked[2].push_back(i);
        return ranked[2];
    }
    return ranked[3].empty() ? ranked[4] : ranked[3];
}

bool is_state(const std::string& word) {
    return std::any_of(station_table, station_table + station_rows, [&](const StationRow& row) { return word == row.state; });
}

/// Up to three names whose first words are most like what was asked for.
std::string near_names(const std::string& asked) {
    const auto words = 1 + std::count(asked.begin(), asked.end(), ' ');
    std::vector<std::string> beginnings;
    std::vector<std::size_t> row_of;
    for (std::size_t i = 0; i < station_rows; ++i) {
        const std::string name = plain_words(station_table[i].name);
        std::size_t end = 0;
        for (std::ptrdiff_t k = 0; k < words && end != std::string::npos; ++k) end = name.find(' ', end + (k > 0));
        const std::string beginning = name.substr(0, end);
        if (std::find(beginnings.begin(), beginnings.end(), beginning) != beginnings.end()) continue;
        beginnings.push_back(beginning);
        row_of.push_back(i);
    }
    std::string list;
    for (int found = 0; found < 3; ++found) {
        const std::string near = nearest_name(asked, beginnings);
        if (near.empty()) break;
        const auto at = std::find(beginnings.begin(), beginnings.end(), near);
        const auto place = at - beginnings.begin();
        list += (found > 0 ? "; " : "") + full_name(station_table[row_of[static_cast<std::size_t>(place)]]);
        beginnings.erase(at);
        row_of.erase(row_of.begin() + place);
    }
    return list;
}

[[noreturn]] void refuse_unknown(const std::string& name, const std::string& asked) {
    const std::string near = near_names(asked);
    throw_value_error("name", "a station's number, name or part of its name", "\"" + name.substr(0, 80) + "\"",
                      near.empty() ? "find_station(latitude, longitude) gives the nearest" : "nearest names: " + near);
}

[[noreturn]] void refuse_ambiguous(const std::string& name, const std::vector<std::size_t>& rows) {
    constexpr std::size_t shown = 12;
    std::string list;
    for (std::size_t i = 0; i < std::min(rows.size(), shown); ++i)
        list += (i > 0 ? "; " : "") + full_name(station_table[rows[i]]);
    if (rows.size() > shown) list += "; and " + std::to_string(rows.size() - shown) + " more";
    throw_value_error("name", "a name of one station", "\"" + name + "\", which fits " + std::to_string(rows.size()),
                      "candidates: " + list);
}

}  // namespace

std::size_t station_count() { return station_rows; }

Station station_at(std::size_t index) {
    if (index >= station_rows)
        throw_value_error("index", "0 to " + std::to_string(station_rows - 1), std::to_string(index));
    const StationRow& row = station_table[index];
    Station station;
    station.site = {row.name, row.latitude / 1000.0, row.longitude / 1000.0, row.elevation / 10.0, row.utc_offset / 10.0};
    station.id = row.id;
    station.state = row.state;
    station.quality_flags = row.quality_flags;
    station.rain_hours = figure(row.rain_hours, 1);
    station.annual_precipitation = figure(row.precipitation, 10);
    station.wind_daytime_cv = figure(row.wind_daytime_cv, 100);
    station.sun_centroid = figure(row.sun_centroid, 100);
    for (std::size_t k = 0; k < detail::month_table_size; ++k) {
        const detail::MonthFigures& column = detail::month_table[k];
        for (std::size_t month = 0; month < 12; ++month)
            station.months[month].*column.member = figure(column.figures[12 * index + month], column.per_unit);
    }
    return station;
}

Station find_station(double latitude, double longitude) {
    require_between(latitude, -90, 90, "latitude");
    require_between(longitude, -180, 180, "longitude");
    std::size_t nearest = 0;
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < station_rows; ++i) {
        const StationRow& row = station_table[i];
        const double distance = distance_km(latitude, longitude, row.latitude / 1000.0, row.longitude / 1000.0);
        const bool tie = distance == least && std::string_view(row.id) < station_table[nearest].id;
        if (distance < least || tie) {
            nearest = i;
            least = distance;
        }
    }
    Station station = station_at(nearest);
    station.distance_km = least;
    station.far = least > far_km;
    return station;
}

Station find_station(const std::string& name) {
    const std::string whole = plain_words(name);
    if (whole.empty()) throw_value_error("name", "a station's number, name or part of its name", "\"" + name + "\"");
    for (std::size_t i = 0; i < station_rows; ++i)
        if (whole == station_table[i].id) return station_at(i);

    // A state after a comma is a state: read as a word, "Miami, IN" would be the beginning of "MIAMI INTL AP".
    std::string asked = whole, state;
    if (const std::size_t comma = name.rfind(','); comma != std::string::npos) {
        const std::string before = plain_words(name.substr(0, comma)), after = plain_words(name.substr(comma + 1));
        if (!before.empty() && is_state(after)) {
            asked = before;
            state = after;
        }
    }
    const std::vector<std::size_t> rows = best_rows(asked, state);
    if (rows.empty()) refuse_unknown(name, asked);
    if (rows.size() > 1) refuse_ambiguous(name, rows);
    return station_at(rows.front());
}

}  // namespace libseal
