#include "core/record_table.hpp"

#include <algorithm>
#include <cmath>

#include "core/problem.hpp"
#include "libseal/core/limits.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

std::string quoted(const std::string& text) { return "\"" + (text.size() > 60 ? text.substr(0, 60) + "..." : text) + "\""; }

std::string did_you_mean(const std::string& name, const std::vector<std::string>& known) {
    const std::string near = nearest_name(name, known);
    return near.empty() ? "" : "did you mean \"" + near + "\"?";
}

}  // namespace

RecordTable::RecordTable(std::string_view text, std::string file, std::vector<std::string> known,
                         const std::vector<std::string>& needed)
    : text_(text), file_(std::move(file)), reader_(text, file_) {
    if (text.size() > limits::file_octets) {
        note(0, 0, "", "a table of at most " + std::to_string(limits::file_octets) + " octets", std::to_string(text.size()), "split the table");
        throw_if_any();
    }
    if (!reader_.next(record_)) {
        note(1, 1, "", "a header line", "nothing", "");
        throw_if_any();
    }
    for (const auto& cell : record_) {
        const std::string name = csv_text(cell);
        if (std::find(known.begin(), known.end(), name) == known.end())
            note(cell.line, cell.column, name, "a known column", quoted(name), did_you_mean(name, known));
        else if (std::find(columns_.begin(), columns_.end(), name) != columns_.end())
            note(cell.line, cell.column, name, "a column that stands once", quoted(name) + " again", "");
        columns_.push_back(name);
    }
    for (const auto& name : needed)
        if (std::find(columns_.begin(), columns_.end(), name) == columns_.end())
            note(1, 1, name, "a column \"" + name + "\"", "none", "");
    throw_if_any();
}

bool RecordTable::next() {
    while (reader_.next(record_)) {
        if (++rows_ > limits::table_rows) {
            note(record_.front().line, 1, "", "at most " + std::to_string(limits::table_rows) + " rows", "more", "split the table");
            throw_if_any();
        }
        if (record_.size() == columns_.size()) {
            check_bytes();
            return true;
        }
        note(record_.back().line, record_.back().column, "", std::to_string(columns_.size()) + " values in the row",
             std::to_string(record_.size()), "");
    }
    return false;
}

/// Text that other programs and files can take over again.
void RecordTable::check_bytes() {
    for (std::size_t i = 0; i < record_.size(); ++i) {
        const CsvField& cell = record_[i];
        if (cell.text.find('\0') != std::string_view::npos)
            note(cell.line, cell.column, columns_[i], "text without a zero byte", "a zero byte", "");
        else if (!is_utf8(cell.text))
            note(cell.line, cell.column, columns_[i], "text in UTF-8", "other bytes", "save the table as UTF-8");
    }
}

void RecordTable::throw_if_any() {
    if (!problems_.empty()) throw ValueError(std::move(problems_));
}

std::string RecordTable::text(const std::string& column, const std::string& fallback) const {
    const CsvField* cell = field(column);
    return cell ? csv_text(*cell) : fallback;
}

double RecordTable::number(const std::string& column, double low, double high, double fallback) {
    const CsvField* cell = field(column);
    if (!cell) return fallback;
    double value = 0;
    if (try_parse_number(cell->text, value) && value >= low && value <= high) return value;
    fail(column, "a number from " + number_text(low) + " to " + number_text(high), quoted(csv_text(*cell)));
    return fallback;
}

int RecordTable::whole(const std::string& column, int low, int high, int fallback) {
    const double value = number(column, low, high, fallback);
    if (value == std::floor(value)) return static_cast<int>(value);
    fail(column, "a whole number", quoted(text(column)));
    return fallback;
}

std::string RecordTable::word(const std::string& column, const std::vector<std::string>& allowed,
                              const std::string& fallback) {
    const CsvField* cell = field(column);
    if (!cell) return fallback;
    std::string value = csv_text(*cell);
    if (std::find(allowed.begin(), allowed.end(), value) != allowed.end()) return value;
    fail(column, "a known " + column, quoted(value), did_you_mean(value, allowed));
    return fallback;
}

bool RecordTable::yes_no(const std::string& column, bool fallback) {
    return word(column, {"yes", "no"}, fallback ? "yes" : "no") == "yes";
}

Date RecordTable::date(const std::string& column, Date fallback) {
    const CsvField* cell = field(column);
    if (!cell) return fallback;
    Date value{};
    if (try_parse_date(cell->text, value)) return value;
    fail(column, "a date such as 2026-04-13", quoted(csv_text(*cell)));
    return fallback;
}

void RecordTable::need(const std::string& column) {
    if (!field(column)) fail(column, "a value", "nothing");
}

void RecordTable::fail(const std::string& column, const std::string& expected, const std::string& got,
                       const std::string& hint) {
    const CsvField* place = record_.empty() ? nullptr : &record_.front();
    for (std::size_t i = 0; i < columns_.size() && i < record_.size(); ++i)
        if (columns_[i] == column) place = &record_[i];
    note(place ? place->line : 0, place ? place->column : 0, column, expected, got, hint);
}

const CsvField* RecordTable::field(const std::string& column) const {
    for (std::size_t i = 0; i < columns_.size(); ++i)
        if (columns_[i] == column) return record_[i].text.empty() ? nullptr : &record_[i];
    return nullptr;
}

void RecordTable::note(int line, int column_number, const std::string& field, const std::string& expected,
                       const std::string& got, const std::string& hint) {
    if (problems_.size() >= limits::problems) throw ValueError(problems_);
    problems_.push_back(placed_problem(field_problem(field, expected, got, hint), text_, file_, line, column_number));
    if (problems_.size() == limits::problems) throw ValueError(problems_);
}

}  // namespace libseal::detail
