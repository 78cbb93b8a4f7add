#include "libseal/calendar/part.hpp"

#include <algorithm>
#include <set>

#include "libseal/calendar/year.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

void check_known(const char* argument, const std::string& wanted, const std::set<std::string>& known) {
    if (wanted.empty() || known.count(wanted)) return;
    const std::string near = nearest_name(wanted, {known.begin(), known.end()});
    throw_value_error(argument, std::string(argument[0] == 'o' ? "an " : "a ") + argument + " of the calendar's visits", "\"" + wanted + "\"",
                      near.empty() ? "" : "perhaps \"" + near + "\"");
}

}  // namespace

Calendar calendar_part(const Calendar& calendar, const PartOptions& options) {
    std::set<std::string> owners, coaches;
    for (const Visit& visit : calendar.visits) {
        coaches.insert(visit.coach);
        if (!visit.owner.empty()) owners.insert(visit.owner);
    }
    for (const Unplaced& left : calendar.unplaced) coaches.insert(left.coach);
    if (!options.owner.empty() && owners.empty())
        throw_value_error("owner", "a calendar that knows its owners", "none of its visits has one", "make the calendar with show_owners");
    check_known("owner", options.owner, owners);
    check_known("coach", options.coach, coaches);

    const bool whole = options.owner.empty() && options.coach.empty();
    const auto wanted = [&](const std::string& coach, const std::string& owner) {
        return (options.coach.empty() || coach == options.coach) && (options.owner.empty() || owner == options.owner);
    };
    Calendar part = calendar;
    if (!whole) {
        std::set<std::string> own;  // coaches of the part: work without a place names no owner
        for (const Visit& visit : calendar.visits)
            if (wanted(visit.coach, visit.owner)) own.insert(visit.coach);
        if (options.owner.empty()) own.insert(options.coach);
        std::erase_if(part.visits, [&](const Visit& visit) { return !wanted(visit.coach, visit.owner); });
        std::erase_if(part.unplaced, [&](const Unplaced& left) { return !own.count(left.coach); });
        part.changes.clear();
        part.weeks.clear();
        part.moving_cost = part.bound = part.gap = 0;
    }
    if (!options.show_owners)
        for (Visit& visit : part.visits) visit.owner.clear();
    return part;
}

}  // namespace libseal
