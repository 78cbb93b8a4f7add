// TMY3: two header lines, then hours of local standard time stamped at their end, 01:00 to 24:00.
// Source: Wilcox & Marion 2008, NREL/TP-581-43156, tables 1-1 to 1-3.

#include <algorithm>

#include "climate/read_limits.hpp"
#include "climate/read_table.hpp"
#include "libseal/core/csv.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

struct Heading {
    std::string_view text;
    WeatherColumn column;
    double scale;
};
constexpr Heading headings[] = {
    {"GHI (W/m^2)", ghi_column, 1},
    {"DNI (W/m^2)", dni_column, 1},
    {"DHI (W/m^2)", dhi_column, 1},
    {"OpqCld (tenths)", opaque_sky_cover_column, 1},
    {"Dry-bulb (C)", air_temperature_column, 1},
    {"Dew-point (C)", dew_point_column, 1},
    {"RHum (%)", relative_humidity_column, 1},
    {"Pressure (mbar)", pressure_column, 100},
    {"Wdir (degrees)", wind_direction_column, 1},
    {"Wspd (m/s)", wind_speed_column, 1},
    {"Lprecip depth (mm)", precipitation_column, 1},
};

void read_site(SourceText& source, std::string_view line, Site& site) {
    CsvReader csv(line, source.file);
    std::vector<CsvField> field;
    if (!csv.next(field) || field.size() < 7) {
        source.report(1, 1, "site", "number, name, state, hours from UTC, latitude, longitude and elevation", quoted(line));
        return;
    }
    site.name = csv_text(field[1]);
    const auto number = [&](std::size_t i, const char* name, double low, double high, double& value) {
        double read = 0;
        if (try_parse_number(field[i].text, read) && read >= low && read <= high)
            value = read;
        else
            source.report(1, field[i].column, name, "a number from " + number_text(low) + " to " + number_text(high),
                          quoted(field[i].text));
    };
    number(3, "hours from UTC", -15, 15, site.utc_offset);
    number(4, "latitude", -90, 90, site.latitude);
    number(5, "longitude", -180, 180, site.longitude);
    number(6, "elevation", -1000, 9000, site.elevation);
}

std::vector<FieldPlan> read_headings(SourceText& source, std::string_view line) {
    RowFields row(source.text, limits::table_columns);
    row.split(line);
    std::vector<std::string_view> field;
    for (std::size_t i = 0; i < row.size(); ++i) field.push_back(row[i]);
    std::vector<FieldPlan> plan;
    for (const Heading& heading : headings) {
        const auto found = std::find(field.begin() + std::min<std::ptrdiff_t>(2, std::ssize(field)), field.end(), heading.text);
        if (found == field.end()) {
            source.report(2, 1, "heading", "a column \"" + std::string(heading.text) + "\"", "none of that name");
            continue;
        }
        FieldPlan item;
        item.field = static_cast<int>(found - field.begin());
        item.column = heading.column;
        item.heading = heading.text;
        item.scale = heading.scale;
        item.missing_below = -9900;
        plan.push_back(item);
    }
    std::sort(plan.begin(), plan.end(), [](const FieldPlan& a, const FieldPlan& b) { return a.field < b.field; });
    return plan;
}

/// Digits at `at`, as many as asked for; -1 if there are others.
int digits(std::string_view text, std::size_t at, std::size_t count) {
    int value = 0;
    for (std::size_t i = at; i < at + count; ++i) {
        if (text[i] < '0' || text[i] > '9') return -1;
        value = value * 10 + (text[i] - '0');
    }
    return value;
}

/// "MM/DD/YYYY" and "HH:MM".
bool read_stamp(SourceText& source, const RowFields& row, int line, DayCache& days, RawWeather& raw) {
    const std::string_view date = row[0];
    std::int32_t day = 0;
    if (date.size() != 10 || date[2] != '/' || date[5] != '/' ||
        !days.find(digits(date, 6, 4), digits(date, 0, 2), digits(date, 3, 2), day)) {
        source.report(line, row.column(0), "date", "a date as MM/DD/YYYY", quoted(date));
        return false;
    }
    if (row.size() < 2) {
        source.report(line, 0, "time", "a time as HH:MM", "a shorter row");
        return false;
    }
    const std::string_view clock = row[1];
    const bool formed = clock.size() == 5 && clock[2] == ':';
    const int hour = formed ? digits(clock, 0, 2) : -1, minute = formed ? digits(clock, 3, 2) : -1;
    if (hour < 0 || minute < 0 || minute > 59 || hour * 60 + minute > 24 * 60) {
        source.report(line, row.column(1), "time", "a time as HH:MM, 01:00 to 24:00", quoted(clock));
        return false;
    }
    raw.day.push_back(day);
    raw.second.push_back(hour * 3600 + minute * 60);
    raw.line.push_back(line);
    return true;
}

}  // namespace

RawWeather read_tmy3(SourceText& source, const ReadWeatherOptions& options) {
    RawWeather raw;
    raw.years = YearKind::composed;
    raw.step = 3600;
    LineCursor lines(source.text);
    std::string_view line;
    lines.next(line);
    read_site(source, line, raw.site);
    raw.clock_offset = options.hours == "utc" ? 0 : raw.site.utc_offset;
    lines.next(line);
    const std::vector<FieldPlan> plan = read_headings(source, line);
    source.problems.throw_if_any();

    raw.reserve(8784, plan);
    DayCache days;
    RowFields row(source.text, std::max<std::size_t>(2, fields_wanted(plan)));
    while (!source.full() && lines.next(line)) {
        if (line.empty()) continue;
        check_room(source, raw, lines.number());
        row.split(line);
        if (read_stamp(source, row, lines.number(), days, raw)) read_values(source, row, lines.number(), plan, raw);
    }
    source.problems.throw_if_any();
    raw.notes.emplace_back(tmy3_rain_note);
    return raw;
}

}  // namespace libseal::detail
