// Random series and interpolation of the typical year.

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "libseal/core/random.hpp"
#include "typical_year_parts.hpp"

namespace libseal::detail {

const std::array<MonthSpan, 12>& month_spans() {
    static const std::array<MonthSpan, 12> spans = [] {
        const int lengths[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
        std::array<MonthSpan, 12> result;
        int first = 0;
        for (int m = 0; m < 12; ++m) {
            result[m] = {first, 24 * lengths[m]};
            first += 24 * lengths[m];
        }
        return result;
    }();
    return spans;
}

Column persistent_series(std::uint64_t seed, Draw draw, int count, double persistence) {
    RandomStream random(seed, static_cast<std::uint64_t>(draw));
    // Three uniforms make a variate of variance 1/4 that is near enough to normal: only ranks and small noise come of it.
    const auto variate = [&random] { return 2 * (random.uniform() + random.uniform() + random.uniform() - 1.5); };
    const double fresh = std::sqrt(1 - persistence * persistence);
    Column z(count);
    z[0] = variate();
    for (int i = 1; i < count; ++i) z[i] = persistence * z[i - 1] + fresh * variate();
    return z;
}

Column uniform_ranks(ConstColumn values) {
    const int n = static_cast<int>(values.size());
    std::vector<std::pair<double, int>> order(n);
    for (int i = 0; i < n; ++i) order[i] = {values[i], i};
    std::sort(order.begin(), order.end());
    Column ranks(n);
    for (int r = 0; r < n; ++r) ranks[order[r].second] = (r + 0.5) / n;
    return ranks;
}

Column normal_scores(ConstColumn values) {
    Column scores = uniform_ranks(values);
    for (double& s : scores) s = normal_quantile(s);
    return scores;
}

Column hours_from_days(ConstColumn days) {
    constexpr int kNode = 14;
    Column hours(kHours);
    for (int day = 0; day < kDays; ++day) {
        const double from = days[day], to = days[(day + 1) % kDays];
        for (int k = 0; k < 24; ++k) {
            const int i = 24 * day + kNode + k;
            hours[i < kHours ? i : i - kHours] = from + (to - from) * (k + 0.5) / 24;
        }
    }
    return hours;
}

Column hours_from_months(const std::array<double, 12>& means) {
    const auto& spans = month_spans();
    std::array<double, 12> middle = means;
    Column hours(kHours);
    // Each pass moves the mid-month nodes by what the month's mean still lacks.
    for (int pass = 0; pass < 6; ++pass) {
        for (int m = 0; m < 12; ++m) {
            const int next = (m + 1) % 12;
            const int from = spans[m].first + spans[m].count / 2;
            const int length = spans[m].count / 2 + spans[next].count / 2;
            for (int k = 0; k < length; ++k)
                hours[(from + k) % kHours] = middle[m] + (middle[next] - middle[m]) * (k + 0.5) / length;
        }
        for (int m = 0; m < 12; ++m) middle[m] += means[m] - hours.segment(spans[m].first, spans[m].count).mean();
    }
    return hours;
}

}  // namespace libseal::detail
