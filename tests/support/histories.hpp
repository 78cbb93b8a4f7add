#pragma once
// Synthetic histories that counting could stumble over.

#include <cmath>
#include <cstdint>
#include <string>
#include <vector>

#include "libseal/core/columns.hpp"
#include "libseal/core/random.hpp"

namespace libseal_test {

enum class HistoryKind { walk, noise, growing, shrinking, constant, plateaus, rounded, ties, noise_then_shrinking };

inline std::vector<HistoryKind> history_kinds() {
    return {HistoryKind::walk,     HistoryKind::noise,    HistoryKind::growing, HistoryKind::shrinking,           HistoryKind::constant,
            HistoryKind::plateaus, HistoryKind::rounded, HistoryKind::ties,    HistoryKind::noise_then_shrinking};
}

inline libseal::Column history(HistoryKind kind, Eigen::Index size, std::uint64_t seed) {
    libseal::RandomStream random(seed, static_cast<std::uint64_t>(kind));
    libseal::Column series(size);
    double walk = 0;
    for (Eigen::Index i = 0; i < size; ++i) {
        const double side = i % 2 == 0 ? 1 : -1, step = random.normal();
        const auto from_begin = static_cast<double>(i), to_end = static_cast<double>(size - i);
        const bool rests = i > 0 && random.uniform() < 0.6;
        walk = 0.98 * walk + step;
        switch (kind) {
            case HistoryKind::walk: series[i] = walk; break;
            case HistoryKind::noise: series[i] = step; break;
            case HistoryKind::growing: series[i] = side * from_begin; break;
            case HistoryKind::shrinking: series[i] = side * to_end; break;
            case HistoryKind::constant: series[i] = side; break;
            case HistoryKind::plateaus: series[i] = rests ? series[i - 1] : walk; break;
            case HistoryKind::rounded: series[i] = std::round(walk) / 10; break;
            case HistoryKind::ties: series[i] = static_cast<double>(random.below(3)) - 1; break;
            case HistoryKind::noise_then_shrinking: series[i] = 2 * i < size ? step * 0.1 * to_end : side * to_end; break;
        }
    }
    return series;
}

}  // namespace libseal_test
