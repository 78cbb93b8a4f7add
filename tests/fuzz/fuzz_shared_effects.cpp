// Any bytes as messages between joints, or as evidence of a batch: both survive being written and read again, or a ValueError.

#include "libseal/forecast/evidence.hpp"
#include "libseal/forecast/shared_effects.hpp"
#include "target.hpp"

using namespace libseal;
using namespace libseal_fuzz;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string text = text_of(data, size);
    const auto write = [](const auto& value) { return value.to_json(); };
    check_round_trip(text, [](const std::string& one) { return SharedEffects::from_json(one, "input"); }, write);
    check_round_trip(text, [](const std::string& one) { return Evidence::from_json(one, "input"); }, write);
    if (const auto evidence = read_or_refuse([&] { return Evidence::from_json(text, "input"); }))
        read_or_refuse([&] { return combine_evidence({*evidence}).to_json(); });
    return 0;
}
