#pragma once
// A table with a header as typed values by column name; what is wrong is collected with its place.

#include <limits>
#include <string>
#include <string_view>
#include <vector>

#include "libseal/core/csv.hpp"
#include "libseal/core/date.hpp"
#include "libseal/core/error.hpp"

namespace libseal::detail {

/// Reads row after row. The text must outlive the table.
class RecordTable {
public:
    /// @throws ValueError  for unknown, doubled or missing columns, with the nearest known name.
    RecordTable(std::string_view text, std::string file, std::vector<std::string> known,
                const std::vector<std::string>& needed);

    /// Next row with the right number of values; others are noted and passed over.
    bool next();
    std::size_t problem_count() const { return problems_.size(); }
    /// @throws ValueError  with the problems noted so far. The fiftieth ends the reading by itself.
    void throw_if_any();

    // Values of the current row. An absent column or empty value gives the fallback.
    std::string text(const std::string& column, const std::string& fallback = "") const;
    double number(const std::string& column, double low, double high,
                  double fallback = std::numeric_limits<double>::quiet_NaN());
    int whole(const std::string& column, int low, int high, int fallback);
    std::string word(const std::string& column, const std::vector<std::string>& allowed, const std::string& fallback = "");
    bool yes_no(const std::string& column, bool fallback);
    Date date(const std::string& column, Date fallback = {});
    /// Notes a problem if the value is absent or empty.
    void need(const std::string& column);
    /// Notes a problem at a column of the current row, or at its first value.
    void fail(const std::string& column, const std::string& expected, const std::string& got, const std::string& hint = "");

private:
    void check_bytes();
    const CsvField* field(const std::string& column) const;
    void note(int line, int column_number, const std::string& field, const std::string& expected, const std::string& got,
              const std::string& hint);

    std::string_view text_;
    std::string file_;
    CsvReader reader_;
    std::vector<std::string> columns_;
    std::vector<CsvField> record_;
    std::vector<Problem> problems_;
    std::size_t rows_ = 0;
};

}  // namespace libseal::detail
