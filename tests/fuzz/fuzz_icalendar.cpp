// Any bytes as an iCalendar text: at most 50 problems with sane places. Any text as the words of a visit: a file without
// fault that holds it, or a ValueError.

#include "libseal/calendar/icalendar.hpp"
#include "target.hpp"

using namespace libseal;
using namespace libseal_fuzz;

namespace {

void check_problems(const std::vector<Problem>& problems) {
    for (const Problem& problem : problems) require(problem.line >= 1 && problem.column >= 1 && !problem.hint.empty(), "a fault has a place and a hint");
    if (!problems.empty()) check_error(ValueError(problems));
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string text = text_of(data, size);
    check_problems(check_icalendar(text));
    check_problems(icalendar_traps(text));
    Calendar calendar;
    calendar.year = 2027;
    calendar.as_of = make_date(2026, 11, 25);
    calendar.shop = text;
    Visit visit;
    visit.uid = visit_uid("work", text, "j", 1);
    visit.kind = "work";
    visit.coach = visit.label = visit.owner = visit.why = text;
    visit.first = visit.last = make_date(2027, 4, 12);
    calendar.visits.push_back(visit);
    if (const auto written = read_or_refuse([&] { return calendar.ics_text({"", "", true, 3, true}); }))
        require(check_icalendar(*written).empty(), "a file that is written has no fault");
    return 0;
}
