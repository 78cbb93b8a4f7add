#include "calendar/icalendar_values.hpp"

#include <algorithm>
#include <vector>

namespace libseal::detail {
namespace {

bool digits(std::string_view text) {
    return !text.empty() && std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
}

int two(std::string_view text, std::size_t at) { return (text[at] - '0') * 10 + (text[at + 1] - '0'); }

std::vector<std::string_view> split(std::string_view text, char mark) {
    std::vector<std::string_view> parts;
    while (true) {
        const std::size_t end = text.find(mark);
        parts.push_back(text.substr(0, end));
        if (end == std::string_view::npos) return parts;
        text.remove_prefix(end + 1);
    }
}

/// Numbers of a part of a rule: all within [low, high], or the negative of that if `sign`.
bool numbers(std::string_view text, long long low, long long high, bool sign) {
    for (std::string_view one : split(text, ',')) {
        long long value = 0;
        if (sign && !one.empty() && (one[0] == '-' || one[0] == '+')) one.remove_prefix(1);
        if (!whole_number(one, low, high, value)) return false;
    }
    return true;
}

const std::vector<std::string_view>& weekdays() {
    static const std::vector<std::string_view> all{"MO", "TU", "WE", "TH", "FR", "SA", "SU"};
    return all;
}

/// MO or -1FR. `numbered` tells whether any has a number.
bool days_of_rule(std::string_view text, bool& numbered) {
    for (std::string_view one : split(text, ',')) {
        if (one.size() < 2) return false;
        const std::string_view day = one.substr(one.size() - 2), number = one.substr(0, one.size() - 2);
        if (std::find(weekdays().begin(), weekdays().end(), day) == weekdays().end()) return false;
        if (!number.empty() && !numbers(number, 1, 53, true)) return false;
        numbered = numbered || !number.empty();
    }
    return true;
}

/// One part of a rule by itself: what it should be, "" if it is fine.
std::string part_fault(const std::string& name, std::string_view value) {
    long long number = 0;
    bool numbered = false;
    const auto between = [](long long low, long long high) { return "numbers from " + std::to_string(low) + " to " + std::to_string(high); };
    if (name == "FREQ") {
        static const std::vector<std::string_view> all{"SECONDLY", "MINUTELY", "HOURLY", "DAILY", "WEEKLY", "MONTHLY", "YEARLY"};
        return std::find(all.begin(), all.end(), value) != all.end() ? "" : "SECONDLY, MINUTELY, HOURLY, DAILY, WEEKLY, MONTHLY or YEARLY";
    }
    if (name == "UNTIL") return icalendar_time(value).kind != IcalendarTime::Kind::none ? "" : "a day or a time";
    if (name == "COUNT" || name == "INTERVAL") return whole_number(value, 1, 1'000'000'000, number) ? "" : "a whole number above zero";
    if (name == "BYSECOND") return numbers(value, 0, 60, false) ? "" : between(0, 60);
    if (name == "BYMINUTE") return numbers(value, 0, 59, false) ? "" : between(0, 59);
    if (name == "BYHOUR") return numbers(value, 0, 23, false) ? "" : between(0, 23);
    if (name == "BYMONTH") return numbers(value, 1, 12, false) ? "" : between(1, 12);
    if (name == "BYDAY") return days_of_rule(value, numbered) ? "" : "weekdays such as MO or -1FR";
    if (name == "BYMONTHDAY") return numbers(value, 1, 31, true) ? "" : between(1, 31) + ", or their negatives";
    if (name == "BYYEARDAY" || name == "BYSETPOS") return numbers(value, 1, 366, true) ? "" : between(1, 366) + ", or their negatives";
    if (name == "BYWEEKNO") return numbers(value, 1, 53, true) ? "" : between(1, 53) + ", or their negatives";
    if (name == "WKST") return std::find(weekdays().begin(), weekdays().end(), value) != weekdays().end() ? "" : "a weekday such as MO";
    return "a part of a rule that the standard knows";
}

/// Parts that do not go together.
std::string clash(const std::map<std::string, std::string>& parts, const IcalendarTime& start) {
    const auto has = [&](const char* name) { return parts.count(name) > 0; };
    const std::string freq = has("FREQ") ? parts.at("FREQ") : "";
    if (!has("FREQ")) return "FREQ";
    if (has("UNTIL") && has("COUNT")) return "UNTIL or COUNT, not both";
    const bool all_day = start.kind == IcalendarTime::Kind::date;
    if (has("UNTIL") && start.kind != IcalendarTime::Kind::none) {
        const IcalendarTime until = icalendar_time(parts.at("UNTIL"));
        if ((until.kind == IcalendarTime::Kind::date) != all_day) return all_day ? "UNTIL as a day, like DTSTART" : "UNTIL as a time, like DTSTART";
        if (start.kind == IcalendarTime::Kind::utc && until.kind != IcalendarTime::Kind::utc) return "UNTIL in UTC, like DTSTART";
    }
    if (all_day && (has("BYSECOND") || has("BYMINUTE") || has("BYHOUR"))) return "no BYHOUR, BYMINUTE or BYSECOND with a day";
    bool numbered = false;
    if (has("BYDAY")) days_of_rule(parts.at("BYDAY"), numbered);
    if (numbered && ((freq != "MONTHLY" && freq != "YEARLY") || (freq == "YEARLY" && has("BYWEEKNO")))) return "BYDAY without numbers";
    if (has("BYMONTHDAY") && freq == "WEEKLY") return "no BYMONTHDAY with WEEKLY";
    if (has("BYYEARDAY") && (freq == "DAILY" || freq == "WEEKLY" || freq == "MONTHLY")) return "no BYYEARDAY with " + freq;
    if (has("BYWEEKNO") && freq != "YEARLY") return "BYWEEKNO only with YEARLY";
    const bool any = std::any_of(parts.begin(), parts.end(), [](const auto& part) { return part.first.starts_with("BY") && part.first != "BYSETPOS"; });
    if (has("BYSETPOS") && !any) return "another BY part beside BYSETPOS";
    return "";
}

}  // namespace

bool whole_number(std::string_view text, long long low, long long high, long long& value) {
    if (!digits(text) || text.size() > 12) return false;
    value = 0;
    for (const char c : text) value = value * 10 + (c - '0');
    return value >= low && value <= high;
}

bool utc_offset(std::string_view text) {
    if ((text.size() != 5 && text.size() != 7) || (text[0] != '+' && text[0] != '-') || !digits(text.substr(1))) return false;
    if (two(text, 1) > 23 || two(text, 3) > 59 || (text.size() == 7 && two(text, 5) > 59)) return false;
    return text[0] == '+' || text.find_first_not_of("-0") != std::string_view::npos;
}

IcalendarTime icalendar_time(std::string_view text) {
    IcalendarTime time;
    if (text.size() < 8 || !digits(text.substr(0, 8))) return time;
    const std::string day = std::string(text.substr(0, 4)) + "-" + std::string(text.substr(4, 2)) + "-" + std::string(text.substr(6, 2));
    if (!try_parse_date(day, time.day)) return time;
    if (text.size() == 8) {
        time.kind = IcalendarTime::Kind::date;
        return time;
    }
    const bool utc = text.size() == 16 && text[15] == 'Z';
    if ((text.size() != 15 && !utc) || text[8] != 'T' || !digits(text.substr(9, 6))) return time;
    const int hour = two(text, 9), minute = two(text, 11), second = two(text, 13);
    if (hour > 23 || minute > 59 || second > 60) return time;
    time.kind = utc ? IcalendarTime::Kind::utc : IcalendarTime::Kind::local;
    time.second = hour * 3600 + minute * 60 + second;
    return time;
}

IcalendarDuration icalendar_duration(std::string_view text) {
    IcalendarDuration duration;
    if (!text.empty() && (text[0] == '-' || text[0] == '+')) {
        duration.negative = text[0] == '-';
        text.remove_prefix(1);
    }
    if (text.size() < 3 || text[0] != 'P') return duration;
    text.remove_prefix(1);
    // Weeks alone, or days, then T and hours, minutes, seconds without a gap.
    std::string units;
    bool time = false;
    while (!text.empty()) {
        if (text[0] == 'T' && !time) {
            time = true;
            text.remove_prefix(1);
            if (text.empty()) return duration;
        }
        std::size_t n = 0;
        while (n < text.size() && text[n] >= '0' && text[n] <= '9') ++n;
        long long value = 0;
        if (n == text.size() || !whole_number(text.substr(0, n), 0, 1'000'000'000, value)) return duration;
        const char unit = text[n];
        const std::string_view allowed = time ? "HMS" : "WD";
        if (allowed.find(unit) == std::string_view::npos) return duration;
        units += unit;
        if (units.size() > 4) return duration;  // days, hours, minutes, seconds
        duration.seconds += value * (unit == 'W' ? 604800 : unit == 'D' ? 86400 : unit == 'H' ? 3600 : unit == 'M' ? 60 : 1);
        text.remove_prefix(n + 1);
    }
    static const std::vector<std::string> orders{"W", "D", "DH", "DHM", "DHMS", "DM", "DMS", "DS", "H", "HM", "HMS", "M", "MS", "S"};
    duration.valid = std::find(orders.begin(), orders.end(), units) != orders.end();
    duration.has_time = time;
    return duration;
}

ValueFault text_fault(std::string_view value, bool list, bool structured) {
    for (std::size_t i = 0; i < value.size(); ++i) {
        const char c = value[i];
        if ((c == ',' && !list) || (c == ';' && !structured))
            return {std::string("\\") + c + " in a text", std::string("put a backslash before the ") + (c == ',' ? "comma" : "semicolon"), i};
        if (c != '\\') continue;
        if (i + 1 == value.size() || std::string_view("\\;,nN").find(value[i + 1]) == std::string_view::npos)
            return {"a backslash only before \\ ; , n or N", "double the backslash; a colon is not escaped", i};
        ++i;
    }
    return {};
}

ValueFault recur_fault(std::string_view value, const IcalendarTime& start, std::map<std::string, std::string>& parts) {
    std::size_t at = 0;
    for (const std::string_view part : split(value, ';')) {
        const std::size_t equals = part.find('=');
        const std::string name(part.substr(0, equals));
        if (equals == std::string_view::npos) return {"NAME=value between semicolons", "write parts such as FREQ=YEARLY", at};
        const std::string fault = part_fault(name, part.substr(equals + 1));
        if (!fault.empty()) return {name + ": " + fault, "mend this part of the rule", at};
        if (!parts.emplace(name, part.substr(equals + 1)).second) return {"each part once", "leave the second " + name + " out", at};
        if (at == 0 && name != "FREQ") return {"FREQ first", "old readers need FREQ at the beginning", at};
        at += part.size() + 1;
    }
    const std::string fault = clash(parts, start);
    if (!fault.empty()) return {fault, "mend the rule, or write the dates one by one", 0};
    return {};
}

}  // namespace libseal::detail
