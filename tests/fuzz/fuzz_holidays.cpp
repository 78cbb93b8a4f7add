// Any bytes as rules of holidays: rules that give days in order in any year, or a ValueError.

#include "libseal/work/holidays.hpp"
#include "target.hpp"

using namespace libseal;
using namespace libseal_fuzz;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const auto rules = read_or_refuse([&] { return read_holiday_rules_text(text_of(data, size), "input"); });
    if (!rules) return 0;
    for (const int year : {1584, 2026, 2028, 9998}) {
        const auto days = holidays(*rules, year);
        for (std::size_t i = 0; i < days.size(); ++i) {
            require(year_month_day(days[i].day).year == year, "a holiday lies in its year");
            require(i == 0 || days[i - 1].day <= days[i].day, "holidays come in order");
            require(is_holiday(*rules, days[i].day), "a holiday of the list is a holiday of the day");
        }
    }
    return 0;
}
