#pragma once
// Who is taken in which minute: one bit a minute, one row a person or tool.

#include <algorithm>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace libseal::kernel {

/// Minutes are counted from 0; those outside of the table are free and stay so.
class MinuteRows {
public:
    MinuteRows(int rows, std::int64_t minutes)
        : minutes_(std::max<std::int64_t>(0, minutes)),
          words_(static_cast<std::size_t>(minutes_ / 64) + 2),
          rows_(static_cast<std::size_t>(rows)),
          bits_(rows_ * words_, 0) {}

    void clear() {
        for (std::size_t row = 0; row < rows_; ++row)
            std::fill_n(bits_.begin() + static_cast<std::ptrdiff_t>(row * words_), touched_, 0);
        touched_ = 0;
    }

    void set(int row, std::int64_t from, std::int64_t to) {
        each_word(row, from, to, [](std::uint64_t& word, std::uint64_t mask) { word |= mask; });
    }
    void reset(int row, std::int64_t from, std::int64_t to) {
        each_word(row, from, to, [](std::uint64_t& word, std::uint64_t mask) { word &= ~mask; });
    }

    /// End of the first stretch taken in any of the rows that meets [from, to); -1 if all are free.
    std::int64_t first_taken(const int* row, int rows, std::int64_t from, std::int64_t to) const {
        from = std::max<std::int64_t>(0, from), to = std::min(to, minutes_);
        if (from >= to) return -1;
        std::size_t w = word_of(from);
        const std::size_t last = word_of(to - 1);
        std::uint64_t taken = any(row, rows, w) & above(from);
        while (taken == 0 && w < last) taken = any(row, rows, ++w);
        if (taken == 0) return -1;
        const int bit = std::countr_zero(taken);
        if (static_cast<std::int64_t>(w) * 64 + bit >= to) return -1;
        std::uint64_t free = ~any(row, rows, w) & (~std::uint64_t{0} << bit);
        while (free == 0 && w + 1 < words_) free = ~any(row, rows, ++w);
        return static_cast<std::int64_t>(w) * 64 + std::countr_zero(free);
    }

    /// Start of the last stretch taken in any of the rows that meets [from, to); -1 if all are free.
    std::int64_t last_taken(const int* row, int rows, std::int64_t from, std::int64_t to) const {
        from = std::max<std::int64_t>(0, from), to = std::min(to, minutes_);
        if (from >= to) return -1;
        std::size_t w = word_of(to - 1);
        const std::size_t first = word_of(from);
        std::uint64_t taken = any(row, rows, w) & (to % 64 == 0 ? ~std::uint64_t{0} : ~above(to));
        while (taken == 0 && w > first) taken = any(row, rows, --w);
        if (taken == 0) return -1;
        const int bit = 63 - std::countl_zero(taken);
        if (static_cast<std::int64_t>(w) * 64 + bit < from) return -1;
        std::uint64_t free = ~any(row, rows, w) & ((std::uint64_t{1} << bit) - 1);
        while (free == 0 && w > 0) free = ~any(row, rows, --w);
        return free == 0 ? 0 : static_cast<std::int64_t>(w) * 64 + 64 - std::countl_zero(free);
    }

private:
    static std::size_t word_of(std::int64_t minute) { return static_cast<std::size_t>(minute) / 64; }
    static std::uint64_t above(std::int64_t minute) { return ~std::uint64_t{0} << (minute % 64); }

    std::uint64_t any(const int* row, int rows, std::size_t w) const {
        std::uint64_t word = 0;
        for (int r = 0; r < rows; ++r) word |= bits_[static_cast<std::size_t>(row[r]) * words_ + w];
        return word;
    }

    template <class Change>
    void each_word(int row, std::int64_t from, std::int64_t to, Change change) {
        from = std::max<std::int64_t>(0, from), to = std::min(to, minutes_);
        if (from >= to) return;
        const std::size_t first = word_of(from), last = word_of(to - 1);
        std::uint64_t* words = bits_.data() + static_cast<std::size_t>(row) * words_;
        for (std::size_t w = first; w <= last; ++w) {
            std::uint64_t mask = ~std::uint64_t{0};
            if (w == first) mask &= above(from);
            if (w == last && to % 64 != 0) mask &= ~above(to);
            change(words[w], mask);
        }
        touched_ = std::max(touched_, last + 1);
    }

    std::int64_t minutes_;
    std::size_t words_, rows_;
    std::size_t touched_ = 0;  ///< words from here on are 0 in every row
    std::vector<std::uint64_t> bits_;
};

}  // namespace libseal::kernel
