#include "calendar/icalendar_lines.hpp"

#include <algorithm>

#include "core/problem.hpp"
#include "core/readable.hpp"
#include "libseal/core/limits.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

constexpr std::size_t longest_line = 75, most_faults = 50, most_kept = 2000, longest_field = 200;

bool name_character(char c) { return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-'; }

std::string capitals(std::string_view text) {
    std::string out(text);
    for (char& c : out)
        if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
    return out;
}

/// What an error may show: short, without control characters.
std::string shown(std::string_view got) {
    constexpr std::size_t longest = 60;
    std::string out = shown_text(got, longest);
    for (char& c : out)
        if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) c = ' ';
    return out.empty() ? "nothing" : out;
}

struct Physical {
    std::size_t at;
    std::string_view text;  ///< without its end
};

/// Lines with their ends checked.
std::vector<Physical> physical_lines(std::string_view text, IcalendarFaults& faults) {
    std::vector<Physical> lines;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t feed = text.find('\n', at);
        const bool last = feed == std::string_view::npos;
        std::string_view line = text.substr(at, (last ? text.size() : feed) - at);
        const bool ended = !last && line.ends_with('\r');
        if (!ended)
            faults.add(at + line.size(), "", "a line ended by CR LF", "3.1", last ? "the end of the text" : "LF alone", "end every line, the last one too, with CR LF");
        if (line.ends_with('\r')) line.remove_suffix(1);
        if (const std::size_t inner = line.find('\r'); inner != std::string_view::npos)
            faults.add(at + inner, "", "CR only before LF", "3.1", "CR within a line", "write a line break within a text as \\n");
        lines.push_back({at, line});
        at = last ? text.size() : feed + 1;
    }
    return lines;
}

void check_octets(const Physical& line, IcalendarFaults& faults) {
    if (line.text.size() > longest_line)
        faults.add(line.at + longest_line, "", "at most 75 octets in a line", "3.1", std::to_string(line.text.size()) + " octets",
                   "fold the line: CR LF and a space, counted in octets");
    if (!is_utf8(line.text)) {
        std::size_t bad = 0;  // first octet that begins no whole character
        while (bad < line.text.size()) {
            std::size_t length = 1;
            while (length < 4 && bad + length < line.text.size() && !is_utf8(line.text.substr(bad, length))) ++length;
            if (!is_utf8(line.text.substr(bad, length))) break;
            bad += length;
        }
        faults.add(line.at + bad, "", "whole UTF-8 characters in every line", "3.1 and 3.1.4", "other octets", "write UTF-8 and fold between characters");
    }
    for (std::size_t i = 0; i < line.text.size(); ++i) {
        const auto byte = static_cast<unsigned char>(line.text[i]);
        if ((byte < 0x20 && byte != '\t' && byte != '\r') || byte == 0x7F) {
            faults.add(line.at + i, "", "text without control characters", "3.1", "character " + std::to_string(byte), "leave it out");
            break;
        }
    }
}

/// Takes a line apart: NAME *(";" parameter) ":" value.
class LineReader {
public:
    LineReader(const std::string& content, ContentLine& line, IcalendarFaults& faults) : content_(content), line_(line), faults_(faults) {}

    bool read() {
        const std::size_t mark = content_.starts_with("\xEF\xBB\xBF") ? 3 : 0;
        if (mark) fault("no byte order mark", "a byte order mark", "save as UTF-8 without it");
        at_ = mark;
        while (at_ < content_.size() && name_character(content_[at_])) ++at_;
        const std::string_view name = std::string_view(content_).substr(mark, at_ - mark);
        if (name.empty()) return fault("NAME:value", content_, "begin the line with the name of a property");
        line_.name = capitals(name);
        line_.small_letters = line_.name != name;
        while (at_ < content_.size() && content_[at_] == ';')
            if (!parameter()) return false;
        if (at_ >= content_.size() || content_[at_] != ':')
            return fault("a colon after the name and its parameters", content_, "write NAME:value; put a parameter with , ; or : in quotes");
        line_.value = content_.substr(at_ + 1);
        line_.value_at = at_ + 1;
        return true;
    }

private:
    bool fault(const std::string& expected, std::string_view got, const std::string& hint) {
        faults_.add(line_.offset(std::min(at_, content_.size())), line_.name, expected, "3.1", got, hint);
        return false;
    }

