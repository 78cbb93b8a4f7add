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

bool cut_to_range(RawWeather& raw, WeatherColumn column, double& value) {
    const ColumnInfo& info = weather_columns[column];
    if (!(value >= info.low && value <= info.high)) return false;
    value = std::clamp(value, info.floor, info.ceiling);
    ++raw.cut[column];
    return true;
}

void report_range(SourceText& source, int line, int place, const std::string& heading, WeatherColumn column,
                  double value, std::string_view written) {
    const ColumnInfo& info = weather_columns[column];
    std::string got = quoted(written);
    if (double read = 0; !try_parse_number(written, read) || read != value)
        got += " (" + number_text(value) + " " + info.unit + ")";
    source.report(line, place, heading,
                  "a value from " + number_text(info.low) + " to " + number_text(info.high) + " " + info.unit, got);
}

namespace {

/// Value of a field in our unit; no value after reporting.
double read_value(SourceText& source, const RowFields& row, int line, const FieldPlan& item, RawWeather& raw) {
    const auto field = static_cast<std::size_t>(item.field);
    double value = no_value;
    const FieldKind kind = row.number(field, value);
    if (kind == FieldKind::wrong) source.report(line, row.column(field), item.heading, "a number", quoted(row[field]));
    if (kind != FieldKind::number || value >= item.missing_from || value <= item.missing_below) return no_value;
    value = (value + item.shift) * item.scale;
    if (item.step_power == 0 && !fit_range(raw, item.column, value))
        report_range(source, line, row.column(field), item.heading, item.column, value, row[field]);
    return value;
}

}  // namespace

std::size_t fields_wanted(const std::vector<FieldPlan>& plan) {
    int last = 0;
    for (const FieldPlan& item : plan) last = std::max(last, item.field);
    return static_cast<std::size_t>(last) + 1;
}

bool read_values(SourceText& source, const RowFields& row, int line, const std::vector<FieldPlan>& plan, RawWeather& raw) {
    for (const FieldPlan& item : plan) {
        if (row.size() <= static_cast<std::size_t>(item.field)) {
            source.report(line, 0, item.heading, "at least " + std::to_string(item.field + 1) + " fields", "a shorter row",
                          "the row may be cut off");
            return false;
        }
        raw.values[item.column].push_back(read_value(source, row, line, item, raw));
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
