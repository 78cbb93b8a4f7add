// A checker of iCalendar bytes, written apart from the writer.

#include <algorithm>
#include <map>
#include <set>

#include "calendar/icalendar_lines.hpp"
#include "calendar/icalendar_rules.hpp"
#include "calendar/icalendar_values.hpp"
#include "core/readable.hpp"
#include "libseal/calendar/icalendar.hpp"

namespace libseal {
namespace {

using namespace detail;

bool holds(std::string_view letters, char one) { return letters.find(one) != std::string_view::npos; }

bool has_word(std::string_view words, std::string_view word) {
    for (std::size_t at = words.find(word); at != std::string_view::npos; at = words.find(word, at + 1))
        if ((at == 0 || words[at - 1] == ' ') && (at + word.size() == words.size() || words[at + word.size()] == ' ')) return true;
    return false;
}

std::string capitals(std::string text) {
    for (char& c : text)
        if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
    return text;
}

class Checker {
public:
    explicit Checker(std::string_view text) : faults_(text), components_(icalendar_components(text, faults_)) {}

    std::vector<Problem> take() {
        collect_zones();
        collect_children();
        for (std::size_t i = 0; i < components_.size(); ++i) check(i);
        if (std::none_of(components_.begin(), components_.end(), [](const IcalendarComponent& c) { return c.name == "VCALENDAR"; }))
            faults_.add(0, "", "BEGIN:VCALENDAR", "3.4", "no calendar", "write at least one calendar with one component");
        return faults_.take();
    }

private:
    using Kind = IcalendarTime::Kind;

    void fault(const IcalendarComponent& in, const ContentLine& line, std::size_t at, const std::string& expected, const std::string& section,
               std::string_view got, const std::string& hint) {
        faults_.add(line.offset(at), in.name + "." + line.name, expected, section, got, hint);
    }
    void value_fault(const IcalendarComponent& in, const ContentLine& line, const std::string& expected, const std::string& section,
                     const std::string& hint) {
        fault(in, line, line.value_at, expected, section, line.value, hint);
    }
    void lack(const IcalendarComponent& in, const std::string& name, const std::string& section, const std::string& hint) {
        faults_.add(in.at, in.name + "." + name, name, section, "none", hint);
    }

    void collect_zones() {
        for (const IcalendarComponent& one : components_)
            if (const ContentLine* id = one.name == "VTIMEZONE" ? one.first("TZID") : nullptr; id) zones_.insert(id->value);
    }

    void collect_children() {
        parents_.assign(components_.size(), false);
        rules_of_time_.assign(components_.size(), false);
        for (const IcalendarComponent& one : components_) {
            if (one.parent < 0) continue;
            parents_[static_cast<std::size_t>(one.parent)] = true;
            if (component_letter(one.name) == 'S') rules_of_time_[static_cast<std::size_t>(one.parent)] = true;
        }
    }

    void check(std::size_t i) {
        const IcalendarComponent& component = components_[i];
        check_parent(component);
        check_once_and_needed(component);
        for (const ContentLine& line : component.properties) check_property(component, line);
        switch (component_letter(component.name)) {
            case 'C': check_calendar(component, i); break;
            case 'E': check_event(component); break;
            case 'T': check_to_do(component); break;
            case 'A': check_alarm(component); break;
            case 'Z': check_zone(component, i); break;
            default: break;
        }
        if (holds("ETJF", component_letter(component.name))) check_uid(component);
    }

    void check_parent(const IcalendarComponent& component) {
        const std::string parent = component.parent < 0 ? "" : components_[static_cast<std::size_t>(component.parent)].name;
        const char own = component_letter(component.name), over = component_letter(parent);
        if (own == ' ' && component.name.starts_with("X-") && component.parent >= 0) return;
        const bool fits = own == 'C' ? component.parent < 0 : own == 'A' ? over == 'E' || over == 'T' : own == 'S' ? over == 'Z' : own != ' ' && over == 'C';
        if (fits) return;
        if (own == ' ') faults_.add(component.at, component.name, "a component that the standard knows, or X-NAME", "3.6", component.name, "leave it out");
        else faults_.add(component.at, component.name, own == 'C' ? "a calendar that stands alone" : own == 'A' ? "VALARM inside VEVENT or VTODO" : own == 'S' ? component.name + " inside VTIMEZONE" : component.name + " inside VCALENDAR",
                         "3.6", parent.empty() ? "inside nothing" : "inside " + parent, "end the other component first");
    }

