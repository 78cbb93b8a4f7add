// Any bytes as an iCalendar text: at most 50 problems with sane places. Any text as the words of a visit: a file without
// fault that holds it, or a ValueError.

#include <cstdint>
#include <cstdlib>
#include <string>

#include "libseal/calendar/icalendar.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

using namespace libseal;

namespace {

void check_problems(const std::vector<Problem>& problems) {
    if (problems.size() > 50) std::abort();
    for (const Problem& problem : problems) {
        if (problem.line < 1 || problem.column < 1 || problem.expected.empty() || problem.hint.empty()) std::abort();
        if (!is_utf8(to_text(problem))) std::abort();
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string text(reinterpret_cast<const char*>(data), size);
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
    try {
        const std::string written = calendar.ics_text({"", "", true, 3, true});
        if (!check_icalendar(written).empty()) std::abort();
    } catch (const ValueError&) {
    }
    return 0;
}
