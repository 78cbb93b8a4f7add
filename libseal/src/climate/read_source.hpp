#pragma once
// A text file as the weather readers see it: lines, fields, and the place of everything that is wrong.

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "core/json.hpp"

namespace libseal::detail {

/// The text with the problems found in it so far.
struct SourceText {
    std::string_view text;
    std::string file;
    Problems problems;

    /// Notes a problem with its place; line and column count from 1, 0 where they do not apply.
    void report(int line, int column, const std::string& field, const std::string& expected,
                const std::string& got, const std::string& hint = "");
    bool full() const { return problems.size() >= Problems::limit; }
};

/// Text as an error shows it: in quotes, short, without control characters.
std::string quoted(std::string_view text);

/// One line after another, without its end. Blank lines come too.
class LineCursor {
public:
    explicit LineCursor(std::string_view text) : text_(text) {
        if (text_.starts_with("\xEF\xBB\xBF")) at_ = 3;
    }
    bool next(std::string_view& line);
    /// Number of the line given last, from 1.
    int number() const { return number_; }

private:
    std::string_view text_;
    std::size_t at_ = 0;
    int number_ = 0;
};

/// What stood where a number was looked for.
enum class FieldKind { number, empty, wrong };

/// Walks over the comma-separated fields of one line. Quotes are left alone: no format here quotes its
/// numbers.
class FieldCursor {
public:
    /// @param line  Part of `text`; bytes behind it may be looked at, those behind `text` not.
    FieldCursor(std::string_view line, std::string_view text)
        : begin_(line.data()),
          at_(line.data()),
          end_(line.data() + line.size()),
          text_end_(text.data() + text.size()) {}

    /// Passes over `count` fields. False if the line has no field after them.
    bool skip(int count);
    /// The field at hand, then stands behind its comma. Ask `more` first.
    std::string_view field() {
        const char* q = at_;
        while (q != end_ && *q != ',') ++q;
        leave(q);
        return last();
    }
    /// The same as a number, rounded correctly; blanks around it are allowed.
    FieldKind number(double& value);
    bool more() const { return at_ != nullptr; }
    /// Column of the field given last, from 1.
    int column() const { return static_cast<int>(last_ - begin_) + 1; }
    std::string_view last() const { return {last_, static_cast<std::size_t>(last_end_ - last_)}; }

private:
    void leave(const char* field_end) {
        last_ = at_;
        last_end_ = field_end;
        at_ = field_end == end_ ? nullptr : field_end + 1;
    }
    FieldKind unusual_number(double& value);

    const char* begin_;
    const char* at_;  ///< null behind the last field
    const char* end_;
    const char* text_end_;
    const char* last_ = begin_;
    const char* last_end_ = begin_;
};

inline constexpr double powers_of_ten[] = {1,   1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                           1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};

inline FieldKind FieldCursor::number(double& value) {
    // Up to 15 digits: mantissa and power of ten are exact doubles, so one division rounds correctly.
    const char* q = at_;
    const bool negative = q != end_ && *q == '-';
    q += negative;
    std::uint64_t mantissa = 0;
    const char* const digits = q;
    unsigned digit = 0;
    for (; q != end_ && (digit = static_cast<unsigned char>(*q) - 48u) < 10; ++q)
        mantissa = mantissa * 10 + digit;
    std::ptrdiff_t count = q - digits, decimals = 0;
    if (q != end_ && *q == '.') {
        const char* const point = ++q;
        for (; q != end_ && (digit = static_cast<unsigned char>(*q) - 48u) < 10; ++q)
            mantissa = mantissa * 10 + digit;
        decimals = q - point;
        count += decimals;
    }
    if (count == 0 || count > 15 || (q != end_ && *q != ',')) return unusual_number(value);
    leave(q);
    double size = static_cast<double>(mantissa);
    if (decimals > 0) size /= powers_of_ten[decimals];
    value = negative ? -size : size;
    return FieldKind::number;
}

}  // namespace libseal::detail
