// Any bytes as a date, a time, a length or a number: values that give their text back, or none.

#include <cmath>

#include "core/json.hpp"
#include "libseal/core/date.hpp"
#include "target.hpp"

using namespace libseal;
using namespace libseal_fuzz;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string text = text_of(data, size);
    Date day;
    const bool is_day = try_parse_date(text, day);
    if (is_day) require(to_text(day) == text, "a date is written as it was read");
    require(read_or_refuse([&] { return parse_date(text); }).has_value() == is_day, "both readers of dates agree");
    std::int64_t minute = 0;
    if (detail::try_parse_moment(text, minute)) {
        const Date of{static_cast<std::int32_t>(minute >= 0 ? minute / 1440 : -((1439 - minute) / 1440))};
        require(read_or_refuse([&] { return to_text(of); }).has_value(), "a time lies on a day");
    }
    double number = 0, again = 0;
    if (try_parse_number(text, number)) {
        require(std::isfinite(number), "a number is finite");
        require(try_parse_number(number_text(number), again) && again == number, "a number is written as it was read");
    }
    if (try_parse_length(text, number)) require(std::isfinite(number), "a length is finite");
    require(!is_utf8(text) || nearest_name(text, {"travel_trailer", "van"}).size() < 20, "the nearest name is one of the list");
    return 0;
}
