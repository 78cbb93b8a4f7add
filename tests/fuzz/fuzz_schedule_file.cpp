// Any bytes as a schedule of two small plans: one that survives being written and read again and can be judged, or a ValueError.

#include "libseal/schedule/schedule.hpp"
#include "libseal/schedule/verify.hpp"
#include "small_plans.hpp"
#include "target.hpp"

using namespace libseal;
using namespace libseal_fuzz;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const std::vector<Booking> bookings{{small_plan("t1", {60, 120, 30}, {{0, 1, 0}, {1, 2, 1440}})}, {small_plan("t2", {45}, {})}};
    static const Shop shop = small_shop(2, 2);
    const auto read = [](const std::string& text) { return read_schedule_text(text, "input", bookings, shop); };
    const auto write = [](const Schedule& schedule) { return schedule_json(schedule, bookings, shop); };
    const std::string text = text_of(data, size);
    check_round_trip(text, read, write);
    if (const auto schedule = read_or_refuse([&] { return read(text); }))
        evaluate_schedule(*schedule, bookings, shop, make_date(2027, 3, 1));  // finds faults or none, and comes back
    return 0;
}
