#include "climate/read_source.hpp"

#include <algorithm>
#include <bit>
#include <cstdint>
#include <cstring>
#include <iterator>

#include "core/problem.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

bool is_digit(char c) { return static_cast<unsigned char>(c - '0') < 10; }

}  // namespace

void SourceText::report(int line, int column, const std::string& field, const std::string& expected,
                        const std::string& got, const std::string& hint) {
    if (full()) return;
    problems.add(placed_problem(field_problem(field, expected, got, hint), text, file, line, column));
}

std::string quoted(std::string_view text) {
    constexpr std::size_t longest = 60;
    std::string shown = "\"";
    for (const char c : text.substr(0, longest)) shown += static_cast<unsigned char>(c) < 32 || c == 127 ? '?' : c;
    return shown + (text.size() > longest ? "...\"" : "\"");
}

bool LineCursor::next(std::string_view& line) {
    if (at_ >= text_.size()) return false;
    const char* start = text_.data() + at_;
    const void* found = std::memchr(start, '\n', text_.size() - at_);
    const std::size_t length =
        found ? static_cast<std::size_t>(static_cast<const char*>(found) - start) : text_.size() - at_;
    at_ += length + 1;
    ++number_;
    line = {start, length};
    if (line.ends_with('\r')) line.remove_suffix(1);
    return true;
}

void RowFields::split(std::string_view row) {
    begin_ = row.data();
    length_ = row.size();
    std::size_t at = 0, count = 0;
    std::size_t* const ends = ends_.data();
    if constexpr (std::endian::native == std::endian::little) {
        const auto readable = static_cast<std::size_t>(text_end_ - begin_);
        for (char last[block_size]; at < length_ && count < most_; at += block_size) {
            const bool whole = at + block_size <= readable;
            if (!whole) std::memcpy(last, begin_ + at, readable - at);
            std::uint64_t commas = places_in_block(whole ? begin_ + at : last, ',');
            if (length_ - at < block_size) commas &= (std::uint64_t{1} << (length_ - at)) - 1;
            for (; commas; commas &= commas - 1) ends[count++] = at + static_cast<std::size_t>(std::countr_zero(commas));
        }
    }
    for (; at < length_ && count < most_; ++at)
        if (begin_[at] == ',') ends[count++] = at;
    if (count < most_) ends[count++] = length_;
    count_ = std::min(count, most_);
}

FieldKind number_of(std::string_view field, double& value) {
    // Up to 15 digits: mantissa and power of ten are exact doubles, so one division rounds correctly.
    const char *q = field.data(), *const end = q + field.size();
    const bool negative = q != end && *q == '-';
    q += negative;
    std::uint64_t mantissa = 0;
    const char* const digits = q;
    for (; q != end && is_digit(*q); ++q) mantissa = mantissa * 10 + static_cast<std::uint64_t>(*q - '0');
    std::ptrdiff_t count = q - digits, decimals = 0;
    if (q != end && *q == '.') {
        const char* const point = ++q;
        for (; q != end && is_digit(*q); ++q) mantissa = mantissa * 10 + static_cast<std::uint64_t>(*q - '0');
        decimals = q - point;
        count += decimals;
    }
    if (count > 0 && count <= 15 && q == end) {
        const double size = static_cast<double>(mantissa) / powers_of_ten[static_cast<std::size_t>(decimals)];
        value = negative ? -size : size;
        return FieldKind::number;
    }
    if (field.size() >= 2 && field.front() == '"' && field.back() == '"') field = field.substr(1, field.size() - 2);
    if (field.find_first_not_of(" \t") == std::string_view::npos) return FieldKind::empty;
    static constexpr std::string_view none[] = {"nan", "NaN", "NAN", "NA", "na"};
    if (std::find(std::begin(none), std::end(none), field) != std::end(none)) return FieldKind::empty;
    return try_parse_number(field, value) ? FieldKind::number : FieldKind::wrong;
}

}  // namespace libseal::detail
