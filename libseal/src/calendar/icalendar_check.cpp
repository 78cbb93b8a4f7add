// A checker of iCalendar bytes, written apart from the writer.

#include <algorithm>
#include <map>
#include <set>

#include "libseal/calendar/icalendar.hpp"

namespace libseal {
namespace {

/// A content line after unfolding.
struct Line {
    int number = 0;  ///< of its first physical line
    std::string name, parameters, value;
};

bool is_utf8(std::string_view text) {
    for (std::size_t i = 0; i < text.size();) {
        const auto byte = static_cast<unsigned char>(text[i]);
        const std::size_t length = byte < 0x80                   ? 1
                                   : byte >= 0xC2 && byte < 0xE0 ? 2
                                   : byte >= 0xE0 && byte < 0xF0 ? 3
                                   : byte >= 0xF0 && byte < 0xF5 ? 4
                                                                 : 0;
        if (length == 0 || i + length > text.size()) return false;
        for (std::size_t k = 1; k < length; ++k)
            if ((static_cast<unsigned char>(text[i + k]) & 0xC0) != 0x80) return false;
        i += length;
    }
    return true;
}

bool digits(std::string_view text) {
    return !text.empty() &&
           std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
}

/// YYYYMMDD of a real day.
bool read_date(std::string_view text, Date& date) {
    if (text.size() != 8 || !digits(text)) return false;
    return try_parse_date(std::string(text.substr(0, 4)) + "-" + std::string(text.substr(4, 2)) + "-" +
                              std::string(text.substr(6, 2)),
                          date);
}

bool is_utc(std::string_view text) {
    Date date;
    if (text.size() != 16 || text[8] != 'T' || text[15] != 'Z' || !read_date(text.substr(0, 8), date) ||
        !digits(text.substr(9, 6)))
        return false;
    return text.substr(9, 2) < "24" && text.substr(11, 2) < "60" && text.substr(13, 2) < "61";
}

bool well_escaped(std::string_view text) {
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == ';' || text[i] == ',') return false;
        if (text[i] != '\\') continue;
        if (i + 1 == text.size() || std::string_view("\\;,nN").find(text[i + 1]) == std::string_view::npos)
            return false;
        ++i;
    }
    return true;
}

/// One open component and the properties that it has so far.
struct Component {
    std::string name;
    int line = 0;
    std::map<std::string, std::vector<Line>> properties;
};

class Checker {
public:
    std::vector<Problem> take(std::string_view text) {
        if (!is_utf8(text)) fault(1, "UTF-8", "bytes that are none");
        for (const Line& line : unfold(text)) look_at(line);
        for (const Component& open : open_) fault(open.line, "END:" + open.name, "no such line");
        if (calendars_ == 0) fault(1, "a VCALENDAR", "none");
        return std::move(problems_);
    }

private:
    void fault(int line, const std::string& expected, const std::string& got) {
        Problem problem;
        problem.line = line;
        problem.expected = expected;
        problem.got = got;
        problems_.push_back(std::move(problem));
    }

    std::vector<Line> unfold(std::string_view text) {
        std::vector<std::pair<int, std::string>> logical;
        int number = 0;
        while (!text.empty()) {
            ++number;
            const std::size_t end = text.find('\n');
            std::string_view physical = text.substr(0, end);
            text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
            if (end == std::string_view::npos || physical.empty() || physical.back() != '\r')
                fault(number, "a line ended by CR LF", "another end");
            if (!physical.empty() && physical.back() == '\r') physical.remove_suffix(1);
            if (physical.find('\r') != std::string_view::npos)
                fault(number, "CR only before LF", "a CR inside the line");
            if (physical.size() > 75) fault(number, "at most 75 octets", std::to_string(physical.size()));
            if (!is_utf8(physical))
                fault(number, "whole UTF-8 characters on each line", "a character cut by a fold");
            const bool folded = !physical.empty() && (physical[0] == ' ' || physical[0] == '\t');
            if (physical.empty())
                fault(number, "a content line", "an empty line");
            else if (!folded)
                logical.push_back({number, std::string(physical)});
            else if (physical.size() == 1)
                fault(number, "a continuation with content", "an empty continuation");
            else if (logical.empty())
                fault(number, "a content line", "a continuation of nothing");
            else
                logical.back().second += physical.substr(1);
        }
        std::vector<Line> lines;
        for (const auto& [first, content] : logical) split(first, content, lines);
        return lines;
    }

