#pragma once
// A text file as the weather readers see it: lines, fields, and the place of everything that is wrong.

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "climate/short_number.hpp"
#include "core/json.hpp"

namespace libseal::detail {

/// The text with the problems found in it so far.
struct SourceText {
    std::string_view text;
    std::string file;
    Problems problems;

    /// Notes a problem with its place; line and column count from 1, 0 where they do not apply.
    void report(int line, int column, const std::string& field, const std::string& expected, const std::string& got,
                const std::string& hint = "");
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

/// A field as a number, rounded correctly; blanks around it are allowed.
FieldKind number_of(std::string_view field, double& value);

/// The comma-separated fields of one row after the other. Quotes are left alone: no format here quotes its numbers.
class RowFields {
public:
    /// @param text  In which all rows lie: bytes behind a row may be looked at, those behind `text` not.
    /// @param most  Fields behind as many are not looked for.
    RowFields(std::string_view text, std::size_t most) : text_end_(text.data() + text.size()), most_(most), ends_(most + block_size) {}

    /// Finds the fields of a row, at least one.
    void split(std::string_view row);
    std::size_t size() const { return count_; }
    std::string_view operator[](std::size_t i) const { return {begin_ + start(i), ends_[i] - start(i)}; }
    std::string_view row() const { return {begin_, length_}; }
    /// Column at which a field begins, from 1.
    int column(std::size_t i) const { return static_cast<int>(start(i)) + 1; }
    FieldKind number(std::size_t i, double& value) const {
        const char* const from = begin_ + start(i);
        const std::size_t length = ends_[i] - start(i);
        if (text_end_ - from >= 8 && short_number(from, length, value)) return FieldKind::number;
        return number_of({from, length}, value);
    }

private:
    std::size_t start(std::size_t i) const { return i == 0 ? 0 : ends_[i - 1] + 1; }

    const char* text_end_;
    std::size_t most_, count_ = 0;
    std::vector<std::size_t> ends_;  ///< of the fields in the row; room for all commas of a block behind `most_`
    const char* begin_ = nullptr;
    std::size_t length_ = 0;
};

}  // namespace libseal::detail
