#include "libseal/calendar/icalendar.hpp"

#include "libseal/core/text.hpp"

namespace libseal {
namespace {

constexpr std::size_t longest_line = 75;  ///< octets, RFC 5545 section 3.1

bool continues_character(char c) { return (static_cast<unsigned char>(c) & 0xC0) == 0x80; }

std::string compact(Date day) {
    std::string text = to_text(day);
    text.erase(7, 1);
    text.erase(4, 1);
    return text;
}

std::string plain(std::string word) {
    for (char& c : word)
        if (c == '_') c = ' ';
    return word;
}

std::string summary_of(const Visit& visit) {
    const std::string name = visit.label.empty() ? visit.coach : visit.label;
    if (visit.kind == "inspection") return "Seal inspection: " + name;
    const std::string count =
        std::to_string(visit.tasks.size()) + (visit.tasks.size() == 1 ? " task" : " tasks");
    return "Seal work: " + name + " (" + count + ")";
}

std::string description_of(const Visit& visit, const Calendar& calendar) {
    std::string text =
        "Coach " + visit.coach + (visit.owner.empty() ? "" : ", " + visit.owner) + "\nWhy: " + visit.why;
    for (const VisitTask& task : visit.tasks)
        text += "\n- " + task.joint + ": " + plain(task.action) +
                (task.family.empty() ? "" : " with " + plain(task.family)) + ", due " + to_text(task.due) +
                (task.late ? " (late)" : "");
    text += "\nPerson-hours: " + number_text(visit.minutes.low / 60, 1) + " to " +
            number_text(visit.minutes.high / 60, 1) +
            "\nCost: " + money_text(visit.cost.low, calendar.currency) + " to " +
            money_text(visit.cost.high, calendar.currency);
    for (const auto& flag : visit.flags) text += "\nNote: " + flag;
    for (const auto& caution : visit.cautions) text += "\nCaution: " + caution;
    return text + "\n" + calendar.closing;
}

class Writer {
public:
    void line(const std::string& text) { out_ += icalendar_folded(text); }
    std::string take() { return std::move(out_); }

private:
    std::string out_;
};

void write_event(Writer& out, const std::string& uid, int sequence, Date as_of, Date first, Date last,
                 bool cancelled, const std::string& summary, const std::string& description) {
    out.line("BEGIN:VEVENT");
    out.line("UID:" + uid);
    out.line("DTSTAMP:" + compact(as_of) + "T000000Z");
    out.line("SEQUENCE:" + std::to_string(sequence));
    out.line("SUMMARY:" + icalendar_escaped(summary));
    out.line("DESCRIPTION:" + icalendar_escaped(description));
    out.line("DTSTART;VALUE=DATE:" + compact(first));
    out.line("DTEND;VALUE=DATE:" + compact(last + 1));  // exclusive
    out.line("TRANSP:TRANSPARENT");
    out.line(cancelled ? "STATUS:CANCELLED" : "STATUS:CONFIRMED");
    if (!cancelled) {
        out.line("BEGIN:VALARM");
        out.line("ACTION:DISPLAY");
        out.line("TRIGGER:-P7D");
        out.line("DESCRIPTION:" + icalendar_escaped(summary));
        out.line("END:VALARM");
    }
    out.line("END:VEVENT");
}

}  // namespace

std::string icalendar_escaped(std::string_view text) {
    std::string out;
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        if (c == '\\' || c == ';' || c == ',')
            out += '\\', out += c;
        else if (c == '\n')
            out += "\\n";
        else if (c == '\r')
            continue;
        else
            out += (byte < 0x20 && c != '\t') || byte == 0x7F ? ' ' : c;
    }
    return out;
}

std::string icalendar_folded(std::string_view line) {
    std::string out;
    std::size_t room = longest_line;
    while (line.size() > room) {
        std::size_t cut = room;
        while (cut > 0 && continues_character(line[cut])) --cut;
        if (cut == 0) cut = room;  // no UTF-8 at all: cut anywhere rather than not at all
        out.append(line.substr(0, cut)).append("\r\n ");
        line.remove_prefix(cut);
        room = longest_line - 1;  // the space counts
    }
    return out.append(line).append("\r\n");
}

std::string icalendar_text(const Calendar& calendar) {
    Writer out;
    out.line("BEGIN:VCALENDAR");
    out.line("VERSION:2.0");
    out.line("PRODID:-//libseal//calendar//EN");
    out.line("CALSCALE:GREGORIAN");
    for (const Visit& visit : calendar.visits)
        write_event(out, visit.uid, visit.sequence, calendar.as_of, visit.first, visit.last, visit.cancelled,
                    summary_of(visit), description_of(visit, calendar));
    // A calendar without a component is not allowed (section 3.6): say that there is nothing.
    if (calendar.visits.empty()) {
        const Date day = make_date(calendar.year, 1, 1);
        const std::string text = "No seal visit in " + std::to_string(calendar.year);
        write_event(out, visit_uid("none", calendar.shop, "", calendar.year), 0, calendar.as_of, day, day,
                    false, text, text);
    }
    out.line("END:VCALENDAR");
    return out.take();
}

}  // namespace libseal
