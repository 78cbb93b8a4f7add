#pragma once
// Value types of RFC 5545, section 3.3, for the checker.

#include <map>
#include <string>
#include <string_view>

#include "libseal/core/date.hpp"

namespace libseal::detail {

/// A DATE or DATE-TIME.
struct IcalendarTime {
    enum class Kind { none, date, local, utc };
    Kind kind = Kind::none;
    Date day{};
    int second = 0;  ///< of the day
    bool before(const IcalendarTime& other) const { return day < other.day || (day == other.day && second < other.second); }
};

/// YYYYMMDD, YYYYMMDDTHHMMSS or the same with Z; kind none if the text is neither or no real day.
IcalendarTime icalendar_time(std::string_view text);

struct IcalendarDuration {
    bool valid = false;
    bool has_time = false;  ///< hours, minutes or seconds
    bool negative = false;
    long long seconds = 0;
};
IcalendarDuration icalendar_duration(std::string_view text);

/// What is wrong with a value, in words; both empty if nothing is.
struct ValueFault {
    std::string expected, hint;
    std::size_t at = 0;  ///< within the value
    explicit operator bool() const { return !expected.empty(); }
};

/// TEXT: backslash before backslash, semicolon, comma and n alone, none of them bare. `list` allows bare commas, `structured` bare
/// semicolons.
ValueFault text_fault(std::string_view value, bool list, bool structured);

/// RECUR: parts by name if well-formed.
ValueFault recur_fault(std::string_view value, const IcalendarTime& start, std::map<std::string, std::string>& parts);

bool whole_number(std::string_view text, long long low, long long high, long long& value);
/// +HHMM or -HHMMSS, not -0000.
bool utc_offset(std::string_view text);

}  // namespace libseal::detail
