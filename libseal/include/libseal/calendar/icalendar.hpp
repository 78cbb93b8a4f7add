#pragma once
// iCalendar text after RFC 5545, and a checker of its bytes.

#include <string>
#include <string_view>
#include <vector>

#include "libseal/calendar/year.hpp"
#include "libseal/core/error.hpp"

namespace libseal {

/// One all-day, transparent event a visit, with one alarm. No METHOD, no time zones, no recurrence.
///
/// The uid of a visit stays from year to year and its SEQUENCE rises with each change, so that a second import updates the first.
/// @throws ValueError  control characters or bytes that are no UTF-8, which the format cannot hold, naming the field; options out
///                     of range, an owner or coach that the calendar does not know.
/// @source  RFC 5545, sections 3.1, 3.3.11, 3.6.1, 3.6.2, 3.6.6, 3.8.
std::string icalendar_text(const Calendar& calendar, const IcalendarOptions& options = {});

/// TEXT value: backslash, semicolon and comma escaped; each line break (CR LF, CR, LF, NEL, U+2028, U+2029) becomes \\n.
/// RFC 5545, section 3.3.11.
/// @throws ValueError  control characters, or bytes that are no UTF-8.
std::string icalendar_escaped(std::string_view text);

/// A content line with its line end, folded so that no line has more than 75 octets and no UTF-8 sequence is cut.
/// RFC 5545, section 3.1.
std::string icalendar_folded(std::string_view line);

/// What RFC 5545 forbids in an iCalendar text, octet by octet; empty if nothing is wrong. Any bytes will do.
///
/// Line ends, folding, UTF-8 and control characters; the grammar of lines and parameters; components and their nesting; which
/// property may, must and may only once stand where; values of every type, escaping of texts; ends against beginnings; rules of
/// recurrence; alarms; zones that are named and not there; doubled UIDs.
/// @return  Up to 50 problems by place: line, column (octets), component and property, the rule with its section, what was got,
///          what to do.
/// @source  RFC 5545; properties of VCALENDAR also RFC 7986, of VALARM also RFC 9074.
/// @threads pure.
std::vector<Problem> check_icalendar(std::string_view text);

/// What the standard allows in an iCalendar text and importers are known to stumble over: time zones, METHOD, to-dos, empty
/// continuation lines, 29 February, days that block, names in small letters. The events that `icalendar_text` writes have none.
/// @return  As `check_icalendar`, without sections.
/// @threads pure.
std::vector<Problem> icalendar_traps(std::string_view text);

}  // namespace libseal
