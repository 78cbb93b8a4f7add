#include "kernel/minute_rows.hpp"

#include <vector>

#include "libseal/core/random.hpp"
#include "support/catch.hpp"

using libseal::kernel::MinuteRows;

namespace {

/// The same with one byte a minute.
struct PlainRows {
    std::vector<std::vector<char>> taken;
    bool any(const std::vector<int>& rows, std::int64_t t) const {
        for (const int row : rows)
            if (taken[static_cast<std::size_t>(row)][static_cast<std::size_t>(t)]) return true;
        return false;
    }
    std::int64_t size() const { return static_cast<std::int64_t>(taken[0].size()); }
    std::int64_t first(const std::vector<int>& rows, std::int64_t from, std::int64_t to) const {
        for (auto t = std::max<std::int64_t>(0, from); t < std::min(to, size()); ++t) {
            if (!any(rows, t)) continue;
            while (t < size() && any(rows, t)) ++t;
            return t;
        }
        return -1;
    }
    std::int64_t last(const std::vector<int>& rows, std::int64_t from, std::int64_t to) const {
        for (auto t = std::min(to, size()) - 1; t >= std::max<std::int64_t>(0, from); --t) {
            if (!any(rows, t)) continue;
            while (t > 0 && any(rows, t - 1)) --t;
            return t;
        }
        return -1;
    }
};

}  // namespace

TEST_CASE("a bit a minute tells the same as a byte a minute", "[schedule][law]") {
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        libseal::RandomStream random(seed);
        const auto below = [&](std::int64_t n) { return static_cast<std::int64_t>(random.below(static_cast<std::uint64_t>(n))); };
        const std::int64_t minutes = 1 + below(700);
        MinuteRows rows(4, minutes);
        PlainRows plain{std::vector<std::vector<char>>(4, std::vector<char>(static_cast<std::size_t>(minutes), 0))};
        for (int round = 0; round < 120; ++round) {
            const int row = static_cast<int>(below(4));
            const std::int64_t from = below(minutes + 80) - 40, to = from + below(150);
            const bool set = below(2) == 0;
            if (set) rows.set(row, from, to);
            else rows.reset(row, from, to);
            for (auto t = std::max<std::int64_t>(0, from); t < std::min(to, minutes); ++t) plain.taken[static_cast<std::size_t>(row)][static_cast<std::size_t>(t)] = set;
            const std::vector<int> team = round % 3 == 0 ? std::vector<int>{row} : std::vector<int>{static_cast<int>(below(4)), static_cast<int>(below(4))};
            const std::int64_t a = below(minutes + 80) - 40, b = a + below(200);
            REQUIRE(rows.first_taken(team.data(), static_cast<int>(team.size()), a, b) == plain.first(team, a, b));
            REQUIRE(rows.last_taken(team.data(), static_cast<int>(team.size()), a, b) == plain.last(team, a, b));
        }
        rows.clear();
        const std::vector<int> all{0, 1, 2, 3};
        CHECK(rows.first_taken(all.data(), 4, 0, minutes) == -1);
    }
}

TEST_CASE("what is taken from the first minute on begins there", "[schedule]") {
    MinuteRows rows(2, 400);
    const int both[] = {0, 1};
    for (const std::int64_t end : {1, 63, 64, 65, 128, 200, 400}) {
        rows.clear();
        rows.set(0, 0, end / 2);
        rows.set(1, end / 2, end);
        CHECK(rows.last_taken(both, 2, 0, 400) == 0);
        CHECK(rows.last_taken(both, 2, end - 1, end) == 0);
        CHECK(rows.first_taken(both, 2, 0, 400) == end);
    }
}
