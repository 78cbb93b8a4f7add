// Any bytes as comma-separated text: records whose fields survive being written and read again, or a ValueError.

#include <cstdint>
#include <cstdlib>
#include <string>
#include <vector>

#include "libseal/core/csv.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

using namespace libseal;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string text(reinterpret_cast<const char*>(data), size);
    try {
        CsvReader reader(text, "input");
        std::vector<CsvField> record;
        while (reader.next(record)) {
            for (const auto& field : record) {
                const std::string value = csv_text(field);
                if (field.line < 1 || field.column < 1) std::abort();
                if (value.empty() || !is_utf8(value) || value.find('\0') != std::string::npos) continue;
                const std::string written = "first," + csv_field(value);  // a byte-order mark is one only in front
                std::vector<CsvField> again;
                CsvReader second(written, "written");
                if (!second.next(again) || again.size() != 2) std::abort();
                // Written text that begins like a formula has one mark in front, all other text comes back.
                const std::string back = csv_text(again[1]);
                if (back != value && back != "'" + value) std::abort();
                if (std::string("=+@\t\r\n").find(back[0]) != std::string::npos) std::abort();
            }
        }
    } catch (const ValueError&) {
    }
    return 0;
}
