#pragma once
// The first day on which a probability that never falls reaches p, in few questions.

#include <algorithm>
#include <cmath>

#include "libseal/core/date.hpp"

namespace libseal::detail {

/// First day of (low, high] on which `chance` reaches p; high if none before does. Plain bisection gives the same day.
///
/// @param near_low, near_high  Between which days it is thought to lie; a wrong guess costs questions, no more.
template <class Chance>
Date first_day(Date low, Date high, Date near_low, Date near_high, double p, const Chance& chance) {
    struct End {
        Date day;
        double missing;  ///< p less the chance
    };
    const auto ask = [&](Date day) { return End{day, p - chance(day)}; };
    const auto inside = [&](Date day) { return std::clamp(day, low + 1, high); };
    // Bracket: `before` has not reached p, `after` has.
    End after = ask(inside(std::max(near_low, near_high)));
    End before{low, p};  // never a result itself
    for (int step = 2; after.missing > 0 && after.day < high; step *= 4) {
        before = after;
        after = ask(step < high - after.day ? after.day + step : high);
    }
    if (after.missing > 0) return high;
    if (before.day == low) {
        Date guess = std::min(near_low, near_high) - 1;
        for (int step = 2; (guess = std::min(guess, after.day - 1)) > low; step *= 4) {
            const End end = ask(guess);
            if (end.missing > 0) {
                before = end;
                break;
            }
            after = end;
            guess = step < guess - low ? guess - step : low;
        }
    }
    // False position; the end that stays counts half (Illinois), and a bracket that is slow to shrink is halved.
    for (int same = 0, turn = 0; after.day - before.day > 1; ++turn) {
        const int width = after.day - before.day;
        const double share = before.missing / (before.missing - after.missing);
        const int part = turn % 4 == 3 ? width / 2 : static_cast<int>(std::lround(share * width));
        const End end = ask(before.day + std::clamp(part, 1, width - 1));
        if (end.missing > 0) {
            if (same < 0) after.missing /= 2;
            before = end;
            same = -1;
        } else {
            if (same > 0) before.missing /= 2;
            after = end;
            same = 1;
        }
    }
    return after.day;
}

}  // namespace libseal::detail
