// Any bytes as a kept weather: nothing, or a weather that is packed into the same bytes. Also with the right head and
// checksum put in front, for what no disk does but a person may.

#include "climate/weather_store.hpp"
#include "target.hpp"

using namespace libseal;
using namespace libseal_fuzz;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string bytes = text_of(data, size);
    for (const std::string& one : {bytes, detail::sealed_entry(bytes)}) {
        const auto weather = detail::unpacked(one, "name");
        if (weather) require(detail::packed(*weather, "name") == one, "a kept weather has one form");
    }
    return 0;
}
