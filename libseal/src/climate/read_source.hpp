#pragma once
// A text file as the weather readers see it: lines, fields, and the place of everything that is wrong.

#include <string>
#include <string_view>

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

/// Walks over the comma-separated fields of one line. Quotes are left alone: no format here quotes its numbers.
class FieldCursor {
public:
    /// @param line  Part of `text`; bytes behind it may be looked at, those behind `text` not.
    FieldCursor(std::string_view line, std::string_view text)
        : begin_(line.data()),
          at_(line.data()),
          end_(line.data() + line.size()),
          text_end_(text.data() + text.size()) {}

    /// Passes over `count` fields. False if the line has no field after them.
    bool skip(int count) { return count == 0 ? more() : skip_some(count); }
    /// Passes over this text, the comma behind it included, if the line goes on with it.
    bool pass(std::string_view text) {
        if (!at_ || !std::string_view(at_, static_cast<std::size_t>(end_ - at_)).starts_with(text)) return false;
        at_ += text.size();
        return true;
    }
    /// The field at hand, then stands behind its comma. Ask `more` first.
    std::string_view field();
    /// The same as a number, rounded correctly; blanks around it are allowed.
    FieldKind number(double& value) {
        if (text_end_ - at_ >= 8)
            if (const int length = short_number(at_, value); length > 0) {
                leave(at_ + length);
                return FieldKind::number;
            }
        return any_number(value);
    }
    bool more() const { return at_ != nullptr; }
    /// Column of the field given last, from 1.
    int column() const { return static_cast<int>(last_ - begin_) + 1; }
    std::string_view last() const { return {last_, static_cast<std::size_t>(last_end_ - last_)}; }

private:
    bool skip_some(int count);
    FieldKind any_number(double& value);
    void leave(const char* field_end) {
        last_ = at_;
        last_end_ = field_end;
        at_ = field_end == end_ ? nullptr : field_end + 1;
    }

    const char* begin_;
    const char* at_;  ///< null behind the last field
    const char* end_;
    const char* text_end_;
    const char* last_ = begin_;
    const char* last_end_ = begin_;
};

}  // namespace libseal::detail
