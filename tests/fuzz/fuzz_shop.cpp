// Any bytes as a shop: one that survives being written and read again and can say when it works, or a ValueError.

#include "libseal/schedule/time.hpp"
#include "libseal/work/shop.hpp"
#include "target.hpp"

using namespace libseal;
using namespace libseal_fuzz;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const auto read = [](const std::string& text) { return read_shop_text(text, "input"); };
    const std::string text = text_of(data, size);
    check_round_trip(text, read, shop_json);
    if (const auto shop = read_or_refuse([&] { return read(text); })) {
        const Date day = make_date(2027, 3, 1);
        no_sealing_reason(*shop, day);
        for (const Person& person : shop->people) {
            working_spans(*shop, person, day);
            read_or_refuse([&] { return next_working(*shop, person, minute_of(day)); });
        }
    }
    return 0;
}