    void check_once_and_needed(const IcalendarComponent& component) {
        const char own = component_letter(component.name);
        if (own == ' ') return;
        std::set<std::string_view> seen;
        for (const ContentLine& line : component.properties) {
            const auto rule = icalendar_property_rules().find(line.name);
            if (rule == icalendar_property_rules().end()) continue;
            if (!holds(rule->second.in, own))
                fault(component, line, 0, "no " + line.name + " in " + component.name, rule->second.section, line.name, "leave it out");
            else if (!seen.insert(rule->first).second && holds(rule->second.once, own))
                fault(component, line, 0, line.name + " once", rule->second.section, "another one", "leave the second out");
        }
        for (const auto& [name, rule] : icalendar_property_rules())
            if (holds(rule.needed, own) && !seen.count(name)) lack(component, std::string(name), rule.section, "add the line");
        const IcalendarComponent* calendar = component.parent < 0 ? nullptr : &components_[static_cast<std::size_t>(component.parent)];
        if (own == 'E' && !seen.count("DTSTART") && !(calendar && calendar->first("METHOD"))) lack(component, "DTSTART", "3.6.1", "say when the event begins");
    }

    void check_property(const IcalendarComponent& in, const ContentLine& line) {
        std::set<std::string_view> seen;
        for (const IcalendarParameter& one : line.parameters)
            if (!seen.insert(one.name).second) fault(in, line, one.at, "each parameter once", "3.2", one.name + " again", "leave the second out");
        const auto at = icalendar_property_rules().find(line.name);
        if (at == icalendar_property_rules().end() && !line.name.starts_with("X-") && !other_icalendar_properties().count(line.name))
            fault(in, line, 0, "a property that is registered, or X-NAME", "3.8.8", line.name, "escape the line break of a text as \\n, or begin the name with X-");
        if (at == icalendar_property_rules().end() || component_letter(in.name) == ' ') return;
        const PropertyRule& rule = at->second;
        std::string type(rule.types.substr(0, rule.types.find(' ')));
        if (const std::string* value = line.parameter("VALUE"); value) {
            const std::string asked = capitals(*value);
            const std::string_view plain = type == "TEXT-LIST" ? "TEXT" : type == "UTC" ? "DATE-TIME" : type == "STRUCTURE" ? "FLOAT TEXT" : rule.types;
            if (!has_word(plain, asked)) fault(in, line, 0, "VALUE=" + std::string(plain), rule.section, "VALUE=" + asked, "leave the parameter out");
            else if (type != "TEXT-LIST" && type != "UTC" && type != "STRUCTURE") type = asked;
        }
        check_value(in, line, rule, type);
    }

