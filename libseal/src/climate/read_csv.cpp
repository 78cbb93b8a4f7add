// Plain CSV with a header: comment lines with the site, then named columns with units.

#include <algorithm>
#include <cmath>
#include <map>

#include "climate/read_limits.hpp"
#include "climate/read_table.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

enum class Quantity { irradiance, temperature, percent, speed, direction, pressure, cover, depth };

Quantity quantity_of(WeatherColumn column) {
    switch (column) {
        case ghi_column:
        case dni_column:
        case dhi_column: return Quantity::irradiance;
        case air_temperature_column:
        case dew_point_column: return Quantity::temperature;
        case relative_humidity_column: return Quantity::percent;
        case wind_speed_column: return Quantity::speed;
        case wind_direction_column: return Quantity::direction;
        case pressure_column: return Quantity::pressure;
        case opaque_sky_cover_column: return Quantity::cover;
        default: return Quantity::depth;
    }
}

/// (number + shift) * scale gives our unit; step_power as in FieldPlan.
struct Unit {
    const char* name;
    double shift;
    double scale;
    int step_power;
};

const std::vector<Unit>& units_of(Quantity quantity) {
    static const std::map<Quantity, std::vector<Unit>> units = {
        {Quantity::irradiance, {{"w_m2", 0, 1, 0}, {"kw_m2", 0, 1000, 0}, {"wh_m2", 0, 3600, -1}, {"j_m2", 0, 1, -1}}},
        {Quantity::temperature, {{"c", 0, 1, 0}, {"degc", 0, 1, 0}, {"f", -32, 5.0 / 9, 0}, {"degf", -32, 5.0 / 9, 0}, {"k", -273.15, 1, 0}}},
        {Quantity::percent, {{"percent", 0, 1, 0}, {"fraction", 0, 100, 0}}},
        {Quantity::speed, {{"m_s", 0, 1, 0}, {"km_h", 0, 1 / 3.6, 0}, {"mph", 0, 0.44704, 0}, {"kn", 0, 1852.0 / 3600, 0}}},
        {Quantity::direction, {{"deg", 0, 1, 0}}},
        {Quantity::pressure, {{"pa", 0, 1, 0}, {"hpa", 0, 100, 0}, {"mbar", 0, 100, 0}, {"kpa", 0, 1000, 0}, {"inhg", 0, 3386.389, 0}}},
        {Quantity::cover, {{"tenths", 0, 1, 0}, {"oktas", 0, 1.25, 0}, {"percent", 0, 0.1, 0}}},
        {Quantity::depth, {{"mm", 0, 1, 0}, {"in", 0, 25.4, 0}, {"mm_h", 0, 1.0 / 3600, 1}}}};
    return units.at(quantity);
}

/// Lower case, "W/m2" as "w_m2", "%" as "percent", "°C" as "degc".
std::string unit_word(std::string_view text) {
    std::string word;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (c == '%') word += "percent";
        else if (c == '/') word += '_';
        else if (text.substr(i).starts_with("\xC2\xB0")) { word += "deg"; ++i; }
        else if (text.substr(i).starts_with("\xC2\xB2")) { word += '2'; ++i; }
        else if (c != ' ' && c != '^') word += static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
    }
    return word;
}

std::string_view trimmed(std::string_view text) {
    while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
    if (text.size() >= 2 && text.front() == '"' && text.back() == '"') text = text.substr(1, text.size() - 2);
    return text;
}

/// A heading such as "ghi_w_m2", "ghi [W/m2]" or "ghi (W/m2)" in name and unit.
struct Heading {
    std::string name;
    std::string unit;
};

Heading split_heading(std::string_view text) {
    const std::size_t bracket = text.find_first_of("[(");
    if (bracket != std::string_view::npos) {
        std::string_view unit = text.substr(bracket + 1);
        if (!unit.empty() && (unit.back() == ']' || unit.back() == ')')) unit.remove_suffix(1);
        return {std::string(trimmed(text.substr(0, bracket))), unit_word(unit)};
    }
    for (const auto& name : weather_column_names())
        if (text.starts_with(name + "_")) return {name, unit_word(text.substr(name.size() + 1))};
    return {std::string(text), ""};
}

