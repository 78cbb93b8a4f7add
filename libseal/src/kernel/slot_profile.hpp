#pragma once
// Free capacity over time, all resources of a moment packed into one word (or a few): each resource has a field of
// bits and above it a guard bit. Subtracting a demand clears the guard bits of the resources that are short.

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <type_traits>
#include <vector>

namespace libseal::kernel {

/// Free units of every resource, guard bits set. W words; W = 0: as many as it takes, slower.
template <int W>
using Slot = std::conditional_t<W == 0, std::vector<std::uint64_t>, std::array<std::uint64_t, W>>;

template <int W>
inline bool fits(const Slot<W>& free, const Slot<W>& need, const Slot<W>& guard) {
    std::uint64_t missing = 0;
    for (std::size_t w = 0; w < need.size(); ++w) missing |= ~(free[w] - need[w]) & guard[w];
    return missing == 0;
}

template <int W>
inline void take(Slot<W>& free, const Slot<W>& need) {
    for (std::size_t w = 0; w < need.size(); ++w) free[w] -= need[w];
}

template <int W>
inline void give_back(Slot<W>& free, const Slot<W>& need) {
    for (std::size_t w = 0; w < need.size(); ++w) free[w] += need[w];
}

/// One slot a unit of time: fastest where tasks last a few units.
template <int W>
class DenseProfile {
public:
    /// @param full  capacities with the guard bits set.
    DenseProfile(const Slot<W>& full, const Slot<W>& guard, int horizon)
        : full_(full), guard_(guard), slots_(static_cast<std::size_t>(horizon) + 1, full) {}

    /// Empties it again; nothing was placed at or after `until`.
    void clear(int until) { std::fill(slots_.begin(), slots_.begin() + until, full_); }

    /// First start >= earliest at which `need` is free for `duration` > 0 units; takes it.
    int place(int earliest, int duration, const Slot<W>& need) {
        const Slot<W>* slots = slots_.data();
        int start = earliest;
        int known = start;  // slots in [start, known) have room
        // From the far end backwards: a full slot rules out every start up to it.
        for (int t = start + duration - 1; t >= known;) {
            if (fits<W>(slots[t], need, guard_)) {
                --t;
                continue;
            }
            known = start + duration;
            start = t + 1;
            t = start + duration - 1;
        }
        Slot<W>* taken = slots_.data() + start;
        for (int t = 0; t < duration; ++t) take<W>(taken[t], need);
        return start;
    }

private:
    Slot<W> full_, guard_;
    std::vector<Slot<W>> slots_;
};

/// Breakpoints in order of time: its cost does not depend on the unit of time.
template <int W>
class EventProfile {
public:
    EventProfile(const Slot<W>& full, const Slot<W>& guard, int) : full_(full), guard_(guard) { clear(0); }

    void clear(int) { points_.assign(1, Point{0, full_}); }

    int place(int earliest, int duration, const Slot<W>& need) {
        std::size_t at = last_up_to(earliest);
        std::size_t first = at;
        int start = earliest;
        for (; at < points_.size() && points_[at].time < start + duration; ++at) {
            if (fits<W>(points_[at].free, need, guard_)) continue;
            first = at + 1;
            start = points_[first].time;  // the last breakpoint is free: nothing runs for ever
        }
        if (points_[first].time < start) split(first++, start);
        const int end = start + duration;
        std::size_t last = first;
        for (; last < points_.size() && points_[last].time < end; ++last) take<W>(points_[last].free, need);
        if (last == points_.size() || points_[last].time > end) {
            split(last - 1, end);
            give_back<W>(points_[last].free, need);
        }
        return start;
    }

private:
    struct Point {
        int time;
        Slot<W> free;  ///< from here to the next breakpoint
    };

    std::size_t last_up_to(int time) const {
        const auto after = std::upper_bound(points_.begin(), points_.end(), time,
                                            [](int t, const Point& point) { return t < point.time; });
        return static_cast<std::size_t>(after - points_.begin()) - 1;
    }

    void split(std::size_t at, int time) {
        const Point point{time, points_[at].free};
        points_.insert(points_.begin() + static_cast<std::ptrdiff_t>(at) + 1, point);
    }

    Slot<W> full_, guard_;
    std::vector<Point> points_;
};

}  // namespace libseal::kernel
