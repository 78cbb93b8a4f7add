// Any bytes as a coach: one that passes its own check and survives being written and read again, or a ValueError.

#include "libseal/coach/read.hpp"
#include "target.hpp"

using namespace libseal;
using namespace libseal_fuzz;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const auto read = [](const std::string& text) {
        Coach coach = read_coach_text(text, "input");
        check_coach(coach, Catalogue::built_in());  // what a reader accepts must be sound
        return coach;
    };
    check_round_trip(text_of(data, size), read, coach_json);
    return 0;
}
