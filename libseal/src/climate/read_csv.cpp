// Plain CSV with a header: lines about the site, then named columns with units.

#include <algorithm>
#include <cmath>

#include "climate/read_csv_parts.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

constexpr const char* time_names[] = {"time_utc", "time_local"};

enum class Role { time, value, site };

/// One column of the file.
struct FileColumn {
    Role role = Role::value;
    FieldPlan plan;     ///< of a value
    std::string key;    ///< of a site column
    std::string first;  ///< text of a site column in the first row
};

struct Table {
    std::vector<FileColumn> columns;
    std::vector<FieldPlan> plan;
    int time_columns = 0;
    bool local = false;
    bool begun = false;  ///< a row was read
};

void report_unknown(SourceText& source, int line, int place, const Heading& heading,
                    std::string_view written) {
    std::vector<std::string> known(std::begin(time_names), std::end(time_names));
    known.insert(known.end(), weather_column_names().begin(), weather_column_names().end());
    for (const auto& name : remark_names())
        if (is_site_column(name)) known.push_back(name);
    const std::string near = nearest_name(heading.name, known);
    const bool with_unit =
        near.find("time") == std::string::npos && !is_site_column(near) && !heading.unit.empty();
    source.report(line, place, "heading", "the name of a known column", quoted(written),
                  near.empty() ? "known: time_utc, time_local and the columns of the weather, with units"
                               : "did you mean \"" + near + (with_unit ? "_" + heading.unit : "") + "\"?");
}

/// Plan of a value column, with its unit.
void add_value(SourceText& source, int line, int place, const Heading& heading, WeatherColumn column,
               Table& table) {
    FileColumn& file = table.columns.back();
    const auto units = units_of(column);
    const auto unit =
        std::find_if(units.begin(), units.end(), [&](const Unit& u) { return heading.unit == u.name; });
    if (unit == units.end()) {
        std::string list;
        for (const Unit& u : units) list += (list.empty() ? "" : ", ") + std::string(u.name);
        source.report(line, place, heading.name, "a unit: " + list,
                      heading.unit.empty() ? "none" : quoted(heading.unit),
                      "write \"" + heading.name + "_" + units.front().name + "\" or \"" + heading.name +
                          " [" + units.front().name + "]\"");
        return;
    }
    for (const FieldPlan& other : table.plan)
        if (other.column == column)
            source.report(line, place, heading.name, "each column once", "it stands a second time");
    file.plan.column = column;
    file.plan.heading = heading.name;
    file.plan.shift = unit->shift;
    file.plan.scale = unit->scale;
    file.plan.step_power = unit->step_power;
    table.plan.push_back(file.plan);
}

void add_column(SourceText& source, std::string_view written, int line, int place, Table& table) {
    FileColumn& file = table.columns.emplace_back();
    const Heading heading = split_heading(written);
    const auto& names = weather_column_names();
    const auto found = std::find(names.begin(), names.end(), heading.name);
    // "elevation_ft" is one name; "elevation [ft]" comes in two parts.
    const std::string joined = heading.unit.empty() ? heading.name : heading.name + "_" + heading.unit;
    if (heading.name == time_names[0] || heading.name == time_names[1]) {
        file.role = Role::time;
        table.local = heading.name == time_names[1];
        if (++table.time_columns == 2)
            source.report(line, place, "time", "one column of times", "a second one");
    } else if (found != names.end()) {
        add_value(source, line, place, heading, static_cast<WeatherColumn>(found - names.begin()), table);
    } else if (is_site_column(joined)) {
        file.role = Role::site;
        file.key = joined;
    } else {
        report_unknown(source, line, place, heading, written);
    }
}

Table read_header(SourceText& source, std::string_view line, int number) {
    Table table;
    if (line.find(',') == std::string_view::npos && line.find_first_of(";\t") != std::string_view::npos) {
        source.report(number, 1, "header", "columns parted by commas", quoted(line),
                      "save the table as comma-separated values");
        return table;
    }
    for (FieldCursor cursor(line, source.text); cursor.more() && !source.full();) {
        const std::string_view written = trimmed(cursor.field());
        add_column(source, written, number, cursor.column(), table);
    }
    if (table.time_columns == 0)
        source.report(number, 1, "header", "a column time_utc or time_local, the end of each interval",
                      quoted(line),
                      "a weather file is an EPW (first line LOCATION,...), a TMY3 (second line Date "
                      "(MM/DD/YYYY),...) or a "
                      "table with a header such as time_utc,ghi_w_m2,air_temperature_c");
    if (table.plan.empty() && table.time_columns > 0)
        source.report(number, 1, "header", "at least one column of weather", "none");
    return table;
}

void read_site_field(SourceText& source, std::string_view text, int line, int place, bool first,
                     FileColumn& column, SiteFacts& facts) {
    if (first) {
        column.first = text;
        read_fact(source, line, place, column.key, text, facts);
    } else if (text != column.first) {
        source.report(line, place, column.key, "the value of the first row, " + quoted(column.first),
                      quoted(text), "one file is one place");
    }
}