    void split(int number, const std::string& content, std::vector<Line>& lines) {
        bool quoted = false;
        std::size_t colon = std::string::npos;
        for (std::size_t i = 0; i < content.size() && colon == std::string::npos; ++i) {
            if (content[i] == '"') quoted = !quoted;
            if (content[i] == ':' && !quoted) colon = i;
        }
        const std::size_t end = std::min(colon, content.find(';'));
        if (colon == std::string::npos || end == 0) {
            fault(number, "NAME:value", content.substr(0, 40));
            return;
        }
        Line line{number, content.substr(0, end), end < colon ? content.substr(end + 1, colon - end - 1) : "",
                  content.substr(colon + 1)};
        if (!std::all_of(line.name.begin(), line.name.end(),
                         [](char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-'; }))
            fault(number, "a property name in capitals", line.name);
        for (const char c : line.value)
            if (static_cast<unsigned char>(c) < 0x20 && c != '\t')
                fault(number, "text without control characters", "one");
        lines.push_back(std::move(line));
    }

    void look_at(const Line& line) {
        if (line.name == "BEGIN") {
            static const std::map<std::string, std::string> parents{
                {"VCALENDAR", ""}, {"VEVENT", "VCALENDAR"}, {"VALARM", "VEVENT"}};
            const auto parent = parents.find(line.value);
            const std::string here = open_.empty() ? "" : open_.back().name;
            if (parent == parents.end())
                fault(line.number, "VCALENDAR, VEVENT or VALARM", line.value);
            else if (parent->second != here)
                fault(line.number,
                      line.value + " inside " + (parent->second.empty() ? "nothing" : parent->second),
                      "inside " + (here.empty() ? "nothing" : here));
            open_.push_back({line.value, line.number, {}});
            if (line.value == "VCALENDAR") ++calendars_, events_ = 0;
            if (line.value == "VEVENT") ++events_;
        } else if (line.name == "END") {
            if (open_.empty() || open_.back().name != line.value) {
                fault(line.number, open_.empty() ? "nothing to end" : "END:" + open_.back().name,
                      "END:" + line.value);
                return;
            }
            close(open_.back());
            open_.pop_back();
        } else if (open_.empty()) {
            fault(line.number, "BEGIN:VCALENDAR first", line.name);
        } else {
            open_.back().properties[line.name].push_back(line);
            if (line.name == "SUMMARY" || line.name == "DESCRIPTION" || line.name == "LOCATION")
                if (!well_escaped(line.value))
                    fault(line.number, "escaped commas, semicolons and backslashes",
                          line.value.substr(0, 40));
        }
    }

    /// The one property of a name; notes absence (if needed) and repetition.
    const Line* one(const Component& component, const std::string& name, bool needed) {
        const auto at = component.properties.find(name);
        if (at == component.properties.end()) {
            if (needed) fault(component.line, name + " in " + component.name, "none");
            return nullptr;
        }
        if (at->second.size() > 1)
            fault(at->second[1].number, name + " once in " + component.name,
                  std::to_string(at->second.size()) + " times");
        return &at->second.front();
    }

    void close(const Component& component) {
        if (component.name == "VCALENDAR") close_calendar(component);
        if (component.name == "VEVENT") close_event(component);
        if (component.name == "VALARM") close_alarm(component);
    }

    void close_calendar(const Component& component) {
        one(component, "PRODID", true);
        if (const Line* version = one(component, "VERSION", true); version && version->value != "2.0")
            fault(version->number, "VERSION:2.0", version->value);
        if (component.properties.count("METHOD"))
            fault(component.line, "no METHOD in a file to import", "one");
        if (events_ == 0) fault(component.line, "at least one component", "none");
    }

    void close_event(const Component& component) {
        if (const Line* uid = one(component, "UID", true); uid) {
            if (uid->value.empty() || uid->value.size() > 255)
                fault(uid->number, "a UID of 1 to 255 octets", std::to_string(uid->value.size()));
            if (!uids_.insert(uid->value).second)
                fault(uid->number, "a UID of its own", uid->value + " again");
        }
        if (const Line* stamp = one(component, "DTSTAMP", true); stamp && !is_utc(stamp->value))
            fault(stamp->number, "DTSTAMP as YYYYMMDDTHHMMSSZ", stamp->value);
        Date start, end;
        const Line* from = one(component, "DTSTART", true);
        const Line* to = one(component, "DTEND", false);
        const bool from_read = from && all_day(*from, start), to_read = to && all_day(*to, end);
        if (from_read && to_read && end <= start) fault(to->number, "DTEND after DTSTART", to->value);
        if (to && component.properties.count("DURATION")) fault(to->number, "DTEND or DURATION", "both");
        if (const Line* transparent = one(component, "TRANSP", false);
            transparent && transparent->value != "TRANSPARENT" && transparent->value != "OPAQUE")
            fault(transparent->number, "TRANSPARENT or OPAQUE", transparent->value);
        if (const Line* status = one(component, "STATUS", false); status && status->value != "CONFIRMED" &&
                                                                  status->value != "TENTATIVE" &&
                                                                  status->value != "CANCELLED")
            fault(status->number, "CONFIRMED, TENTATIVE or CANCELLED", status->value);
        if (const Line* sequence = one(component, "SEQUENCE", false);
            sequence && (!digits(sequence->value) || sequence->value.size() > 9))
            fault(sequence->number, "a whole number", sequence->value);
        one(component, "SUMMARY", false);
        one(component, "DESCRIPTION", false);
    }

    bool all_day(const Line& line, Date& date) {
        if (line.parameters.find("TZID") != std::string::npos)
            fault(line.number, "no time zone", line.parameters);
        if (line.parameters != "VALUE=DATE")
            fault(line.number, line.name + ";VALUE=DATE",
                  line.name + (line.parameters.empty() ? "" : ";" + line.parameters));
        if (read_date(line.value, date)) return true;
        fault(line.number, "a day as YYYYMMDD", line.value);
        return false;
    }

    void close_alarm(const Component& component) {
        const Line* action = one(component, "ACTION", true);
        if (action && action->value == "DISPLAY") one(component, "DESCRIPTION", true);
        if (const Line* trigger = one(component, "TRIGGER", true); trigger) {
            std::string_view rest = trigger->value;
            if (!rest.empty() && (rest[0] == '-' || rest[0] == '+')) rest.remove_prefix(1);
            const bool days = rest.size() >= 3 && rest[0] == 'P' &&
                              (rest.back() == 'D' || rest.back() == 'W') &&
                              digits(rest.substr(1, rest.size() - 2));
            if (!days) fault(trigger->number, "a duration in days or weeks such as -P7D", trigger->value);
        }
    }

    std::vector<Problem> problems_;
    std::vector<Component> open_;
    std::set<std::string> uids_;
    int calendars_ = 0, events_ = 0;
};

}  // namespace

std::vector<Problem> check_icalendar(std::string_view text) { return Checker().take(text); }

}  // namespace libseal
