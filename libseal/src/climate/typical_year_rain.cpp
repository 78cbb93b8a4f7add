// Opaque cloud and rain of the typical year.

#include <algorithm>
#include <cmath>
#include <iterator>
#include <utility>
#include <vector>

#include "kernel/column_functions.hpp"
#include "libseal/core/random.hpp"
#include "typical_year_parts.hpp"

namespace libseal::detail {
namespace {

constexpr double kOpaqueShare = 0.87;      // of total cloud
constexpr double kLiquidAbove = 0.5;       // [degC] colder water falls frozen
constexpr double kMostIntensity = 3.0;     // [mm/h] mean over wet hours: fewer hours would be gaps of the source
constexpr double kUsualIntensity = 1.9;    // [mm/h] where the annual sum is not known

}  // namespace

Column make_opaque_cover(const Station& station, const SunYear& sun) {
    const Column days = hours_from_days(sun.day_score);
    Column cover(kHours);
    for (int m = 0; m < 12; ++m) {
        const MonthSpan& span = month_spans()[m];
        const double mean = std::clamp(kOpaqueShare * station.months[m].cloud / 10, 0.02, 0.98);
        Column clear(span.count);
        for (int k = 0; k < span.count; ++k) {
            const int i = span.first + k;
            clear[k] = sun.rank[i] > 0 ? 0.5 * days[i] + 0.5 * normal_quantile(sun.rank[i]) - 0.25 : days[i];
        }
        // u^a of ranks u has the mean 1 / (1 + a).
        cover.segment(span.first, span.count) = 10 * power(uniform_ranks(-clear), (1 - mean) / mean);
    }
    return cover;
}

Column make_precipitation(const Station& station, ConstColumn air, ConstColumn humidity, ConstColumn cover,
                          const YearDraws& draws) {
    Column rain = Column::Zero(kHours);
    const double annual = station.annual_precipitation;
    const bool known = std::isfinite(annual);
    const double liquid_wanted = std::max(station.rain_hours, known ? annual / kMostIntensity : 0.0);
    if (!(liquid_wanted > 0) || (known && annual <= 0)) return rain;
    const Column likely = draws.rain_chance + 0.15 * cover + 0.04 * humidity;
    std::vector<std::pair<double, int>> order(kHours);
    for (int i = 0; i < kHours; ++i) order[i] = {likely[i], -i};
    std::make_heap(order.begin(), order.end());
    // Wettest hours first, until as many of them are above freezing as the station reports rain.
    double liquid = 0, sum = 0;
    int wet = 0;
    for (auto end = order.end(); end != order.begin() && liquid < std::floor(liquid_wanted + 0.5); --end) {
        std::pop_heap(order.begin(), end);
        const int i = -std::prev(end)->second;
        rain[i] = draws.rain_depth[i];
        sum += rain[i];
        ++wet;
        if (air[i] > kLiquidAbove) liquid += 1;
    }
    if (sum > 0) rain *= (known ? annual : kUsualIntensity * wet) / sum;
    return rain;
}

}  // namespace libseal::detail
