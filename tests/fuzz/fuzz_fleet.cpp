// Any bytes as a fleet, a table or JSON: coaches that survive being written and read again, or a ValueError.

#include "libseal/coach/read.hpp"
#include "target.hpp"

using namespace libseal;
using namespace libseal_fuzz;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    // Files that a fleet names are looked for in a folder that is not there.
    const auto read = [](const std::string& text) { return read_fleet_text(text, "input", "no such folder"); };
    check_round_trip(text_of(data, size), read, fleet_json);
    return 0;
}