/// Puts a stamp on the table's clock: UTC, or local standard time.
void add_stamp(SourceText& source, Stamp stamp, int line, int place, const Table& table, SiteFacts& facts,
               RawWeather& raw) {
    std::int32_t clock = 0;
    if (table.local) {
        if (std::isnan(facts.utc_offset)) {
            if (!stamp.has_ahead) {
                source.report(line, place, "time_local", "the site's offset from UTC", "none",
                              "write a line \"# utc_offset_h: -6\" above the header, or times as "
                              "2024-07-01T13:00-06:00");
                return;
            }
            facts.utc_offset = stamp.ahead / 3600.0;
            raw.notes.push_back("utc_offset is that of the first time, " + number_text(facts.utc_offset) +
                                " h");
        }
        clock = static_cast<std::int32_t>(std::lround(facts.utc_offset * 3600));
    }
    if (stamp.has_ahead) move_stamp(stamp, clock - stamp.ahead);
    raw.day.push_back(stamp.day);
    raw.second.push_back(stamp.second);
    raw.line.push_back(line);
}

bool has_all_fields(SourceText& source, std::string_view line, int number, int count) {
    FieldCursor cursor(line, source.text);
    const bool enough = cursor.skip(count - 1);
    if (enough && !cursor.skip(1)) return true;
    source.report(number, enough ? 0 : static_cast<int>(line.size()) + 1, "",
                  std::to_string(count) + " fields, as many as headings",
                  enough ? "a longer row" : "a shorter row",
                  enough ? "a decimal comma parts a number into two fields" : "the row may be cut off");
    return false;
}

void read_row(SourceText& source, std::string_view line, int number, DayCache& days, Table& table,
              SiteFacts& facts, RawWeather& raw) {
    if (!has_all_fields(source, line, number, static_cast<int>(table.columns.size()))) return;
    FieldCursor cursor(line, source.text);
    std::string_view time;
    int time_place = 0;
    for (FileColumn& column : table.columns) {
        if (column.role == Role::value) {
            read_value(source, cursor, number, column.plan, raw);
            continue;
        }
        const std::string_view text = trimmed(cursor.field());
        if (column.role == Role::time) {
            time = text;
            time_place = cursor.column();
        } else {
            read_site_field(source, text, number, cursor.column(), !table.begun, column, facts);
        }
    }
    table.begun = true;
    Stamp stamp;
    if (parse_stamp(time, days, stamp))
        add_stamp(source, stamp, number, time_place, table, facts, raw);
    else
        source.report(number, time_place, table.local ? "time_local" : "time_utc",
                      "a time such as 2024-07-01T13:00Z", quoted(time));
}

/// Amounts per interval become rates, rates become amounts; only now is the interval known.
void apply_step(SourceText& source, const Table& table, RawWeather& raw) {
    const double step = raw.step > 0 ? raw.step : find_step(raw);
    if (!(step > 0)) return;  // too few rows: told later
    for (const FieldPlan& item : table.plan) {
        if (item.step_power == 0) continue;
        auto& values = raw.values[item.column];
        for (std::size_t i = 0; i < values.size() && !source.full(); ++i) {
            if (std::isnan(values[i])) continue;
            values[i] *= item.step_power > 0 ? step : 1 / step;
            if (!fit_range(raw, item.column, values[i]))
                report_range(source, raw.line[i], 0, item.heading, item.column, values[i],
                             number_text(values[i]));
        }
    }
}

/// The site from what was said of it; what was not said is told or refused.
void settle_site(SourceText& source, const SiteFacts& facts, bool local, RawWeather& raw) {
    if (std::isnan(facts.latitude) || std::isnan(facts.longitude)) {
        source.report(0, 0, std::isnan(facts.latitude) ? "latitude" : "longitude", "the place of the site",
                      "none",
                      "write lines \"# latitude_deg: 41.7\" and \"# longitude_deg: -86.3\" above the header");
        return;
    }
    raw.site = {facts.name, facts.latitude, facts.longitude, facts.elevation, facts.utc_offset};
    if (std::isnan(facts.elevation)) {
        raw.site.elevation = 0;
        raw.notes.emplace_back("elevation is not given: taken as 0 m");
    }
    if (std::isnan(facts.utc_offset)) {
        raw.site.utc_offset = std::round(facts.longitude / 15) + 0.0;
        raw.notes.push_back("utc_offset is not given: taken from the longitude, " +
                            number_text(raw.site.utc_offset) + " h");
    }
    raw.clock_offset = local ? raw.site.utc_offset : 0;
    raw.sun_offset = facts.sun_offset;
    raw.step = std::isnan(facts.step) ? 0 : std::floor(facts.step);
    raw.typical = facts.typical;
    // A file that calls itself typical has its dates already.
    raw.years = facts.typical ? YearKind::dated : YearKind::from_rows;
}

}  // namespace

RawWeather read_csv(SourceText& source) {
    RawWeather raw;
    SiteFacts facts;
    Table table;
    DayCache days;
    LineCursor lines(source.text);
    bool headed = false;
    for (std::string_view line; !source.full() && lines.next(line);) {
        if (trimmed(line).empty()) continue;
        if (headed) {
            read_row(source, line, lines.number(), days, table, facts, raw);
        } else if (line.starts_with('#')) {
            read_remark(source, line, lines.number(), facts, raw);
        } else {
            table = read_header(source, line, lines.number());
            headed = true;
            source.problems.throw_if_any();
            raw.reserve(source.text.size() / (line.size() + 1), table.plan);
        }
    }
    if (!headed)
        source.report(lines.number(), 0, "", "a header such as time_utc,ghi_w_m2,air_temperature_c", "none");
    settle_site(source, facts, table.local, raw);
    source.problems.throw_if_any();
    apply_step(source, table, raw);
    source.problems.throw_if_any();
    return raw;
}

}  // namespace libseal::detail
