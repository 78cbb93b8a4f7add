// Any bytes as comma-separated text: records whose fields survive being written and read again, or a ValueError.

#include <cstdint>
#include <cstdlib>
#include <string>
#include <vector>

#include "libseal/core/csv.hpp"
#include "libseal/core/error.hpp"

using namespace libseal;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string text(reinterpret_cast<const char*>(data), size);
    try {
        CsvReader reader(text, "input");
        std::vector<CsvField> record;
        while (reader.next(record)) {
            for (const auto& field : record) {
                const std::string value = csv_text(field), written = csv_field(value);
                if (field.line < 1 || field.column < 1) std::abort();
                // Written text that begins like a formula gets a mark in front, all other text comes back.
                if (value.empty() || std::string("=+-@\t\r'").find(value[0]) != std::string::npos) continue;
                std::vector<CsvField> again;
                CsvReader second(written, "written");
                if (!second.next(again) || again.size() != 1 || csv_text(again[0]) != value) std::abort();
            }
        }
    } catch (const ValueError&) {
    }
    return 0;
}