constexpr const char* time_names[] = {"time_utc", "time_local"};

struct Columns {
    int time = -1;
    bool local = false;
    std::vector<FieldPlan> plan;
};

const std::vector<std::string>& known_names() {
    static const std::vector<std::string> known = [] {
        std::vector<std::string> all(std::begin(time_names), std::end(time_names));
        all.insert(all.end(), weather_column_names().begin(), weather_column_names().end());
        return all;
    }();
    return known;
}

/// True if no heading is ours or nearly so: another format, whose words one by one would help nobody.
bool is_foreign(const RowFields& field) {
    for (std::size_t i = 0; i < field.size(); ++i)
        if (!nearest_name(split_heading(trimmed(field[i])).name, known_names()).empty()) return false;
    return true;
}

void read_value_heading(SourceText& source, const Heading& heading, int line, int place, int index, Columns& columns) {
    const auto& names = weather_column_names();
    const auto found = std::find(names.begin(), names.end(), heading.name);
    if (found == names.end()) {
        const std::string near = nearest_name(heading.name, known_names());
        source.report(line, place, heading.name, "a known column", quoted(heading.name),
                      near.empty() ? "" : "did you mean \"" + near + "\"?");
        return;
    }
    const auto column = static_cast<WeatherColumn>(found - names.begin());
    const auto& units = units_of(quantity_of(column));
    const auto unit = std::find_if(units.begin(), units.end(), [&](const Unit& u) { return heading.unit == u.name; });
    if (unit == units.end()) {
        std::string list;
        for (const auto& u : units) list += (list.empty() ? "" : ", ") + std::string(u.name);
        source.report(line, place, heading.name, "a unit of " + list,
                      heading.unit.empty() ? "none" : quoted(heading.unit),
                      "write \"" + heading.name + "_" + units.front().name + "\"");
        return;
    }
    for (const auto& item : columns.plan)
        if (item.column == column) {
            source.report(line, place, heading.name, "a column that stands once", quoted(heading.name) + " again");
            return;
        }
    FieldPlan item;
    item.field = index;
    item.column = column;
    item.heading = heading.name;
    item.shift = unit->shift;
    item.scale = unit->scale;
    item.step_power = unit->step_power;
    columns.plan.push_back(std::move(item));
}

Columns read_header(SourceText& source, std::string_view line, int number) {
    Columns columns;
    RowFields field(source.text, limits::table_columns);  // so many that problems come to their limit before
    field.split(line);
    if (is_foreign(field)) {
        source.report(number, 1, "", formats_read, quoted(line), "write it as such a CSV; weather_csv gives an example");
        return columns;
    }
    for (std::size_t i = 0; i < field.size(); ++i) {
        const std::string text(trimmed(field[i]));
        if (text == time_names[0] || text == time_names[1]) {
            if (columns.time >= 0) source.report(number, field.column(i), "time", "one time column", "a second one");
            columns.time = static_cast<int>(i);
            columns.local = text == time_names[1];
        } else {
            read_value_heading(source, split_heading(text), number, field.column(i), static_cast<int>(i), columns);
        }
    }
    if (columns.time < 0)
        source.report(number, 1, "time", "a column \"time_utc\" or \"time_local\", the end of each interval", "none");
    return columns;
}

bool two_digits(std::string_view text, std::size_t at, int& value) {
    if (at + 2 > text.size() || text[at] < '0' || text[at] > '9' || text[at + 1] < '0' || text[at + 1] > '9') return false;
    value = (text[at] - '0') * 10 + text[at + 1] - '0';
    return true;
}

