// Ranks and interpolation of the typical year.

#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>
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

namespace {

struct Placed {
    std::uint64_t key;
    int place;
};

/// Whole numbers in the order of the doubles.
std::uint64_t sortable(double value) {
    const auto bits = std::bit_cast<std::uint64_t>(value + 0.0);  // -0 as 0
    return bits >> 63 ? ~bits : bits | (std::uint64_t{1} << 63);
}

/// Ascending, ties by place: byte by byte, which is faster than comparing for the hundreds of values of a month.
std::vector<Placed> sorted(ConstColumn values) {
    std::vector<Placed> from(static_cast<std::size_t>(values.size())), to(from.size());
    std::array<std::array<std::uint32_t, 256>, 8> counts{};
    for (std::size_t i = 0; i < from.size(); ++i) {
        from[i] = {sortable(values[static_cast<Eigen::Index>(i)]), static_cast<int>(i)};
        for (unsigned byte = 0; byte < 8; ++byte) ++counts[byte][from[i].key >> 8 * byte & 255];
    }
    for (unsigned byte = 0; byte < 8; ++byte) {
        std::uint32_t next = 0;
        for (std::uint32_t& count : counts[byte]) next += std::exchange(count, next);
        for (const Placed& item : from) to[counts[byte][item.key >> 8 * byte & 255]++] = item;
        from.swap(to);
    }
    return from;
}

}  // namespace

Column uniform_ranks(ConstColumn values) {
    const std::vector<Placed> order = sorted(values);
    Column ranks(values.size());
    for (std::size_t r = 0; r < order.size(); ++r) ranks[order[r].place] = (static_cast<double>(r) + 0.5) / static_cast<double>(order.size());
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
        const double from = days[day], rise = (days[(day + 1) % kDays] - from) / 24;
        const int first = 24 * day + kNode, before_new_year = std::min(24, kHours - first);
        for (int k = 0; k < before_new_year; ++k) hours[first + k] = from + rise * (k + 0.5);
        for (int k = before_new_year; k < 24; ++k) hours[first + k - kHours] = from + rise * (k + 0.5);
    }
    return hours;
}

namespace {

/// Hours from the middle of month m to that of the next.
struct MonthLeg {
    explicit MonthLeg(int m) {
        const MonthSpan &span = month_spans()[m], &next = month_spans()[(m + 1) % 12];
        from = span.first + span.count / 2;
        own = span.count / 2;
        length = own + next.count / 2;
    }
    int from, own, length;  ///< the first `own` hours are of month m

    /// Sum of (k + 0.5) / length over hours k in [0, end).
    double shares(int end) const { return 0.5 * end * end / length; }
};

}  // namespace

Column hours_from_months(const std::array<double, 12>& means) {
    std::array<double, 12> middle = means;
    // Each pass moves the mid-month nodes by what the month's mean still lacks.
    for (int pass = 0; pass < 5; ++pass) {
        std::array<double, 12> sum{};
        for (int m = 0; m < 12; ++m) {
            const MonthLeg leg(m);
            const int next = (m + 1) % 12;
            const double rise = middle[next] - middle[m];
            sum[m] += middle[m] * leg.own + rise * leg.shares(leg.own);
            sum[next] += middle[m] * (leg.length - leg.own) + rise * (leg.shares(leg.length) - leg.shares(leg.own));
        }
        for (int m = 0; m < 12; ++m) middle[m] += means[m] - sum[m] / month_spans()[m].count;
    }
    Column hours(kHours);
    for (int m = 0; m < 12; ++m) {
        const MonthLeg leg(m);
        const double rise = (middle[(m + 1) % 12] - middle[m]) / leg.length;
        for (int k = 0; k < leg.length; ++k) hours[(leg.from + k) % kHours] = middle[m] + rise * (k + 0.5);
    }
    return hours;
}

}  // namespace libseal::detail
