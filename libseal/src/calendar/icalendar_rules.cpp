#include "calendar/icalendar_rules.hpp"

namespace libseal::detail {

char component_letter(std::string_view component) {
    static const std::map<std::string_view, char> letters{{"VCALENDAR", 'C'}, {"VEVENT", 'E'},    {"VTODO", 'T'},    {"VJOURNAL", 'J'}, {"VFREEBUSY", 'F'},
                                                          {"VTIMEZONE", 'Z'}, {"STANDARD", 'S'}, {"DAYLIGHT", 'S'}, {"VALARM", 'A'}};
    const auto at = letters.find(component);
    return at == letters.end() ? ' ' : at->second;
}

const std::map<std::string_view, PropertyRule>& icalendar_property_rules() {
    static const std::map<std::string_view, PropertyRule> rules{
        {"CALSCALE", {"TEXT", "C", "C", "", "3.7.1"}},
        {"METHOD", {"TEXT", "C", "C", "", "3.7.2"}},
        {"PRODID", {"TEXT", "C", "C", "C", "3.7.3"}},
        {"VERSION", {"TEXT", "C", "C", "C", "3.7.4"}},
        {"ATTACH", {"URI BINARY", "ETJA", "", "", "3.8.1.1"}},
        {"CATEGORIES", {"TEXT-LIST", "CETJ", "", "", "3.8.1.2"}},
        {"CLASS", {"TEXT", "ETJ", "ETJ", "", "3.8.1.3"}},
        {"COMMENT", {"TEXT", "ETJFS", "", "", "3.8.1.4"}},
        {"DESCRIPTION", {"TEXT", "CETJA", "ETA", "", "3.8.1.5"}},
        {"GEO", {"STRUCTURE", "ET", "ET", "", "3.8.1.6"}},
        {"LOCATION", {"TEXT", "ET", "ET", "", "3.8.1.7"}},
        {"PERCENT-COMPLETE", {"INTEGER", "T", "T", "", "3.8.1.8"}},
        {"PRIORITY", {"INTEGER", "ET", "ET", "", "3.8.1.9"}},
        {"RESOURCES", {"TEXT-LIST", "ET", "", "", "3.8.1.10"}},
        {"STATUS", {"TEXT", "ETJ", "ETJ", "", "3.8.1.11"}},
        {"SUMMARY", {"TEXT", "ETJA", "ETJA", "", "3.8.1.12"}},
        {"COMPLETED", {"UTC", "T", "T", "", "3.8.2.1"}},
        {"DTEND", {"DATE-TIME DATE", "EF", "EF", "", "3.8.2.2"}},
        {"DUE", {"DATE-TIME DATE", "T", "T", "", "3.8.2.3"}},
        {"DTSTART", {"DATE-TIME DATE", "ETJFS", "ETJFS", "S", "3.8.2.4"}},
        {"DURATION", {"DURATION", "ETFA", "ETFA", "", "3.8.2.5"}},
        {"FREEBUSY", {"PERIOD", "F", "", "", "3.8.2.6"}},
        {"TRANSP", {"TEXT", "E", "E", "", "3.8.2.7"}},
        {"TZID", {"TEXT", "Z", "Z", "Z", "3.8.3.1"}},
        {"TZNAME", {"TEXT", "S", "", "", "3.8.3.2"}},
        {"TZOFFSETFROM", {"UTC-OFFSET", "S", "S", "S", "3.8.3.3"}},
        {"TZOFFSETTO", {"UTC-OFFSET", "S", "S", "S", "3.8.3.4"}},
        {"TZURL", {"URI", "Z", "Z", "", "3.8.3.5"}},
        {"ATTENDEE", {"CAL-ADDRESS", "ETJFA", "", "", "3.8.4.1"}},
        {"CONTACT", {"TEXT", "ETJF", "F", "", "3.8.4.2"}},
        {"ORGANIZER", {"CAL-ADDRESS", "ETJF", "ETJF", "", "3.8.4.3"}},
        {"RECURRENCE-ID", {"DATE-TIME DATE", "ETJ", "ETJ", "", "3.8.4.4"}},
        {"RELATED-TO", {"TEXT", "ETJA", "", "", "3.8.4.5"}},
        {"URL", {"URI", "CETJF", "CETJF", "", "3.8.4.6"}},
        {"UID", {"TEXT", "CETJFA", "CETJFA", "ETJF", "3.8.4.7"}},
        {"EXDATE", {"DATE-TIME DATE", "ETJS", "", "", "3.8.5.1"}},
        {"RDATE", {"DATE-TIME DATE PERIOD", "ETJS", "", "", "3.8.5.2"}},
        {"RRULE", {"RECUR", "ETJS", "ETJS", "", "3.8.5.3"}},
        {"ACTION", {"TEXT", "A", "A", "A", "3.8.6.1"}},
        {"REPEAT", {"INTEGER", "A", "A", "", "3.8.6.2"}},
        {"TRIGGER", {"DURATION DATE-TIME", "A", "A", "A", "3.8.6.3"}},
        {"CREATED", {"UTC", "ETJ", "ETJ", "", "3.8.7.1"}},
        {"DTSTAMP", {"UTC", "ETJF", "ETJF", "ETJF", "3.8.7.2"}},
        {"LAST-MODIFIED", {"UTC", "CETJZ", "CETJZ", "", "3.8.7.3"}},
        {"SEQUENCE", {"INTEGER", "ETJ", "ETJ", "", "3.8.7.4"}},
        {"REQUEST-STATUS", {"STRUCTURE", "ETJF", "", "", "3.8.8.3"}},
    };
    return rules;
}

const std::set<std::string_view>& other_icalendar_properties() {
    static const std::set<std::string_view> names{
        "ACKNOWLEDGED", "BUSYTYPE", "CALENDAR-ADDRESS", "COLOR", "CONCEPT", "CONFERENCE", "EXRULE", "IMAGE", "LINK", "LOCATION-TYPE", "NAME",
        "PARTICIPANT-TYPE", "PROXIMITY", "REFID", "REFRESH-INTERVAL", "RESOURCE-TYPE", "SOURCE", "STRUCTURED-DATA", "STYLED-DESCRIPTION",
        "TZID-ALIAS-OF", "TZUNTIL"};
    return names;
}

}  // namespace libseal::detail
