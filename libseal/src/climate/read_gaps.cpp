// What has no value: listed, filled or refused.

#include <algorithm>
#include <cmath>

#include "climate/read_table.hpp"
#include "libseal/climate/sun.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

std::vector<Gap> find_gaps(const Weather& weather, const ColumnInfo& info) {
    std::vector<Gap> gaps;
    const Column& values = weather.*info.member;
    for (Eigen::Index i = 0; i < values.size(); ++i) {
        if (!std::isnan(values[i])) continue;
        const bool joins = !gaps.empty() && gaps.back().first + gaps.back().count == i;
        if (!joins) gaps.push_back({info.name, i, 0, "no"});
        ++gaps.back().count;
    }
    return gaps;
}

/// Refuses holes in a column; a column that the file does not have at all is no hole.
void refuse(SourceText& source, const RawWeather& raw, const Weather& weather) {
    for (const ColumnInfo& info : weather_column_table())
        for (const Gap& gap : find_gaps(weather, info)) {
            if (gap.count == weather.size()) continue;
            const Instant last = weather.time_utc[gap.first + gap.count - 1];
            source.report(0, 0, info.name, "a value in every interval",
                          "none in " + std::to_string(gap.count) + " intervals from " +
                              to_text_utc(weather.time_utc[gap.first]) + " to " + to_text_utc(last),
                          "gaps = \"interpolate\" fills short ones, \"report\" leaves them open");
        }
    static_cast<void>(raw);
    source.problems.throw_if_any();
}

}  // namespace

void treat_gaps(SourceText& source, const RawWeather& raw, const ReadWeatherOptions& options, Weather& weather) {
    if (options.gaps == "refuse") refuse(source, raw, weather);
    weather.gaps = raw.filled;
    for (const ColumnInfo& info : weather_column_table())
        for (Gap& gap : find_gaps(weather, info)) weather.gaps.push_back(std::move(gap));
}

}  // namespace libseal::detail