/// ISO 8601 such as 2024-07-01T13:00Z; 24:00 is the end of a day. `ahead`: what the stamp is ahead of UTC, if it says so.
bool parse_time(std::string_view text, DayCache& days, std::int32_t& day, std::int32_t& second, double& ahead) {
    int century = 0, decade = 0, month = 0, date = 0, hour = 0, minute = 0, s = 0;
    if (text.size() < 16 || !two_digits(text, 0, century) || !two_digits(text, 2, decade) || text[4] != '-' ||
        !two_digits(text, 5, month) || text[7] != '-' || !two_digits(text, 8, date) || (text[10] != 'T' && text[10] != ' ') ||
        !two_digits(text, 11, hour) || text[13] != ':' || !two_digits(text, 14, minute))
        return false;
    std::string_view rest = text.substr(16);
    if (rest.starts_with(':')) {
        if (!two_digits(rest, 1, s)) return false;
        rest.remove_prefix(3);
    }
    ahead = no_value;
    if (rest == "Z") {
        ahead = 0;
    } else if (rest.size() == 6 && (rest[0] == '+' || rest[0] == '-')) {
        int h = 0, m = 0;
        if (!two_digits(rest, 1, h) || rest[3] != ':' || !two_digits(rest, 4, m) || h > 18 || m > 59) return false;
        ahead = (rest[0] == '-' ? -1 : 1) * (h + m / 60.0);
    } else if (!rest.empty()) {
        return false;
    }
    second = hour * 3600 + minute * 60 + s;
    return minute <= 59 && s <= 59 && second <= 86400 && days.find(century * 100 + decade, month, date, day);
}

/// "# key: value" lines above the header.
void read_remark(SourceText& source, std::string_view line, int number, RawWeather& raw, bool& offset_known) {
    const std::size_t colon = line.find(':');
    if (colon == std::string_view::npos) return;  // a remark for people
    const std::string key(trimmed(line.substr(1, colon - 1)));
    const std::string_view text = trimmed(line.substr(colon + 1));
    struct Key {
        const char* name;
        double low, high;
        double* value;
    };
    double sun = no_value;
    const Key keys[] = {{"latitude_deg", -90, 90, &raw.site.latitude},
                        {"longitude_deg", -180, 180, &raw.site.longitude},
                        {"elevation_m", -1000, 9000, &raw.site.elevation},
                        {"utc_offset_h", -15, 15, &raw.site.utc_offset},
                        {"sun_offset_s", -86400, 86400, &sun}};
    if (key == "name") raw.site.name = text;
    if (key == "typical") raw.typical = text == "yes";
    for (const Key& known : keys) {
        if (key != known.name) continue;
        double value = 0;
        if (!try_parse_number(text, value) || value < known.low || value > known.high) {
            source.report(number, static_cast<int>(colon) + 2, key,
                          "a number from " + number_text(known.low) + " to " + number_text(known.high), quoted(text));
            return;
        }
        *known.value = value;
        if (key == "utc_offset_h") offset_known = true;
    }
    if (!std::isnan(sun)) raw.sun_offset = sun;
    static const std::vector<std::string> names = {"name", "latitude_deg", "longitude_deg", "elevation_m", "utc_offset_h",
                                                   "sun_offset_s", "typical"};
    if (std::find(names.begin(), names.end(), key) == names.end())
        if (const std::string near = nearest_name(key, names); !near.empty())
            source.report(number, 3, key, "a known key", quoted(key), "did you mean \"" + near + "\"?");
}

void read_row(SourceText& source, const RowFields& row, int number, const Columns& columns, DayCache& days, RawWeather& raw) {
    const auto time = static_cast<std::size_t>(columns.time);
    if (row.size() <= time) {
        source.report(number, 0, "time", "at least " + std::to_string(columns.time + 1) + " fields", "a shorter row");
        return;
    }
    const std::string_view text = trimmed(row[time]);
    std::int32_t day = 0, second = 0;
    double ahead = no_value;
    if (!parse_time(text, days, day, second, ahead)) {
        source.report(number, row.column(time), columns.local ? "time_local" : "time_utc", "a time such as 2024-07-01T13:00", quoted(text));
        return;
    }
    if (columns.local && !std::isnan(ahead) && ahead != raw.site.utc_offset) {
        source.report(number, row.column(time), "time_local", "local standard time, at the site's offset from UTC", quoted(text),
                      "name the column time_utc; its stamps may carry any offset");
        return;
    }
    if (!columns.local && !std::isnan(ahead)) second -= static_cast<std::int32_t>(std::lround(ahead * 3600));
    // The end of an interval belongs to the day that it ends.
    while (second <= 0) {
        second += 86400;
        --day;
    }
    while (second > 86400) {
        second -= 86400;
        ++day;
    }
    if (!read_values(source, row, number, columns.plan, raw)) return;
    raw.day.push_back(day);
    raw.second.push_back(second);
    raw.line.push_back(number);
}

