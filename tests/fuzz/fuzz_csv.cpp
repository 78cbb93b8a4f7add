// Any bytes as comma-separated text: records whose fields survive being written and read again, or a ValueError.

#include <vector>

#include "libseal/core/csv.hpp"
#include "target.hpp"

using namespace libseal;
using namespace libseal_fuzz;

namespace {

void check_field(const CsvField& field) {
    const std::string value = csv_text(field);
    require(field.line >= 1 && field.column >= 1, "a field has its place");
    if (value.empty() || !is_utf8(value) || value.find('\0') != std::string::npos) return;
    const std::string written = "first," + csv_field(value);  // a byte-order mark is one only in front
    std::vector<CsvField> again;
    CsvReader second(written, "written");
    require(second.next(again) && again.size() == 2, "a field that is written is one field");
    // Written text that begins like a formula has one mark in front, all other text comes back.
    const std::string back = csv_text(again[1]);
    require(back == value || back == "'" + value, "a field is read as it was written");
    require(std::string("=+@\t\r\n").find(back[0]) == std::string::npos, "no field begins like a formula");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string text = text_of(data, size);
    read_or_refuse([&] {
        CsvReader reader(text, "input");
        std::vector<CsvField> record;
        while (reader.next(record))
            for (const CsvField& field : record) check_field(field);
        return true;
    });
    return 0;
}
