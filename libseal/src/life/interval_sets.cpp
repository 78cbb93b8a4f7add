#include "life/interval_sets.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <tuple>
#include <utility>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

std::string row(const char* name, Eigen::Index i) { return std::string(name) + "[" + std::to_string(i) + "]"; }

/// A place on the line of time: at a time, or just after it.
using Place = std::pair<double, int>;

struct Span {
    Place from, to;  ///< both included
};

void check_row(const LifeData& lives, ConstColumn entry, ConstColumn exit, Eigen::Index i) {
    const double low = require_not_negative(lives.lower[i], row("lower", i)), high = lives.upper[i];
    if (!(high >= low) || high == 0)
        throw_value_error(row("upper", i), "a time not before " + row("lower", i) + " = " + number_text(low) + " and above 0",
                          number_text(high), "infinite stands for sound at the last look");
    if (std::isinf(low)) throw_value_error(row("lower", i), "a finite time", number_text(low));
    const double start = entry.size() > 0 ? require_not_negative(entry[i], row("entry", i)) : 0;
    const double end = exit.size() > 0 ? exit[i] : INFINITY;
    if (std::isnan(end) || end <= start) throw_value_error(row("exit", i), "a time after its entry", number_text(end));
    if (high <= start)
        throw_value_error(row("entry", i), "a time before " + row("upper", i) + " = " + number_text(high), number_text(start),
                          "what failed before it was watched is no part of these data");
    if (low == high ? high > end : low >= end)
        throw_value_error(row("exit", i), "a time after " + row("lower", i) + " = " + number_text(low), number_text(end));
}

/// Innermost intervals: a left end that is followed by a right end, nothing between them.
void find_cells(IntervalSets& sets, const std::vector<Span>& spans, const std::vector<Span>& seen) {
    std::vector<std::pair<Place, int>> ends;  // 0: left end, 1: right end
    for (const auto& span : spans) {
        ends.push_back({span.from, 0});
        ends.push_back({span.to, 1});
    }
    for (const auto& span : seen) {
        // Where lives begin or cease to be seen, probability may lie just before or just after: Frydman's ends.
        if (span.from.first > 0) ends.push_back({{span.from.first, 0}, 1});
        if (std::isfinite(span.to.first)) ends.push_back({{span.to.first, 1}, 0});
    }
    std::sort(ends.begin(), ends.end());
    ends.erase(std::unique(ends.begin(), ends.end()), ends.end());
    std::vector<double> left, right;
    for (std::size_t k = 0; k + 1 < ends.size(); ++k) {
        if (ends[k].second != 0 || ends[k + 1].second != 1) continue;
        left.push_back(ends[k].first.first);
        right.push_back(ends[k + 1].first.first);
    }
    sets.left = Eigen::Map<const Column>(left.data(), static_cast<Eigen::Index>(left.size()));
    sets.right = Eigen::Map<const Column>(right.data(), static_cast<Eigen::Index>(right.size()));
}

/// Cells inside a span.
std::pair<int, int> cells_of(const std::vector<Place>& starts, const std::vector<Place>& ends, const Span& span) {
    const auto first = std::lower_bound(starts.begin(), starts.end(), span.from) - starts.begin();
    const auto last = std::upper_bound(ends.begin(), ends.end(), span.to) - ends.begin() - 1;
    return {static_cast<int>(first), static_cast<int>(last)};
}

}  // namespace

IntervalSets interval_sets(const LifeData& lives, ConstColumn entry, ConstColumn exit) {
    const Eigen::Index n = lives.lower.size();
    if (n == 0) throw_value_error("lives", "at least one life", "none");
    if (lives.upper.size() != n)
        throw_value_error("upper", std::to_string(n) + " values, as many as lower", std::to_string(lives.upper.size()));
    for (const auto& [column, name] : {std::pair{&entry, "entry"}, {&exit, "exit"}})
        if (column->size() != 0 && column->size() != n)
            throw_value_error(name, std::to_string(n) + " values, as many as lives", std::to_string(column->size()));
    std::vector<Span> spans, seen;
    for (Eigen::Index i = 0; i < n; ++i) {
        check_row(lives, entry, exit, i);
        const double start = entry.size() > 0 ? entry[i] : 0, end = exit.size() > 0 ? exit[i] : INFINITY;
        const bool exact = lives.lower[i] == lives.upper[i];
        spans.push_back({exact ? Place{lives.lower[i], 0} : Place{std::max(lives.lower[i], start), 1}, {std::min(lives.upper[i], end), 0}});
        seen.push_back({{start, 1}, {end, 0}});
    }
    IntervalSets sets;
    find_cells(sets, spans, seen);
    std::vector<Place> starts, ends;
    for (Eigen::Index j = 0; j < sets.left.size(); ++j) {
        starts.push_back({sets.left[j], sets.left[j] == sets.right[j] ? 0 : 1});
        ends.push_back({sets.right[j], 0});
    }
    std::map<std::tuple<int, int, int, int>, int> known;
    for (std::size_t i = 0; i < spans.size(); ++i) {
        const auto [first, last] = cells_of(starts, ends, spans[i]);
        const auto [seen_first, seen_last] = cells_of(starts, ends, seen[i]);
        const auto [place, fresh] = known.try_emplace({first, last, seen_first, seen_last}, static_cast<int>(sets.ranges.size()));
        if (fresh) sets.ranges.push_back({first, last, seen_first, seen_last, 0});
        sets.range_of.push_back(place->second);
        ++sets.ranges[static_cast<std::size_t>(place->second)].count;
    }
    sets.lives = static_cast<double>(n);
    return sets;
}

}  // namespace libseal::detail
