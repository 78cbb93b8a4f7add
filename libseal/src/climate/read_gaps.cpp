// What has no value: listed, filled or refused.

#include <algorithm>
#include <cmath>

#include "climate/read_limits.hpp"
#include "climate/read_table.hpp"
#include "libseal/climate/moisture.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

/// Refuses holes in a column; a column that the file does not have at all is no hole.
void refuse(SourceText& source, const Weather& weather) {
    for (const ColumnInfo& info : weather_columns)
        for (const Gap& gap : open_gaps(weather, info)) {
            if (gap.count == weather.size()) continue;
            source.report(0, 0, info.name, "a value in every interval",
                          "none in " + std::to_string(gap.count) + " intervals, which end at " +
                              to_text_utc(weather.time_utc[gap.first]) + " to " +
                              to_text_utc(weather.time_utc[gap.first + gap.count - 1]),
                          "gaps = \"interpolate\" fills short ones, \"report\" leaves them open");
        }
    source.problems.throw_if_any();
}

/// Adds interval i to the runs of a column.
void extend(std::vector<Gap>& gaps, const char* column, Eigen::Index i, const char* rule) {
    if (gaps.empty() || gaps.back().first + gaps.back().count != i) gaps.push_back({column, i, 0, rule});
    ++gaps.back().count;
}

std::size_t place_of(const std::string& column) {
    const auto& names = weather_column_names();
    return static_cast<std::size_t>(std::find(names.begin(), names.end(), column) - names.begin());
}

}  // namespace

std::vector<Gap> open_gaps(const Weather& weather, const ColumnInfo& info) {
    std::vector<Gap> gaps;
    const Column& values = weather.*info.member;
    for (Eigen::Index i = 0; i < values.size(); ++i)
        if (std::isnan(values[i])) extend(gaps, info.name, i, "no");
    return gaps;
}

void complete_humidity(Weather& weather) {
    std::vector<Gap> dew, humidity;
    for (Eigen::Index i = 0; i < weather.size(); ++i) {
        const double temperature = weather.air_temperature[i];
        double& point = weather.dew_point[i];
        double& relative = weather.relative_humidity[i];
        if (std::isnan(temperature) || std::isnan(point) == std::isnan(relative)) continue;
        if (std::isnan(relative)) {
            relative = std::clamp(humidity_from_dew_point(temperature, point), 0.0, 100.0);
            extend(humidity, "relative_humidity", i, "from temperature and dew point");
        } else if (relative > 0) {
            point = dew_point_from_humidity(temperature, relative);
            extend(dew, "dew_point", i, "from temperature and relative humidity");
        }
    }
    for (auto* gaps : {&dew, &humidity}) {
        if (gaps->empty()) continue;
        Eigen::Index count = 0;
        for (const Gap& gap : *gaps) count += gap.count;
        weather.notes.push_back(gaps->front().column + ": " + std::to_string(count) + " values computed " +
                                gaps->front().filled + " (Magnus formula)");
        weather.gaps.insert(weather.gaps.end(), gaps->begin(), gaps->end());
    }
}

void treat_gaps(SourceText& source, const ReadWeatherOptions& options, Weather& weather) {
    complete_humidity(weather);
    if (options.gaps == "refuse") refuse(source, weather);
    if (options.gaps == "interpolate") {
        interpolate_gaps(weather, options.longest_fill);
        complete_humidity(weather);
    }
    for (const ColumnInfo& info : weather_columns) {
        for (Gap& gap : open_gaps(weather, info)) weather.gaps.push_back(std::move(gap));
        if (weather.gaps.size() <= limits::weather_gaps) continue;
        source.report(0, 0, info.name, "at most " + std::to_string(limits::weather_gaps) + " runs without values", std::to_string(weather.gaps.size()),
                      "gaps = \"interpolate\" fills short ones; or take longer intervals");
        source.problems.throw_if_any();
    }
    std::sort(weather.gaps.begin(), weather.gaps.end(), [](const Gap& a, const Gap& b) {
        const std::size_t x = place_of(a.column), y = place_of(b.column);
        return x != y ? x < y : a.first < b.first;
    });
}

}  // namespace libseal::detail
