#pragma once
// Reference values from outside files: text rows and numbers by heading.

#include <cstdlib>
#include <stdexcept>
#include <string>
#include <vector>

#include "libseal/core/csv.hpp"
#include "libseal/core/date.hpp"
#include "libseal/core/text.hpp"

namespace libseal_test {

/// Rows of a CSV file as text; lines that begin with # are passed over.
inline std::vector<std::vector<std::string>> csv_rows(const std::string& path) {
    const std::string text = libseal::read_text_file(path);
    libseal::CsvReader reader(text, path);
    std::vector<std::vector<std::string>> rows;
    std::vector<libseal::CsvField> record;
    while (reader.next(record)) {
        if (!record.empty() && !record[0].text.empty() && record[0].text[0] == '#') continue;
        std::vector<std::string> row;
        for (const auto& field : record) row.push_back(libseal::csv_text(field));
        rows.push_back(std::move(row));
    }
    return rows;
}

/// A number of the file; a text that is none fails the test loudly by throwing.
inline double number(const std::string& text) {
    double value = 0;
    if (!libseal::try_parse_number(text, value)) throw std::runtime_error("not a number: " + text);
    return value;
}

/// Instant of "2010-03-15T00:30:00Z" or "2010-03-15 00:30:00".
inline libseal::Instant instant(const std::string& text) {
    const libseal::Date day = libseal::parse_date(text.substr(0, 10));
    const auto part = [&](std::size_t at) { return std::atoi(text.substr(at, 2).c_str()); };
    return static_cast<libseal::Instant>(day.days) * 86400 + part(11) * 3600 + part(14) * 60 + part(17);
}

/// The heading's place in the first row.
inline std::size_t heading(const std::vector<std::vector<std::string>>& rows, const std::string& name) {
    for (std::size_t i = 0; i < rows.at(0).size(); ++i)
        if (rows[0][i] == name) return i;
    throw std::runtime_error("no column " + name);
}

}  // namespace libseal_test
