#pragma once
// Stretches of time in order: what two lists share, and lists without seams.

#include <algorithm>
#include <cstddef>
#include <vector>

#include "libseal/schedule/time.hpp"

namespace libseal::detail {

inline std::vector<TimeSpan> common(const std::vector<TimeSpan>& a, const std::vector<TimeSpan>& b) {
    std::vector<TimeSpan> both;
    for (std::size_t i = 0, j = 0; i < a.size() && j < b.size();) {
        const Minute from = std::max(a[i].from, b[j].from), to = std::min(a[i].to, b[j].to);
        if (from < to) both.push_back({from, to});
        if (a[i].to < b[j].to) ++i;
        else ++j;
    }
    return both;
}

/// Touching stretches in one.
inline std::vector<TimeSpan> merged(const std::vector<TimeSpan>& spans) {
    std::vector<TimeSpan> out;
    for (const TimeSpan& span : spans)
        if (!out.empty() && out.back().to >= span.from) out.back().to = std::max(out.back().to, span.to);
        else out.push_back(span);
    return out;
}

}  // namespace libseal::detail