    bool parameter() {
        IcalendarParameter parameter;
        parameter.at = ++at_;
        while (at_ < content_.size() && name_character(content_[at_])) ++at_;
        parameter.name = capitals(std::string_view(content_).substr(parameter.at, at_ - parameter.at));
        if (parameter.name.empty() || at_ >= content_.size() || content_[at_] != '=') return fault("NAME=value after a semicolon", std::string_view(content_).substr(parameter.at), "write ;NAME=value, or escape the semicolon of a text");
        do {
            ++at_;
            std::string value;
            if (!parameter_value(value)) return false;
            parameter.values.push_back(std::move(value));
        } while (at_ < content_.size() && content_[at_] == ',');
        line_.parameters.push_back(std::move(parameter));
        return true;
    }

    bool parameter_value(std::string& value) {
        const std::size_t begin = at_;
        if (at_ < content_.size() && content_[at_] == '"') {
            const std::size_t end = content_.find('"', at_ + 1);
            if (end == std::string::npos) return fault("a closing quote", std::string_view(content_).substr(begin), "end the parameter with a quote");
            value = content_.substr(begin + 1, end - begin - 1);
            at_ = end + 1;
            return true;
        }
        while (at_ < content_.size() && std::string_view(",;:\"").find(content_[at_]) == std::string_view::npos) ++at_;
        if (at_ < content_.size() && content_[at_] == '"') return fault("no quote within a parameter", std::string_view(content_).substr(begin), "leave the quote out");
        value = content_.substr(begin, at_ - begin);
        return true;
    }

    const std::string& content_;
    ContentLine& line_;
    IcalendarFaults& faults_;
    std::size_t at_ = 0;
};

bool begins_continuation(std::string_view line) { return !line.empty() && (line[0] == ' ' || line[0] == '\t'); }

}  // namespace

IcalendarFaults::IcalendarFaults(std::string_view text) : text_(text), starts_{0} {
    for (std::size_t i = 0; i < text.size(); ++i)
        if (text[i] == '\n') starts_.push_back(i + 1);
}

void IcalendarFaults::add(std::size_t offset, const std::string& field, const std::string& expected, const std::string& section,
                          std::string_view got, const std::string& hint) {
    if (faults_.size() >= most_kept) return;
    faults_.push_back({std::min(offset, text_.size()), field_problem(shown_text(field, longest_field),
                                                                     expected + (section.empty() ? "" : " (RFC 5545, " + section + ")"), shown(got), hint)});
}

std::vector<Problem> IcalendarFaults::take() {
    std::stable_sort(faults_.begin(), faults_.end(), [](const Fault& a, const Fault& b) { return a.offset < b.offset; });
    std::vector<Problem> problems;
    for (Fault& fault : faults_) {
        if (problems.size() == most_faults) break;
        const auto next = std::upper_bound(starts_.begin(), starts_.end(), fault.offset);
        fault.problem.line = static_cast<int>(next - starts_.begin());
        fault.problem.column = static_cast<int>(fault.offset - *(next - 1)) + 1;
        fault.problem.context = error_context(text_, fault.problem.line, fault.problem.column);
        problems.push_back(std::move(fault.problem));
    }
    return problems;
}

std::size_t ContentLine::offset(std::size_t at) const {
    const auto next = std::upper_bound(pieces.begin(), pieces.end(), at, [](std::size_t place, const auto& piece) { return place < piece.first; });
    if (next == pieces.begin()) return 0;
    return (next - 1)->second + (at - (next - 1)->first);
}

const std::string* ContentLine::parameter(std::string_view wanted) const {
    for (const IcalendarParameter& one : parameters)
        if (one.name == wanted) return &one.values.front();
    return nullptr;
}

std::vector<const ContentLine*> IcalendarComponent::all(std::string_view wanted) const {
    std::vector<const ContentLine*> found;
    for (const ContentLine& line : properties)
        if (line.name == wanted) found.push_back(&line);
    return found;
}

