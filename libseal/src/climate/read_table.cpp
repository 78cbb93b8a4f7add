#include "climate/read_table.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {

void RawWeather::reserve(std::size_t rows, const std::vector<FieldPlan>& plan) {
    day.reserve(rows);
    second.reserve(rows);
    line.reserve(rows);
    for (const auto& step_of_plan : plan) values[step_of_plan.column].reserve(rows);
}

bool DayCache::find(int year, int month, int day, std::int32_t& days) {
    if (year != year_ || month != month_ || day != day_) {
        static constexpr int lengths[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
        if (year < 1400 || year > 9999 || month < 1 || month > 12 || day < 1) return false;
        const bool leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
        if (day > lengths[month - 1] + (month == 2 && leap)) return false;
        days_ = make_date(year, month, day).days;
        year_ = year;
        month_ = month;
        day_ = day;
    }
    days = days_;
    return true;
}

bool fit_range(RawWeather& raw, WeatherColumn column, double& value) {
    const ColumnInfo& info = weather_column_table()[column];
    if (value >= info.floor && value <= info.ceiling) return true;
    if (!(value >= info.low && value <= info.high)) return false;
    value = std::clamp(value, info.floor, info.ceiling);
    ++raw.cut[column];
    return true;
}

void report_range(SourceText& source, int line, int place, const std::string& heading, WeatherColumn column,
                  double value, std::string_view written) {
    const ColumnInfo& info = weather_column_table()[column];
    std::string got = quoted(written);
    if (double read = 0; !try_parse_number(written, read) || read != value)
        got += " (" + number_text(value) + " " + info.unit + ")";
    source.report(line, place, heading,
                  "a value from " + number_text(info.low) + " to " + number_text(info.high) + " " + info.unit, got);
}

void read_value(SourceText& source, FieldCursor& cursor, int line, const FieldPlan& item, RawWeather& raw) {
    double value = no_value;
    const FieldKind kind = cursor.number(value);
    if (kind == FieldKind::wrong)
        source.report(line, cursor.column(), item.heading, "a number", quoted(cursor.last()));
    if (kind != FieldKind::number || value >= item.missing_from || value <= item.missing_below) {
        value = no_value;
    } else {
        value = (value + item.shift) * item.scale;
        if (item.step_power == 0 && !fit_range(raw, item.column, value))
            report_range(source, line, cursor.column(), item.heading, item.column, value, cursor.last());
    }
    raw.values[item.column].push_back(value);
}

bool read_values(SourceText& source, FieldCursor& cursor, int line, int at, const std::vector<FieldPlan>& plan,
                 RawWeather& raw) {
    for (const FieldPlan& item : plan) {
        if (!cursor.skip(item.field - at) || !cursor.more()) {
            source.report(line, 0, item.heading, "at least " + std::to_string(item.field + 1) + " fields", "a shorter row",
                          "the row may be cut off");
            return false;
        }
        read_value(source, cursor, line, item, raw);
        at = item.field + 1;
    }
    return true;
}

double find_step(const RawWeather& raw) {
    std::map<std::int64_t, std::size_t> counts;
    for (std::size_t i = 1; i < raw.size(); ++i)
        ++counts[(static_cast<std::int64_t>(raw.day[i]) - raw.day[i - 1]) * 86400 + raw.second[i] - raw.second[i - 1]];
    std::int64_t best = 0;
    std::size_t most = 0;
    for (const auto& [difference, count] : counts)
        if (difference > 0 && count > most) {
            most = count;
            best = difference;
        }
    return static_cast<double>(best);
}

}  // namespace libseal::detail