/// Amounts per interval become rates, rates become amounts; only now is the interval known.
void apply_step(SourceText& source, const Columns& columns, RawWeather& raw) {
    const double step = find_step(raw);
    for (const auto& item : columns.plan) {
        if (item.step_power == 0 || step <= 0) continue;
        auto& values = raw.values[item.column];
        for (std::size_t i = 0; i < values.size(); ++i) {
            if (std::isnan(values[i])) continue;
            values[i] *= item.step_power > 0 ? step : 1 / step;
            if (!fit_range(raw, item.column, values[i]))
                report_range(source, raw.line[i], 0, item.heading, item.column, values[i], number_text(values[i]));
        }
    }
}

}  // namespace

RawWeather read_csv(SourceText& source) {
    RawWeather raw;
    raw.years = YearKind::dated;
    bool offset_known = false;
    Columns columns;
    RowFields row(source.text, 1);
    DayCache days;
    bool headed = false;
    LineCursor lines(source.text);
    for (std::string_view line; lines.next(line) && !source.full();) {
        if (trimmed(line).empty()) continue;
        if (!headed && line.starts_with('#')) {
            read_remark(source, line, lines.number(), raw, offset_known);
        } else if (!headed) {
            columns = read_header(source, line, lines.number());
            headed = true;
            source.problems.throw_if_any();
            row = RowFields(source.text, std::max(static_cast<std::size_t>(columns.time) + 1, fields_wanted(columns.plan)));
            if (columns.local && !offset_known)
                source.report(lines.number(), 1, "time_local", "the site's offset from UTC above the header", "none",
                              "write \"# utc_offset_h: -6\"");
            if (columns.local) raw.clock_offset = raw.site.utc_offset;
        } else {
            check_room(source, raw, lines.number());
            row.split(line);
            read_row(source, row, lines.number(), columns, days, raw);
        }
    }
    if (!headed) source.report(1, 1, "", formats_read, "none");
    source.problems.throw_if_any();
    apply_step(source, columns, raw);
    if (!offset_known) {
        raw.site.utc_offset = std::round(raw.site.longitude / 15);
        raw.notes.push_back("no utc_offset_h given: taken from the longitude");
    }
    return raw;
}

}  // namespace libseal::detail

namespace libseal {

std::string weather_csv(const Weather& weather) {
    std::string text;
    const auto remark = [&](const char* key, const std::string& value) { text += std::string("# ") + key + ": " + value + "\n"; };
    std::string name = weather.site.name;
    std::replace(name.begin(), name.end(), '\n', ' ');
    if (!name.empty()) remark("name", name);
    remark("latitude_deg", number_text(weather.site.latitude));
    remark("longitude_deg", number_text(weather.site.longitude));
    remark("elevation_m", number_text(weather.site.elevation));
    remark("utc_offset_h", number_text(weather.site.utc_offset));
    remark("sun_offset_s", number_text(weather.sun_offset));
    if (weather.typical) remark("typical", "yes");
    text += "time_utc";
    for (const auto& info : detail::weather_columns) text += std::string(",") + info.name + "_" + info.unit;
    text += '\n';
    for (Eigen::Index i = 0; i < weather.size(); ++i) {
        text += to_text_utc(weather.time_utc[i]);
        for (const auto& info : detail::weather_columns) {
            const Column& column = weather.*info.member;
            text += ',';
            if (!std::isnan(column[i])) text += number_text(column[i]);
        }
        text += '\n';
    }
    return text;
}

}  // namespace libseal