    void check_value(const IcalendarComponent& in, const ContentLine& line, const PropertyRule& rule, const std::string& type) {
        long long number = 0;
        if (type == "TEXT" || type == "TEXT-LIST" || type == "STRUCTURE") {
            if (const ValueFault wrong = text_fault(line.value, type == "TEXT-LIST", type == "STRUCTURE"))
                fault(in, line, line.value_at + wrong.at, wrong.expected, "3.3.11", std::string_view(line.value).substr(wrong.at, 20), wrong.hint);
        } else if (type == "DATE" || type == "DATE-TIME") {
            check_times(in, line, rule, type);
        } else if (type == "UTC") {
            if (icalendar_time(line.value).kind != Kind::utc) value_fault(in, line, "a time in UTC, YYYYMMDDTHHMMSSZ", rule.section, "write the time with Z at the end");
        } else if (type == "DURATION") {
            if (!icalendar_duration(line.value).valid) value_fault(in, line, "a duration such as P7D, -P1W or PT90M", "3.3.6", "write P, then weeks, or days and T with hours, minutes, seconds");
        } else if (type == "INTEGER") {
            const long long high = line.name == "PRIORITY" ? 9 : line.name == "PERCENT-COMPLETE" ? 100 : 2147483647;
            const std::string_view digits = std::string_view(line.value).substr(line.value.starts_with('+') ? 1 : 0);
            if (!whole_number(digits, 0, high, number)) value_fault(in, line, "a whole number from 0 to " + std::to_string(high), rule.section, "write digits alone");
        } else if (type == "UTC-OFFSET") {
            if (!utc_offset(line.value)) value_fault(in, line, "an offset such as +0100 or -0330", "3.3.14", "write sign, hours and minutes");
        } else if (type == "RECUR") {
            const ContentLine* start = in.first("DTSTART");
            std::map<std::string, std::string> parts;
            if (const ValueFault wrong = recur_fault(capitals(line.value), start ? icalendar_time(start->value) : IcalendarTime{}, parts))
                fault(in, line, line.value_at + wrong.at, wrong.expected, "3.3.10", line.value, wrong.hint);
            else if (start && parts.count("UNTIL")) check_until(in, line, *start, icalendar_time(parts.at("UNTIL")));
        } else if ((type == "URI" || type == "CAL-ADDRESS") && (line.value.find(':') == std::string::npos || line.value.find(' ') != std::string::npos)) {
            value_fault(in, line, "an address such as mailto:name@example.org", "3.3.13", "write the address with its scheme and without blanks");
        }
        check_words(in, line, rule);
    }

    /// Beside a time without zone a rule ends without zone; beside one with a zone, and inside of a zone, in UTC.
    void check_until(const IcalendarComponent& in, const ContentLine& rule, const ContentLine& start, const IcalendarTime& until) {
        if (icalendar_time(start.value).kind != Kind::local) return;  // the rule's own check
        const bool utc = start.parameter("TZID") || component_letter(in.name) == 'S';
        if ((until.kind == Kind::utc) != utc)
            value_fault(in, rule, utc ? "UNTIL in UTC" : "UNTIL as a local time, like DTSTART", "3.3.10", utc ? "write UNTIL with Z" : "write UNTIL without Z");
    }

    /// One or more days or times, and the zone that they name.
    void check_times(const IcalendarComponent& in, const ContentLine& line, const PropertyRule& rule, const std::string& type) {
        const std::string* zone = line.parameter("TZID");
        std::string_view rest = line.value;
        const bool list = line.name == "EXDATE" || line.name == "RDATE";
        while (true) {
            const std::size_t end = list ? rest.find(',') : std::string_view::npos;
            const std::string_view one = rest.substr(0, end);
            const IcalendarTime time = icalendar_time(one);
            const bool day = time.kind == Kind::date;
            if (time.kind == Kind::none) value_fault(in, line, type == "DATE" ? "a real day as YYYYMMDD" : "a real time as YYYYMMDDTHHMMSS", type == "DATE" ? "3.3.4" : "3.3.5", "write months, days, hours with two digits each");
            else if (day && type != "DATE") value_fault(in, line, line.name + ";VALUE=DATE for a day", rule.section, "add ;VALUE=DATE to the name");
            else if (!day && type == "DATE") value_fault(in, line, "a day as YYYYMMDD", rule.section, "leave the time out, or VALUE=DATE");
            if (zone && time.kind != Kind::local && time.kind != Kind::none) fault(in, line, 0, "no TZID with a day or a time in UTC", "3.2.19", *zone, "leave TZID out");
            if (end == std::string_view::npos) break;
            rest.remove_prefix(end + 1);
        }
        if (zone && !zone->starts_with('/') && !zones_.count(*zone)) fault(in, line, 0, "a VTIMEZONE for the zone " + readable_text(*zone), "3.2.19", "none", "add the VTIMEZONE, or write days, or times in UTC");
        if (in.name == "STANDARD" || in.name == "DAYLIGHT")
            if (line.name == "DTSTART" && (zone || icalendar_time(line.value).kind != Kind::local)) value_fault(in, line, "a local time", "3.6.5", "write it without Z and TZID");
    }

