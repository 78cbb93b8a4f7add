#pragma once
// Comma-separated text (RFC 4180) with the place of every field, for readers that must say where.

#include <string>
#include <string_view>
#include <vector>

namespace libseal {

struct CsvField {
    std::string_view text;  ///< without quotes; doubled quotes are still doubled (see `csv_text`)
    int line = 0;           ///< 1-based
    int column = 0;         ///< 1-based, in bytes
    bool quoted = false;
};

/// Reads one record after another. The text must outlive the reader.
class CsvReader {
public:
    explicit CsvReader(std::string_view text, std::string file = "");

    /// False at the end. Blank lines are passed over. @throws ValueError  at an unclosed quote or stray text after one.
    bool next(std::vector<CsvField>& record);
    int line() const { return line_; }

private:
    [[noreturn]] void fail(int line, int column, const std::string& expected, const std::string& got, const char* hint = "") const;
    int column() const { return static_cast<int>(at_ - line_start_) + 1; }
    void begin_line();
    void pass_blank_lines();
    CsvField field();
    void read_quoted(CsvField& field);
    void read_plain(CsvField& field);
    bool pass_end_of_field();

    std::string_view text_;
    std::string file_;
    std::size_t at_ = 0;
    int line_ = 1;
    std::size_t line_start_ = 0;
};

/// Value of a field: doubled quotes made single.
std::string csv_text(const CsvField& field);
/// A value as a field: quoted if it needs to be. RFC 4180.
///
/// Text that a spreadsheet would run as a formula (it begins with = + - @, their wide forms, a tab or a line end; numbers such as
/// -5 are none) gets an apostrophe in front, and so does such text behind apostrophes: to get the text back, take one apostrophe
/// off a field that is apostrophes followed by one of these.
/// @throws ValueError  bytes that are no UTF-8, or NUL: readers of CSV cannot hold them.
std::string csv_field(std::string_view value);
/// A record of such fields, ended by CR LF.
std::string csv_line(const std::vector<std::string>& values);

}  // namespace libseal