const ContentLine* IcalendarComponent::first(std::string_view wanted) const {
    for (const ContentLine& line : properties)
        if (line.name == wanted) return &line;
    return nullptr;
}

std::vector<ContentLine> icalendar_lines(std::string_view text, IcalendarFaults& faults) {
    std::vector<std::pair<std::string, ContentLine>> whole;
    if (text.size() > limits::icalendar_octets) {
        faults.add(limits::icalendar_octets, "", "a text of at most " + std::to_string(limits::icalendar_octets) + " octets", "", std::to_string(text.size()), "split the calendar");
        return {};
    }
    for (const Physical& physical : physical_lines(text, faults)) {
        check_octets(physical, faults);
        if (physical.text.empty()) {
            faults.add(physical.at, "", "a content line", "3.1", "an empty line", "leave it out");
        } else if (!begins_continuation(physical.text)) {
            if (whole.size() == limits::icalendar_lines) {
                faults.add(physical.at, "", "at most " + std::to_string(limits::icalendar_lines) + " lines", "", "more", "split the calendar");
                break;
            }
            whole.emplace_back(std::string(physical.text), ContentLine{});
            whole.back().second.pieces.emplace_back(0, physical.at);
        } else if (whole.empty()) {
            faults.add(physical.at, "", "a content line", "3.1", "a continuation of nothing", "begin with BEGIN:VCALENDAR");
        } else {
            whole.back().second.pieces.emplace_back(whole.back().first.size(), physical.at + 1);
            whole.back().first += physical.text.substr(1);
        }
    }
    std::vector<ContentLine> lines;
    for (auto& [content, line] : whole)
        if (LineReader(content, line, faults).read()) lines.push_back(std::move(line));
    return lines;
}

std::vector<std::size_t> empty_continuations(std::string_view text) {
    std::vector<std::size_t> found;
    for (std::size_t at = 0; at < text.size();) {
        std::size_t end = std::min(text.find('\n', at), text.size());
        std::string_view line = text.substr(at, end - at);
        if (line.ends_with('\r')) line.remove_suffix(1);
        if (line.size() == 1 && begins_continuation(line)) found.push_back(at);
        at = end + 1;
    }
    return found;
}

std::vector<IcalendarComponent> icalendar_components(std::string_view text, IcalendarFaults& faults) {
    std::vector<IcalendarComponent> components;
    int open = -1;
    std::size_t depth = 0;  // of what is open
    const auto at = [&](int i) -> IcalendarComponent& { return components[static_cast<std::size_t>(i)]; };
    for (ContentLine& line : icalendar_lines(text, faults)) {
        const std::size_t place = line.offset(0);
        if (line.name == "BEGIN") {
            if (depth == limits::icalendar_depth) {
                faults.add(place, line.value, "at most " + std::to_string(limits::icalendar_depth) + " components within each other", "3.6", "one more", "end each component");
                continue;
            }
            components.push_back({capitals(line.value), place, open, {}});
            open = static_cast<int>(components.size()) - 1;
            ++depth;
        } else if (line.name == "END") {
            const std::string name = capitals(line.value);
            if (open < 0 || at(open).name != name)
                faults.add(place, name, open < 0 ? "nothing to end" : "END:" + at(open).name, "3.6", "END:" + name, "end each component, the inner one first");
            int same = open;  // an END that fits further out closes what was left open
            while (same >= 0 && at(same).name != name) same = at(same).parent;
            for (; same >= 0 && open != at(same).parent; --depth) open = at(open).parent;
        } else if (open < 0) {
            faults.add(place, line.name, "BEGIN:VCALENDAR", "3.4", line.name, "put it inside the calendar, or leave it out");
        } else {
            at(open).properties.push_back(std::move(line));
        }
    }
    for (; open >= 0; open = at(open).parent)
        faults.add(at(open).at, at(open).name, "END:" + at(open).name, "3.6", "no such line", "end each component that begins");
    return components;
}

}  // namespace libseal::detail
