// Opaque cloud and rain of the typical year.

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "libseal/core/random.hpp"
#include "typical_year_parts.hpp"

namespace libseal::detail {
namespace {

constexpr double kOpaqueShare = 0.87;      // of total cloud
constexpr double kSpellPersistence = 0.75; // of rain from hour to hour
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
        cover.segment(span.first, span.count) = 10 * uniform_ranks(-clear).pow((1 - mean) / mean);
    }
    return cover;
}

Column make_precipitation(const Station& station, ConstColumn air, ConstColumn humidity, ConstColumn cover,
                          std::uint64_t seed) {
    Column rain = Column::Zero(kHours);
    const double annual = station.annual_precipitation;
    const bool known = std::isfinite(annual);
    const double liquid_wanted = std::max(station.rain_hours, known ? annual / kMostIntensity : 0.0);
    if (!(liquid_wanted > 0) || (known && annual <= 0)) return rain;
    const Column likely = persistent_series(seed, Draw::rain, kHours, kSpellPersistence) + 0.15 * cover + 0.04 * humidity;
    std::vector<std::pair<double, int>> order(kHours);
    for (int i = 0; i < kHours; ++i) order[i] = {-likely[i], i};
    std::sort(order.begin(), order.end());
    // Wettest hours first, until as many of them are above freezing as the station reports rain.
    const Column depth = persistent_series(seed, Draw::rain_depth, kHours, 0.6);
    double liquid = 0, sum = 0;
    int wet = 0;
    for (const auto& [unlikely, i] : order) {
        if (liquid >= std::floor(liquid_wanted + 0.5)) break;
        rain[i] = -std::log(normal_probability(-depth[i]));  // exponential law
        sum += rain[i];
        ++wet;
        if (air[i] > kLiquidAbove) liquid += 1;
    }
    if (sum > 0) rain *= (known ? annual : kUsualIntensity * wet) / sum;
    return rain;
}

}  // namespace libseal::detail
