#pragma once
// iCalendar text after RFC 5545, and a checker of its bytes.

#include <string>
#include <string_view>
#include <vector>

#include "libseal/calendar/year.hpp"
#include "libseal/core/error.hpp"

namespace libseal {

/// One all-day, transparent event a visit, with an alarm a week before. No METHOD, no time zones.
/// @source  RFC 5545, sections 3.1, 3.3.11, 3.6.1, 3.6.6, 3.8.
std::string icalendar_text(const Calendar& calendar);

/// TEXT value: backslash, semicolon, comma and line end escaped. RFC 5545, section 3.3.11.
std::string icalendar_escaped(std::string_view text);

/// A content line with its line end, folded so that no line has more than 75 octets and no UTF-8 sequence is cut.
/// RFC 5545, section 3.1.
std::string icalendar_folded(std::string_view line);

/// What is wrong with an iCalendar text, byte by byte, with line numbers; empty if nothing is.
///
/// Knows the rules that `icalendar_text` keeps: CRLF, folding by octets, UTF-8, nesting, PRODID and VERSION, UID and DTSTAMP
/// once each, no doubled UID, DATE values and DTEND after DTSTART, escaping, alarms, STATUS, SEQUENCE.
std::vector<Problem> check_icalendar(std::string_view text);

}  // namespace libseal
