#include "libseal/calendar/icalendar.hpp"

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

constexpr std::size_t longest_line = 75;  ///< octets, RFC 5545 section 3.1

bool continues_character(char c) { return (static_cast<unsigned char>(c) & 0xC0) == 0x80; }

/// Octets of the line break that text begins with: CR LF, CR, LF, and those that some readers cut lines at (NEL, U+2028, U+2029).
std::size_t line_break(std::string_view text) {
    for (const std::string_view one : {"\r\n", "\n", "\r", "\u0085", "\u2028", "\u2029"})
        if (text.starts_with(one)) return one.size();
    return 0;
}

/// @throws ValueError  for what a TEXT value cannot hold; nothing is dropped in silence.
void check_text(const std::string& text, const std::string& field) {
    const char* hint = "mend the text before it is written; JSON holds control characters";
    if (!is_utf8(text)) throw_value_error(field, "UTF-8 (RFC 5545, 3.1.4)", "other bytes", hint);
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        if ((byte < 0x20 && c != '\t' && c != '\n' && c != '\r') || byte == 0x7F)
            throw_value_error(field, "text without control characters (RFC 5545, 3.3.11)", "character " + std::to_string(byte), hint);
    }
}

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

/// Readers that take no notice of STATUS still show that the visit is off.
std::string summary_of(const Visit& visit) {
    const std::string name = visit.label.empty() ? visit.coach : visit.label, off = visit.cancelled ? "Cancelled: " : "";
    if (visit.kind == "inspection") return off + "Seal inspection: " + name;
    const std::string count =
        std::to_string(visit.tasks.size()) + (visit.tasks.size() == 1 ? " task" : " tasks");
    return off + "Seal work: " + name + " (" + count + ")";
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

void check_visit(const Visit& visit, const std::string& field) {
    check_text(visit.uid, field + ".uid");
    check_text(visit.coach, field + ".coach");
    check_text(visit.label, field + ".label");
    check_text(visit.owner, field + ".owner");
    check_text(visit.why, field + ".why");
    for (const auto& flag : visit.flags) check_text(flag, field + ".flags");
    for (const auto& caution : visit.cautions) check_text(caution, field + ".cautions");
    for (const VisitTask& task : visit.tasks) {
        check_text(task.joint, field + ".tasks.joint");
        check_text(task.action, field + ".tasks.action");
        check_text(task.family, field + ".tasks.family");
    }
}

/// What events and to-dos have in common.
struct Entry {
    std::string uid;
    int sequence = 0;
    Date first{}, last{};
    bool cancelled = false;
    std::string summary, description;
    int alarm_days = 0;
};

class Writer {
public:
    explicit Writer(const Calendar& calendar) : calendar_(calendar) {
        line("BEGIN:VCALENDAR");
        line("VERSION:2.0");
        line("PRODID:-//libseal//calendar//EN");
        line("CALSCALE:GREGORIAN");
    }

    void event(const Entry& entry) {
        line("BEGIN:VEVENT");
        head(entry);
        if (!calendar_.shop.empty()) text("LOCATION", calendar_.shop);
        line("DTSTART;VALUE=DATE:" + compact(entry.first));
        line("DTEND;VALUE=DATE:" + compact(entry.last + 1));  // exclusive
        line("TRANSP:TRANSPARENT");
        line(entry.cancelled ? "STATUS:CANCELLED" : "STATUS:CONFIRMED");
        if (!entry.cancelled && entry.alarm_days > 0) {
            line("BEGIN:VALARM");
            line("ACTION:DISPLAY");
            line("TRIGGER:-P" + std::to_string(entry.alarm_days) + "D");
            text("DESCRIPTION", entry.summary);
            line("END:VALARM");
        }
        line("END:VEVENT");
    }

    /// Due on the last day; the alarm is the event's.
    void to_do(Entry entry) {
        entry.uid = "todo-" + entry.uid;
        line("BEGIN:VTODO");
        head(entry);
        line("DUE;VALUE=DATE:" + compact(entry.last));
        line(entry.cancelled ? "STATUS:CANCELLED" : "STATUS:NEEDS-ACTION");
        line("END:VTODO");
    }

    std::string take() {
        line("END:VCALENDAR");
        return std::move(out_);
    }

private:
    void line(const std::string& content) { out_ += icalendar_folded(content); }
    void text(const std::string& name, const std::string& value) { line(name + ":" + icalendar_escaped(value)); }
    void head(const Entry& entry) {
        text("UID", entry.uid);
        line("DTSTAMP:" + compact(calendar_.as_of) + "T000000Z");
        line("SEQUENCE:" + std::to_string(entry.sequence));
        text("SUMMARY", entry.summary);
        text("DESCRIPTION", entry.description);
    }

    const Calendar& calendar_;
    std::string out_;
};

}  // namespace

std::string icalendar_escaped(std::string_view text) {
    check_text(std::string(text), "text");
    std::string out;
    while (!text.empty()) {
        const char c = text.front();
        const std::size_t broken = line_break(text);
        text.remove_prefix(broken ? broken : 1);
        if (broken)
            out += "\\n";
        else if (c == '\\' || c == ';' || c == ',')
            out += '\\', out += c;
        else
            out += c;
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

std::string icalendar_text(const Calendar& whole, const IcalendarOptions& options) {
    constexpr int longest_alarm = 365;
    if (options.alarm_days < 0 || options.alarm_days > longest_alarm)
        throw_value_error("alarm_days", "0 to 365", std::to_string(options.alarm_days));
    const Calendar calendar = calendar_part(whole, {options.owner, options.coach, options.show_owners});
    check_text(calendar.shop, "shop");
    check_text(calendar.closing, "closing");
    Writer out(calendar);
    for (std::size_t i = 0; i < calendar.visits.size(); ++i) {
        const Visit& visit = calendar.visits[i];
        check_visit(visit, "visits[" + std::to_string(i) + "]");
        const Entry entry{visit.uid,       visit.sequence,    visit.first,
                          visit.last,      visit.cancelled,   summary_of(visit),
                          description_of(visit, calendar),    options.alarm_days};
        out.event(entry);
        if (options.todo) out.to_do(entry);
    }
    // A calendar without a component is not allowed (section 3.6): say that there is nothing.
    if (calendar.visits.empty()) {
        const Date day = make_date(calendar.year, 1, 1);
        const std::string text = "No seal visit in " + std::to_string(calendar.year);
        out.event({visit_uid("none", calendar.shop, "", calendar.year), 0, day, day, false, text, text, 0});
    }
    return out.take();
}

}  // namespace libseal
