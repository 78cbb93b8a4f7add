#pragma once
// Whose visits a file holds, and how an iCalendar file tells of them.

#include <string>

namespace libseal {

struct Calendar;

/// Optional inputs of `calendar_part`; the names are the keywords in Python.
struct PartOptions {
    std::string owner;         ///< only visits of this owner; "" for all
    std::string coach;         ///< only visits of this coach, by id; "" for all
    bool show_owners = true;   ///< false: owners' names are left out of the part
};

/// Visits and open work of one owner or one coach, as a calendar of its own.
///
/// `changes`, `weeks` and their cost stay empty: they speak of all coaches. Uids and sequence numbers stay, so that the files of a part and of
/// the whole update one another.
/// @throws ValueError  an owner or coach that the calendar does not know, with the nearest that it does; an owner although the
///                     calendar was made without `show_owners`.
/// @threads pure.
Calendar calendar_part(const Calendar& calendar, const PartOptions& options);

/// Optional inputs of `write_ics`; the names are the keywords in Python.
struct IcalendarOptions {
    std::string owner;         ///< only visits of this owner; "" for all
    std::string coach;         ///< only visits of this coach, by id; "" for all
    bool show_owners = true;   ///< false: owners' names, which a calendar holds only when asked for, are left out
    int alarm_days = 7;        ///< reminder before the first day, 0 to 365; 0: none [d]
    bool todo = false;         ///< a to-do beside each event; several web and phone calendars do not show these
};

}  // namespace libseal