    /// Properties with a closed list of words.
    void check_words(const IcalendarComponent& in, const ContentLine& line, const PropertyRule& rule) {
        static const std::map<std::string, std::string> words{
            {"VERSION", "2.0"}, {"CALSCALE", "GREGORIAN"}, {"TRANSP", "OPAQUE TRANSPARENT"},
            {"STATUS E", "TENTATIVE CONFIRMED CANCELLED"}, {"STATUS T", "NEEDS-ACTION COMPLETED IN-PROCESS CANCELLED"}, {"STATUS J", "DRAFT FINAL CANCELLED"}};
        auto known = words.find(line.name);
        if (known == words.end()) known = words.find(line.name + " " + component_letter(in.name));
        if (known != words.end() && (line.value.find(' ') != std::string::npos || !has_word(known->second, capitals(line.value))))
            value_fault(in, line, "one of " + known->second, rule.section, "take a word of the standard");
        if (line.name == "UID" && line.value.empty()) value_fault(in, line, "a UID that is not empty", rule.section, "derive it from what the entry is about");
    }

    void check_calendar(const IcalendarComponent& calendar, std::size_t i) {
        if (!parents_[i])
            faults_.add(calendar.at, "VCALENDAR", "at least one component", "3.6", "none", "write an event that says that there is nothing");
    }

    void check_event(const IcalendarComponent& event) {
        const ContentLine *start = event.first("DTSTART"), *end = event.first("DTEND"), *duration = event.first("DURATION");
        if (end && duration) fault(event, *end, 0, "DTEND or DURATION, not both", "3.6.1", "both", "leave DURATION out");
        if (start && end) check_order(event, *start, *end);
        if (start && duration) check_day_duration(event, *start, *duration);
    }

    void check_to_do(const IcalendarComponent& todo) {
        const ContentLine *start = todo.first("DTSTART"), *due = todo.first("DUE"), *duration = todo.first("DURATION");
        if (due && duration) fault(todo, *due, 0, "DUE or DURATION, not both", "3.6.2", "both", "leave DURATION out");
        if (duration && !start) fault(todo, *duration, 0, "DTSTART beside DURATION", "3.6.2", "none", "add DTSTART, or write DUE");
        if (start && due) check_order(todo, *start, *due);
        if (start && duration) check_day_duration(todo, *start, *duration);
    }

    /// The end has the type of the start and comes after it.
    void check_order(const IcalendarComponent& in, const ContentLine& start, const ContentLine& end) {
        const IcalendarTime from = icalendar_time(start.value), to = icalendar_time(end.value);
        if (from.kind == Kind::none || to.kind == Kind::none) return;
        const std::string section = end.name == "DUE" ? "3.8.2.3" : "3.8.2.2";
        if ((from.kind == Kind::date) != (to.kind == Kind::date)) return value_fault(in, end, "the type of value that DTSTART has", section, "write both as days, or both as times");
        const std::string *a = start.parameter("TZID"), *b = end.parameter("TZID");
        const bool floats = from.kind == Kind::local && !a, end_floats = to.kind == Kind::local && !b;
        if (floats != end_floats)
            return value_fault(in, end, floats ? "a local time, like DTSTART" : a ? "a time with TZID or in UTC, like DTSTART" : "a time in UTC, like DTSTART", section,
                               "a time without zone ends without zone");
        const bool comparable = from.kind == to.kind && (a ? *a : "") == (b ? *b : "");
        if (comparable && !from.before(to)) value_fault(in, end, "an end after DTSTART", section, from.kind == Kind::date ? "the end is the day after the last one" : "write a later time");
    }

