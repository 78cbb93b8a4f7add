// Any bytes as findings, a table or JSON: findings that survive being written and read again, or a ValueError. Then the
// same against a coach.

#include "libseal/coach/layouts.hpp"
#include "libseal/survey/read.hpp"
#include "target.hpp"

using namespace libseal;
using namespace libseal_fuzz;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const Fleet fleet = [] {
        LayoutOptions options = layout_options("travel_trailer");
        options.id = "t1";
        options.installed_from = options.installed_to = make_date(2020, 5, 1);
        return fleet_of(travel_trailer(8, options));
    }();
    const std::string text = text_of(data, size);
    check_round_trip(text, [](const std::string& one) { return read_findings_text(one, "input"); }, findings_json);
    const Date as_of = make_date(2026, 11, 25);
    const auto known = read_or_refuse([&] { return read_findings_text(text, "input", fleet, as_of); });
    if (known) check_findings(*known, fleet, as_of);
    return 0;
}
