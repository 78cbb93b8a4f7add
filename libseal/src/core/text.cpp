#include "libseal/core/text.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <utility>

#include "core/readable.hpp"

namespace libseal {
namespace {

/// Insertions, deletions, replacements and swaps of neighbours that turn a into b.
std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> before, last(b.size() + 1), row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) row[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        before = last;
        last = row;
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1)});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) row[j] = std::min(row[j], before[j - 2] + 1);
        }
    }
    return row.back();
}

}  // namespace

std::string nearest_name(std::string_view name, const std::vector<std::string>& candidates) {
    if (name.size() > 200) return "";
    std::string best;
    std::size_t least = std::max<std::size_t>(1, name.size() / 3) + 1;
    for (const auto& candidate : candidates) {
        // As many letters at least must come or go.
        if (std::max(name.size(), candidate.size()) - std::min(name.size(), candidate.size()) >= least) continue;
        const std::size_t distance = edit_distance(name, candidate);
        if (distance < least) {
            least = distance;
            best = candidate;
        }
    }
    return best;
}

std::string number_text(double value) {
    if (std::isnan(value)) return "nan";
    if (std::isinf(value)) return value > 0 ? "inf" : "-inf";
    char text[40];
    const auto end = std::to_chars(text, text + sizeof text, value).ptr;
    return {text, end};
}

std::string number_text(double value, int decimals) {
    if (!std::isfinite(value)) return number_text(value);
    char text[400];
    const auto end = std::to_chars(text, text + sizeof text, value, std::chars_format::fixed, decimals).ptr;
    std::string result(text, end);
    if (result.starts_with('-') && result.find_first_not_of("-0.") == std::string::npos) result.erase(0, 1);
    return result;
}

bool try_parse_number(std::string_view text, double& value) {
    while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t' || text.back() == '\r')) text.remove_suffix(1);
    if (!text.empty() && text.front() == '+') text.remove_prefix(1);
    if (text.empty() || text.front() == '+') return false;
    double read = 0;
    const auto result = std::from_chars(text.data(), text.data() + text.size(), read);
    if (result.ec != std::errc() || result.ptr != text.data() + text.size() || !std::isfinite(read)) return false;
    value = read;
    return true;
}

bool try_parse_length(std::string_view text, double& metres) {
    static constexpr std::pair<std::string_view, double> units[] = {
        {"mm", 1e-3}, {"cm", 1e-2}, {"m", 1.0}, {"in", 0.0254}, {"ft", 0.3048}};
    for (const auto& [unit, size] : units) {
        if (!text.ends_with(unit)) continue;
        double number = 0;
        if (!try_parse_number(text.substr(0, text.size() - unit.size()), number)) continue;
        metres = number * size;
        return true;
    }
    return false;
}

namespace {

/// Octets of the UTF-8 character that text begins with, 0 if there is none. No overlong forms, surrogates, or beyond the last.
std::size_t character_length(std::string_view text) {
    const auto byte = [&](std::size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0u; };
    const unsigned first = byte(0), second = byte(1);
    if (first < 0x80) return text.empty() ? 0 : 1;
    const std::size_t length = first >= 0xC2 && first < 0xE0 ? 2 : first >= 0xE0 && first < 0xF0 ? 3 : first >= 0xF0 && first < 0xF5 ? 4 : 0;
    for (std::size_t k = 1; k < length; ++k)
        if ((byte(k) & 0xC0) != 0x80) return 0;
    if ((first == 0xE0 && second < 0xA0) || (first == 0xED && second > 0x9F) || (first == 0xF0 && second < 0x90) || (first == 0xF4 && second > 0x8F)) return 0;
    return length;
}

}  // namespace

bool is_utf8(std::string_view text) {
    while (!text.empty()) {
        const std::size_t length = character_length(text);
        if (length == 0) return false;
        text.remove_prefix(length);
    }
    return true;
}

std::string readable_text(std::string_view text) {
    std::string out;
    while (!text.empty()) {
        const std::size_t length = character_length(text);
        if (length == 0) out += "\uFFFD";
        else out += text.substr(0, length);
        text.remove_prefix(std::max<std::size_t>(length, 1));
    }
    return out;
}

std::string shown_text(std::string_view text, std::size_t longest) {
    std::string out;
    for (std::string_view rest = text; !rest.empty();) {
        const std::size_t length = character_length(rest);
        const std::string_view character = length == 0 || rest[0] == '\0' ? std::string_view("\uFFFD") : rest.substr(0, length);
        if (out.size() + character.size() > longest) return out + "...";
        out += character;
        rest.remove_prefix(std::max<std::size_t>(length, 1));
    }
    return out;
}

std::string error_context(std::string_view text, int line, int column, int width) {
    std::string out;
    int number = 1;
    std::size_t at = 0;
    constexpr std::size_t longest = 100;
    while (at <= text.size() && number <= line + width) {
        std::size_t end = text.find('\n', at);
        if (end == std::string_view::npos) end = text.size();
        if (number >= line - width) {
            std::string_view shown = text.substr(at, end - at);
            if (shown.ends_with('\r')) shown.remove_suffix(1);
            // Far into a long line only the part around the column is shown.
            std::size_t cut = 0;
            if (number == line && static_cast<std::size_t>(column) > longest - 20) cut = static_cast<std::size_t>(column) - 40;
            cut = std::min(cut, shown.size());
            const std::string label = std::to_string(number);
            out += (number == line ? " > " : "   ") + std::string(label.size() < 4 ? 4 - label.size() : 0, ' ') + label +
                   " | " + readable_text(shown.substr(cut, longest)) + "\n";
            if (number == line && column > 0)
                out += std::string(std::max<std::size_t>(7, label.size() + 3), ' ') + " | " +
                       std::string(static_cast<std::size_t>(column - 1) - std::min(cut, static_cast<std::size_t>(column - 1)), ' ') + "^\n";
        }
        if (end == text.size()) break;
        at = end + 1;
        ++number;
    }
    if (!out.empty()) out.pop_back();
    return out;
}

}  // namespace libseal
