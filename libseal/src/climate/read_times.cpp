// Rows in time: composed years onto 2001, clock to UTC, a regular grid.

#include <algorithm>
#include <cmath>

#include "climate/read_table.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

constexpr int composed_year = 2001;

/// True if the rows jump between years as months picked from several years do. A step from one year's end
/// into the next is how real time runs.
bool jumps_between_years(const std::vector<std::int32_t>& day) {
    if (day.empty()) return false;
    YearMonthDay before = year_month_day({day[0]});
    for (std::size_t i = 1; i < day.size(); ++i) {
        if (day[i] == day[i - 1]) continue;
        const YearMonthDay now = year_month_day({day[i]});
        const bool real = now.year == before.year || (now.year == before.year + 1 && now.month < before.month);
        if (!real) return true;
        before = now;
    }
    return false;
}

/// Moves all rows to one year; rows of 29 February, which that year does not have, are left out.
void compose(RawWeather& raw) {
    int first = 9999, last = 0;
    std::size_t kept = 0, dropped = 0;
    std::int32_t known = 0, mapped = 0;
    bool leap_day = false;
    for (std::size_t i = 0; i < raw.size(); ++i) {
        if (i == 0 || raw.day[i] != known) {
            known = raw.day[i];
            const YearMonthDay ymd = year_month_day({known});
            first = std::min(first, ymd.year);
            last = std::max(last, ymd.year);
            leap_day = ymd.month == 2 && ymd.day == 29;
            if (!leap_day) mapped = make_date(composed_year, ymd.month, ymd.day).days;
        }
        if (leap_day) {
            ++dropped;
            continue;
        }
        raw.day[kept] = mapped;
        if (kept < i) {
            raw.second[kept] = raw.second[i];
            raw.line[kept] = raw.line[i];
            for (auto& column : raw.values)
                if (!column.empty()) column[kept] = column[i];
        }
        ++kept;
    }
    raw.day.resize(kept);
    raw.second.resize(kept);
    raw.line.resize(kept);
    for (auto& column : raw.values)
        if (!column.empty()) column.resize(kept);
    raw.notes.push_back("a year composed of months from " + std::to_string(first) + " to " + std::to_string(last) +
                        "; its dates carry " + std::to_string(composed_year));
    if (dropped > 0) raw.notes.push_back(std::to_string(dropped) + " rows of 29 February were left out of the composed year");
}

std::vector<Instant> instants(const RawWeather& raw) {
    const Instant ahead = std::llround(raw.clock_offset * 3600);
    std::vector<Instant> time(raw.size());
    for (std::size_t i = 0; i < raw.size(); ++i)
        time[i] = static_cast<Instant>(raw.day[i]) * 86400 + raw.second[i] - ahead;
    return time;
}

/// Place of every row on a grid of `step` that starts at the first row; empty after a problem.
std::vector<Eigen::Index> places(SourceText& source, const RawWeather& raw, const std::vector<Instant>& time,
                                 Instant step) {
    std::vector<Eigen::Index> place(time.size(), 0);
    bool good = true;
    for (std::size_t i = 1; i < time.size() && !source.full(); ++i) {
        const Instant passed = time[i] - time[i - 1];
        if (passed == step) {  // nearly always: no division
            place[i] = place[i - 1] + 1;
            continue;
        }
        if (passed > 0 && passed % step == 0) {
            place[i] = place[i - 1] + passed / step;
            continue;
        }
        good = false;
        const std::string seconds = number_text(static_cast<double>(step));
        source.report(raw.line[i], 1, "time",
                      passed > 0 ? "a whole number of intervals of " + seconds + " s after the row before"
                                 : "a time after that of the row before",
                      std::to_string(passed) + " s after it", passed == 0 ? "the row may stand twice" : "");
        place[i] = place[i - 1] + 1;
    }
    // A wrong year must not make millions of empty intervals.
    const auto most = static_cast<Eigen::Index>(4 * time.size() + 9000);
    if (good && place.back() >= most) {
        good = false;
        source.report(raw.line.back(), 1, "time", "a series with most of its intervals present",
                      std::to_string(time.size()) + " rows over " + std::to_string(place.back() + 1) + " intervals",
                      "check the years of the first and last row");
    }
    if (!good) place.clear();
    return place;
}

void note_cuts(RawWeather& raw) {
    for (std::size_t c = 0; c < weather_column_count; ++c)
        if (raw.cut[c] > 0) {
            const ColumnInfo& info = weather_columns[c];
            raw.notes.push_back(std::string(info.name) + ": " + std::to_string(raw.cut[c]) +
                                " values just outside " + number_text(info.floor) + " to " + number_text(info.ceiling) +
                                " were set to the limit");
        }
}

}  // namespace

Weather arrange(SourceText& source, RawWeather& raw) {
    Weather weather;
    if (raw.size() == 0) {
        source.report(0, 0, "", "rows of weather", "none", "the file may be cut off");
        source.problems.throw_if_any();
    }
    const bool composed =
        raw.years == YearKind::composed || (raw.years == YearKind::from_rows && jumps_between_years(raw.day));
    if (composed) compose(raw);
    if (raw.step == 0) raw.step = find_step(raw);
    if (raw.size() == 0 || !(raw.step >= 1) || raw.step > 86400)
        source.report(0, 0, "time", "at least two rows that are up to a day apart",
                      std::to_string(raw.size()) + " rows, " + number_text(raw.step) + " s apart");
    source.problems.throw_if_any();

    const std::vector<Instant> time = instants(raw);
    const auto step = static_cast<Instant>(raw.step);
    const std::vector<Eigen::Index> place = places(source, raw, time, step);
    source.problems.throw_if_any();

    weather.site = raw.site;
    weather.typical = composed || raw.typical;
    weather.step = raw.step;
    weather.sun_offset = std::isnan(raw.sun_offset) ? -raw.step / 2 : raw.sun_offset;
    const Eigen::Index n = place.back() + 1;
    weather.time_utc.resize(n);
    for (Eigen::Index i = 0; i < n; ++i) weather.time_utc[i] = time.front() + i * step;
    for (std::size_t c = 0; c < weather_column_count; ++c) {
        Column& column = weather.*weather_columns[c].member;
        const auto& values = raw.values[c];
        if (std::ssize(values) == n) {  // places rise: a value in each
            column = Eigen::Map<const Column>(values.data(), n);
            continue;
        }
        column = Column::Constant(n, no_value);
        for (std::size_t i = 0; i < values.size(); ++i) column[place[i]] = values[i];
    }
    note_cuts(raw);
    return weather;
}

}  // namespace libseal::detail
