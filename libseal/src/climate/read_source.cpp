#include "climate/read_source.hpp"

#include <algorithm>
#include <bit>
#include <cstdint>
#include <cstring>
#include <iterator>

#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

int count_bits(std::uint64_t high_bits) {
    return static_cast<int>(((high_bits >> 7) * 0x0101010101010101ull) >> 56);
}

bool is_digit(char c) { return static_cast<unsigned char>(c - '0') < 10; }

}  // namespace

void SourceText::report(int line, int column, const std::string& field, const std::string& expected,
                        const std::string& got, const std::string& hint) {
    if (full()) return;
    Problem problem;
    problem.file = file;
    problem.line = line;
    problem.column = column;
    problem.field = field;
    problem.expected = expected;
    problem.got = got;
    problem.hint = hint;
    if (line > 0) problem.context = error_context(text, line, column);
    problems.add(std::move(problem));
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

bool FieldCursor::skip_some(int count) {
    const char* p = at_;
    if (!p) return false;
    if constexpr (std::endian::native == std::endian::little) {
        while (count > 0 && text_end_ - p >= 8) {
            std::uint64_t word;
            std::memcpy(&word, p, 8);
            std::uint64_t commas = bytes_equal(word, ',');
            const int found = count_bits(commas);
            if (found >= count) {
                while (--count > 0) commas &= commas - 1;
                p += std::countr_zero(commas) / 8 + 1;
            } else {
                count -= found;
                p += 8;
            }
            if (p > end_) return false;
        }
    }
    for (; count > 0 && p < end_; ++p) count -= *p == ',';
    if (count > 0) return false;
    at_ = p;
    return true;
}

std::string_view FieldCursor::field() {
    const char* q = at_;
    while (q != end_ && *q != ',') ++q;
    leave(q);
    return last();
}

FieldKind FieldCursor::any_number(double& value) {
    // Up to 15 digits: mantissa and power of ten are exact doubles, so one division rounds correctly.
    const char* q = at_;
    const bool negative = q != end_ && *q == '-';
    q += negative;
    std::uint64_t mantissa = 0;
    const char* const digits = q;
    for (; q != end_ && is_digit(*q); ++q) mantissa = mantissa * 10 + static_cast<std::uint64_t>(*q - '0');
    std::ptrdiff_t count = q - digits, decimals = 0;
    if (q != end_ && *q == '.') {
        const char* const point = ++q;
        for (; q != end_ && is_digit(*q); ++q) mantissa = mantissa * 10 + static_cast<std::uint64_t>(*q - '0');
        decimals = q - point;
        count += decimals;
    }
    if (count > 0 && count <= 15 && (q == end_ || *q == ',')) {
        leave(q);
        const double size = static_cast<double>(mantissa) / powers_of_ten[static_cast<std::size_t>(decimals)];
        value = negative ? -size : size;
        return FieldKind::number;
    }
    std::string_view text = field();
    if (text.size() >= 2 && text.front() == '"' && text.back() == '"') text = text.substr(1, text.size() - 2);
    if (text.find_first_not_of(" \t") == std::string_view::npos) return FieldKind::empty;
    static constexpr std::string_view none[] = {"nan", "NaN", "NAN", "NA", "na"};
    if (std::find(std::begin(none), std::end(none), text) != std::end(none)) return FieldKind::empty;
    return try_parse_number(text, value) ? FieldKind::number : FieldKind::wrong;
}

}  // namespace libseal::detail
