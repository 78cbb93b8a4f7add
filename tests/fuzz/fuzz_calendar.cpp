// Any bytes as a calendar: one that survives being written and read again, and whose files have no fault, or a ValueError.

#include "libseal/calendar/icalendar.hpp"
#include "libseal/calendar/tables.hpp"
#include "target.hpp"

using namespace libseal;
using namespace libseal_fuzz;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const auto read = [](const std::string& text) { return read_calendar_text(text, "input"); };
    const std::string text = text_of(data, size);
    check_round_trip(text, read, calendar_json);
    const auto calendar = read_or_refuse([&] { return read(text); });
    if (!calendar) return 0;
    if (const auto ics = read_or_refuse([&] { return calendar->ics_text(); }))
        require(check_icalendar(*ics).empty(), "an iCalendar file that is written has no fault");
    calendar_csv(*calendar);
    return 0;
}