    void check_day_duration(const IcalendarComponent& in, const ContentLine& start, const ContentLine& duration) {
        const IcalendarDuration length = icalendar_duration(duration.value);
        if (!length.valid) return;
        if (length.negative || length.seconds == 0) value_fault(in, duration, "a duration above zero", "3.8.2.5", "write it without a minus");
        if (icalendar_time(start.value).kind == Kind::date && length.has_time) value_fault(in, duration, "days or weeks, since DTSTART is a day", "3.6.1", "write P1D or P1W");
    }

    void check_uid(const IcalendarComponent& component) {
        const ContentLine* uid = component.first("UID");
        if (!uid || uid->value.empty()) return;
        const ContentLine* instance = component.first("RECURRENCE-ID");
        if (!uids_.insert({uid->value, instance ? instance->value : ""}).second)
            value_fault(component, *uid, "a UID of its own", "3.8.4.7", "readers keep one of two entries with the same UID");
    }

    void check_alarm(const IcalendarComponent& alarm) {
        const ContentLine *action = alarm.first("ACTION"), *trigger = alarm.first("TRIGGER"), *repeat = alarm.first("REPEAT"), *duration = alarm.first("DURATION");
        const std::string kind = action ? capitals(action->value) : "";
        if ((kind == "DISPLAY" || kind == "EMAIL") && !alarm.first("DESCRIPTION")) lack(alarm, "DESCRIPTION", "3.6.6", "say what the alarm shows");
        if (kind == "EMAIL" && !alarm.first("SUMMARY")) lack(alarm, "SUMMARY", "3.6.6", "say what the subject is");
        if (kind == "EMAIL" && !alarm.first("ATTENDEE")) lack(alarm, "ATTENDEE", "3.6.6", "say who gets it");
        if ((repeat != nullptr) != (duration != nullptr)) lack(alarm, repeat ? "DURATION" : "REPEAT", "3.6.6", "REPEAT and DURATION go together");
        if (trigger) check_trigger(alarm, *trigger);
    }

    void check_trigger(const IcalendarComponent& alarm, const ContentLine& trigger) {
        const std::string *type = trigger.parameter("VALUE"), *related = trigger.parameter("RELATED");
        if (type && capitals(*type) == "DATE-TIME") {
            if (icalendar_time(trigger.value).kind != Kind::utc) value_fault(alarm, trigger, "a time in UTC", "3.8.6.3", "write it with Z, or a duration");
            if (related) fault(alarm, trigger, 0, "RELATED only with a duration", "3.8.6.3", *related, "leave RELATED out");
            return;
        }
        const bool to_end = related && capitals(*related) == "END";
        if (related && !to_end && capitals(*related) != "START") fault(alarm, trigger, 0, "RELATED=START or END", "3.2.14", *related, "take one of the two");
        if (alarm.parent < 0) return;
        const IcalendarComponent& entry = components_[static_cast<std::size_t>(alarm.parent)];
        const bool start = entry.first("DTSTART"), end = entry.first("DTEND") || entry.first("DUE") || (start && entry.first("DURATION"));
        // An event of a day without DTEND ends with its day (3.6.1).
        if (to_end && !end && !(entry.name == "VEVENT" && start)) fault(alarm, trigger, 0, "an end that the alarm can be related to", "3.8.6.3", "none", "add DTEND or DUE");
        if (!to_end && !start) fault(alarm, trigger, 0, "DTSTART that the alarm can be related to", "3.8.6.3", "none", "add DTSTART, or write RELATED=END");
    }

    void check_zone(const IcalendarComponent& zone, std::size_t i) {
        if (!rules_of_time_[i]) lack(zone, "STANDARD", "3.6.5", "add STANDARD or DAYLIGHT");
    }

    IcalendarFaults faults_;
    std::vector<IcalendarComponent> components_;
    std::vector<bool> parents_;        ///< has a component inside
    std::vector<bool> rules_of_time_;  ///< has STANDARD or DAYLIGHT inside
    std::set<std::string> zones_;
    std::set<std::pair<std::string, std::string>> uids_;
};

}  // namespace

std::vector<Problem> check_icalendar(std::string_view text) { return Checker(text).take(); }

}  // namespace libseal
