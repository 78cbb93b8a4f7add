#pragma once
// Which property may stand where, for the checker.

#include <map>
#include <set>
#include <string>
#include <string_view>

namespace libseal::detail {

/// Letters of components in the table: Calendar, Event, To-do, Journal, Free-busy, time Zone, Standard or daylight, Alarm; else a blank.
char component_letter(std::string_view component);

struct PropertyRule {
    std::string_view types;    ///< of the value, the first is the default
    std::string_view in;       ///< components that may hold it
    std::string_view once;     ///< of these, those that hold one at most
    std::string_view needed;   ///< of these, those that must hold one
    std::string section;       ///< of RFC 5545
};

/// RFC 5545, sections 3.6 and 3.8; in VCALENDAR also RFC 7986, in VALARM also RFC 9074.
const std::map<std::string_view, PropertyRule>& icalendar_property_rules();

/// Names that later standards have registered: RFC 7808, 7953, 7986, 9073, 9074, 9253; and EXRULE of RFC 2445.
const std::set<std::string_view>& other_icalendar_properties();

}  // namespace libseal::detail
