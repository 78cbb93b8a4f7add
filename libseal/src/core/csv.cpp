#include "libseal/core/csv.hpp"

#include <algorithm>

#include "core/problem.hpp"
#include "libseal/core/limits.hpp"

namespace libseal {

CsvReader::CsvReader(std::string_view text, std::string file) : text_(text), file_(std::move(file)) {
    if (text_.starts_with("\xEF\xBB\xBF")) at_ = line_start_ = 3;
}

void CsvReader::fail(int line, int column, const std::string& expected, const std::string& got, const char* hint) const {
    throw ValueError(detail::placed_problem(detail::field_problem("", expected, got, hint), text_, file_, line, column));
}

/// At the end of a line.
void CsvReader::begin_line() {
    ++line_;
    line_start_ = at_ + 1;
}

void CsvReader::pass_blank_lines() {
    for (; at_ < text_.size() && (text_[at_] == '\n' || text_[at_] == '\r'); ++at_)
        if (text_[at_] == '\n') begin_line();
}

/// From behind the opening quote to behind the closing one.
void CsvReader::read_quoted(CsvField& field) {
    field.quoted = true;
    const std::size_t start = ++at_;
    for (;; ++at_) {
        if (at_ >= text_.size()) fail(field.line, field.column, "a closing quote", "the end of the text");
        if (text_[at_] == '\n') begin_line();
        if (text_[at_] != '"') continue;
        if (at_ + 1 >= text_.size() || text_[at_ + 1] != '"') break;
        ++at_;  // a doubled quote
    }
    field.text = text_.substr(start, at_ - start);
    ++at_;
    if (at_ < text_.size() && text_[at_] != ',' && text_[at_] != '\n' && text_[at_] != '\r')
        fail(line_, column(), "a comma or the end of the line after a quoted value", "more text");
}

void CsvReader::read_plain(CsvField& field) {
    const std::size_t end = std::min(text_.find_first_of(",\n", at_), text_.size());
    field.text = text_.substr(at_, end - at_);
    if (field.text.ends_with('\r')) field.text.remove_suffix(1);
    at_ = end;
}

CsvField CsvReader::field() {
    CsvField field;
    field.line = line_;
    field.column = column();
    if (at_ < text_.size() && text_[at_] == '"') read_quoted(field);
    else read_plain(field);
    if (field.text.size() > limits::text_octets)
        fail(field.line, field.column, "a value of at most " + std::to_string(limits::text_octets) + " octets", std::to_string(field.text.size()),
             "is a quote or the end of a line missing?");
    return field;
}

/// Behind a comma, or behind the end of a line or of the text: false.
bool CsvReader::pass_end_of_field() {
    if (at_ < text_.size() && text_[at_] == '\r') ++at_;
    if (at_ >= text_.size()) return false;
    const bool goes_on = text_[at_] != '\n';
    if (!goes_on) begin_line();
    ++at_;
    return goes_on;
}

bool CsvReader::next(std::vector<CsvField>& record) {
    record.clear();
    pass_blank_lines();
    if (at_ >= text_.size()) return false;
    do {
        record.push_back(field());
        if (record.size() > limits::table_columns)
            fail(record.back().line, record.back().column, "at most " + std::to_string(limits::table_columns) + " values in a row", "more",
                 "is the end of a line missing?");
    } while (pass_end_of_field());
    return true;
}

std::string csv_text(const CsvField& field) {
    std::string value;
    for (std::size_t i = 0; i < field.text.size(); ++i) {
        value += field.text[i];
        if (field.quoted && field.text[i] == '"') ++i;
    }
    return value;
}

namespace {

/// Would a spreadsheet run this as a formula? The wide forms of the four signs count too; a number below zero is none, unless
/// it stands behind marks.
bool like_a_formula(std::string_view value, bool marked) {
    for (const std::string_view sign : {"=", "+", "-", "@", "\t", "\r", "\n", "\uFF1D", "\uFF0B", "\uFF0D", "\uFF20"})
        if (value.starts_with(sign)) {
            double number = 0;
            return sign != "-" || marked || !try_parse_number(value, number);
        }
    return false;
}

}  // namespace

std::string csv_field(std::string_view value) {
    if (!is_utf8(value) || value.find('\0') != std::string_view::npos)
        throw_value_error("a field of a table", "UTF-8 without NUL", "other bytes", "mend the text before it is written");
    // A text that begins with the mark itself gets one more, so that taking one off always gives the text back.
    const std::size_t marks = std::min(value.find_first_not_of('\''), value.size());
    std::string text = (like_a_formula(value.substr(marks), marks > 0) ? "'" : "") + std::string(value);
    if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
    std::string quoted = "\"";
    for (const char c : text) {
        if (c == '"') quoted += '"';
        quoted += c;
    }
    return quoted + '"';
}

std::string csv_line(const std::vector<std::string>& values) {
    std::string line;
    for (std::size_t i = 0; i < values.size(); ++i) line += (i ? "," : "") + csv_field(values[i]);
    return line + "\r\n";
}

}  // namespace libseal
