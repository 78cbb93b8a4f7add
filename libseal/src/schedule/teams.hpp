#pragma once
// Common working time of people who work together.

#include <map>
#include <vector>

#include "libseal/schedule/time.hpp"

namespace libseal::detail {

/// Working windows of every team of a shop, made when first asked for. Not shared between threads.
class Teams {
public:
    Teams(const Shop& shop, Date start) : shop_(shop), start_(start) {}

    /// Teams of `count` people, by index, in order. At most 200, so that big shops stay quick.
    const std::vector<std::vector<int>>& of(int count);
    /// Stretches in which all of a team work, from `start` on for three years; only days with sealing if
    /// `sealing`.
    const std::vector<TimeSpan>& windows(const std::vector<int>& team, bool sealing);
    /// Longest stretch that a team ever has [min].
    Minute longest(const std::vector<int>& team, bool sealing);
    /// Most working minutes that a team has on one day.
    Minute longest_day(const std::vector<int>& team, bool sealing);

private:
    struct Entry {
        std::vector<TimeSpan> windows;
        Minute longest = 0, longest_day = 0;
    };
    Entry& entry(const std::vector<int>& team, bool sealing);

    const Shop& shop_;
    Date start_;
    std::map<int, std::vector<std::vector<int>>> teams_;
    std::map<std::pair<std::vector<int>, bool>, Entry> entries_;
};

}  // namespace libseal::detail
