// What the standard allows and importers stumble over.

#include <map>

#include "calendar/icalendar_lines.hpp"
#include "calendar/icalendar_values.hpp"
#include "libseal/calendar/icalendar.hpp"

namespace libseal {
namespace {

using namespace detail;
using Kind = IcalendarTime::Kind;

class Traps {
public:
    explicit Traps(std::string_view text) : ignored_(text), found_(text), components_(icalendar_components(text, ignored_)) {
        for (const std::size_t at : empty_continuations(text))
            found_.add(at, "", "a continuation with content", "", "an empty continuation line", "some calendars refuse the file: fold only what is longer than 75 octets");
    }

    std::vector<Problem> take() {
        for (const IcalendarComponent& component : components_) look_at(component);
        return found_.take();
    }

private:
    void note(const IcalendarComponent& in, const ContentLine& line, const std::string& expected, const std::string& hint) {
        found_.add(line.offset(0), in.name + "." + line.name, expected, "", line.value, hint);
    }

    void look_at(const IcalendarComponent& component) {
        for (const ContentLine& line : component.properties) {
            if (line.small_letters) note(component, line, line.name + " in capitals", "the standard reads both, some readers only capitals");
            if (line.parameter("TZID")) note(component, line, "a day, or a time in UTC", "readers disagree about time zones: an hour is lost at the next change of clocks");
        }
        if (component.name == "VCALENDAR") look_at_method(component);
        if (component.name == "VTIMEZONE") found_.add(component.at, component.name, "days, or times in UTC", "", "a time zone", "large web calendars refuse files with zones that they find odd");
        if (component.name == "VTODO") found_.add(component.at, component.name, "an event", "", "a to-do", "several web and phone calendars do not show to-dos, some importers fail on them");
        if (component.name != "VEVENT" && component.name != "VTODO") return;
        if (const ContentLine* uid = component.first("UID"); uid && uid->value.size() > 255) note(component, *uid, "a UID of at most 255 octets", "longer ones may be cut and then be the same");
        const ContentLine* start = component.first("DTSTART");
        const IcalendarTime first = start ? icalendar_time(start->value) : IcalendarTime{};
        if (first.kind == Kind::local && !start->parameter("TZID")) note(component, *start, "a day, or a time in UTC", "a time without zone moves with the reader");
        const ContentLine* transparent = component.first("TRANSP");
        if (component.name == "VEVENT" && first.kind == Kind::date && !(transparent && transparent->value == "TRANSPARENT"))
            found_.add(component.at, "VEVENT.TRANSP", "TRANSP:TRANSPARENT for a reminder of a day", "", transparent ? transparent->value : "none", "else the reader counts the whole day as busy");
        for (const ContentLine* rule : component.all("RRULE")) look_at_rule(component, *rule, first);
    }

    void look_at_method(const IcalendarComponent& calendar) {
        const ContentLine* method = calendar.first("METHOD");
        if (method && method->value != "PUBLISH") note(calendar, *method, "no METHOD, or PUBLISH", "a request with guests is refused by large web calendars when it is imported as a file");
    }

    void look_at_rule(const IcalendarComponent& in, const ContentLine& line, const IcalendarTime& start) {
        std::map<std::string, std::string> parts;
        if (recur_fault(line.value, start, parts) || start.kind == Kind::none) return;
        const auto day = year_month_day(start.day);
        const auto part = [&](const char* name) { return parts.count(name) ? parts.at(name) : std::string(); };
        if (part("FREQ") == "YEARLY" && day.month == 2 && day.day == 29 && part("BYMONTHDAY").empty() && part("BYDAY").empty())
            note(in, line, "a day that every year has", "29 February is shown in leap years only; write BYMONTH=2;BYMONTHDAY=-1");
        if (part("FREQ") == "MONTHLY" && day.day > 28 && part("BYMONTHDAY").empty() && part("BYDAY").empty())
            note(in, line, "a day that every month has", "shorter months are passed over; write BYMONTHDAY=-1 for the last day");
        const auto misses = [&](const std::string& list, int own) {
            return !list.empty() && list.find('-') == std::string::npos && ("," + list + ",").find("," + std::to_string(own) + ",") == std::string::npos;
        };
        if (misses(part("BYMONTH"), day.month) || misses(part("BYMONTHDAY"), day.day))
            note(in, line, "a DTSTART that its own rule meets", "readers disagree whether the first day belongs to the series");
    }

    IcalendarFaults ignored_, found_;
    std::vector<IcalendarComponent> components_;
};

}  // namespace

std::vector<Problem> icalendar_traps(std::string_view text) { return Traps(text).take(); }

}  // namespace libseal
