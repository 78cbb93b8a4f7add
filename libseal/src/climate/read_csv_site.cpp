// Plain CSV: what it says of its site, and its clock.

#include <algorithm>
#include <cmath>

#include "climate/read_csv_parts.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

struct Fact {
    const char* name;
    double SiteFacts::*member;
    double low, high;  ///< in our unit
    double scale;
    bool column;  ///< may stand in a column as well
};
constexpr Fact facts_table[] = {
    {"latitude", &SiteFacts::latitude, -90, 90, 1, true},
    {"latitude_deg", &SiteFacts::latitude, -90, 90, 1, true},
    {"longitude", &SiteFacts::longitude, -180, 180, 1, true},
    {"longitude_deg", &SiteFacts::longitude, -180, 180, 1, true},
    {"elevation", &SiteFacts::elevation, -1000, 9000, 1, true},
    {"elevation_m", &SiteFacts::elevation, -1000, 9000, 1, true},
    {"elevation_ft", &SiteFacts::elevation, -1000, 9000, 0.3048, true},
    {"utc_offset", &SiteFacts::utc_offset, -15, 15, 1, true},
    {"utc_offset_h", &SiteFacts::utc_offset, -15, 15, 1, true},
    {"sun_offset_s", &SiteFacts::sun_offset, -86400, 86400, 1, false},
    {"step_s", &SiteFacts::step, 1, 86400, 1, false},
};

const Fact* find_fact(const std::string& key) {
    const auto found = std::find_if(std::begin(facts_table), std::end(facts_table),
                                    [&](const Fact& f) { return key == f.name; });
    return found == std::end(facts_table) ? nullptr : found;
}

/// "column,first,count,rule": a run that was filled before the file was written.
void read_gap(SourceText& source, int line, int place, std::string_view text, RawWeather& raw) {
    FieldCursor cursor(text, source.text);
    Gap gap;
    gap.column = cursor.field();
    double first = 0, count = 0;
    const bool numbers = cursor.more() && cursor.number(first) == FieldKind::number && cursor.more() &&
                         cursor.number(count) == FieldKind::number && cursor.more();
    const auto& names = weather_column_names();
    const bool known = std::find(names.begin(), names.end(), gap.column) != names.end();
    const auto whole = [](double v, double low) { return v >= low && v < 1e9 && v == std::floor(v); };
    if (!numbers || !known || !whole(first, 0) || !whole(count, 1)) {
        source.report(line, place, "gap",
                      "column, first interval, number of intervals and rule, as ghi,17,2,clearness",
                      quoted(text));
        return;
    }
    gap.first = static_cast<Eigen::Index>(first);
    gap.count = static_cast<Eigen::Index>(count);
    gap.filled =
        text.substr(static_cast<std::size_t>(cursor.last().data() + cursor.last().size() + 1 - text.data()));
    raw.filled.push_back(std::move(gap));
}

/// Digits at `at`, which the text has.
bool digits(std::string_view text, std::size_t at, std::size_t count, int& value) {
    value = 0;
    for (std::size_t i = at; i < at + count; ++i) {
        if (text[i] < '0' || text[i] > '9') return false;
        value = value * 10 + (text[i] - '0');
    }
    return true;
}

/// "", "Z", "+01", "+0130" or "+01:30".
bool parse_zone(std::string_view text, Stamp& stamp) {
    stamp.has_ahead = !text.empty();
    stamp.ahead = 0;
    if (text.empty() || text == "Z" || text == "z") return true;
    if (text[0] != '+' && text[0] != '-') return false;
    const bool colon = text.size() == 6 && text[3] == ':';
    int hours = 0, minutes = 0;
    if (text.size() != 3 && text.size() != 5 && !colon) return false;
    if (!digits(text, 1, 2, hours) || (text.size() > 3 && !digits(text, text.size() - 2, 2, minutes)))
        return false;
    if (hours > 15 || minutes > 59) return false;
    stamp.ahead = (text[0] == '-' ? -1 : 1) * (hours * 3600 + minutes * 60);
    return true;
}

}  // namespace

bool parse_stamp(std::string_view text, DayCache& days, Stamp& stamp) {
    int year = 0, month = 0, day = 0, hour = 0, minute = 0, second = 0;
    const bool formed = text.size() >= 16 && digits(text, 0, 4, year) && text[4] == '-' &&
                        digits(text, 5, 2, month) && text[7] == '-' && digits(text, 8, 2, day) &&
                        (text[10] == 'T' || text[10] == ' ') && digits(text, 11, 2, hour) &&
                        text[13] == ':' && digits(text, 14, 2, minute);
    if (!formed) return false;
    std::string_view rest = text.substr(16);
    if (rest.starts_with(':')) {
        if (rest.size() < 3 || !digits(rest, 1, 2, second)) return false;
        rest.remove_prefix(3);
        if (rest.starts_with('.')) {  // whole seconds written with decimals
            std::size_t end = 1;
            while (end < rest.size() && rest[end] == '0') ++end;
            rest.remove_prefix(end);
        }
    }
    stamp.second = hour * 3600 + minute * 60 + second;
    return minute <= 59 && second <= 59 && stamp.second <= 86400 && parse_zone(rest, stamp) &&
           days.find(year, month, day, stamp.day);
}

void move_stamp(Stamp& stamp, std::int32_t seconds) {
    if (seconds == 0) return;
    stamp.second += seconds;
    for (; stamp.second <= 0; --stamp.day) stamp.second += 86400;
    for (; stamp.second > 86400; ++stamp.day) stamp.second -= 86400;
}

const std::vector<std::string>& remark_names() {
    static const std::vector<std::string> names = [] {
        std::vector<std::string> list = {"name", "typical", "note", "gap"};
        for (const Fact& fact : facts_table) list.emplace_back(fact.name);
        return list;
    }();
    return names;
}

bool is_site_column(const std::string& key) {
    const Fact* fact = find_fact(key);
    return fact && fact->column;
}

void read_fact(SourceText& source, int line, int place, const std::string& key, std::string_view text,
               SiteFacts& facts) {
    const Fact* fact = find_fact(key);
    double value = 0;
    if (!fact || !try_parse_number(text, value) || value * fact->scale < fact->low ||
        value * fact->scale > fact->high) {
        const double scale = fact ? fact->scale : 1;
        source.report(line, place, key,
                      fact ? "a number from " + number_text(fact->low / scale, 0) + " to " +
                                 number_text(fact->high / scale, 0)
                           : "a known name",
                      quoted(text));
        return;
    }
    facts.*fact->member = value * fact->scale;
}

void read_remark(SourceText& source, std::string_view line, int number, SiteFacts& facts, RawWeather& raw) {
    const std::size_t colon = line.find(':');
    if (colon == std::string_view::npos) return;
    const std::string key(trimmed(line.substr(1, colon - 1)));
    const std::string_view text = trimmed(line.substr(colon + 1));
    const int place =
        static_cast<int>(text.empty() ? colon + 1 : static_cast<std::size_t>(text.data() - line.data())) + 1;
    if (key == "name") {
        facts.name = text;
    } else if (key == "note") {
        raw.notes.emplace_back(text);
    } else if (key == "gap") {
        read_gap(source, number, place, text, raw);
    } else if (key == "typical") {
        if (text != "yes" && text != "no")
            source.report(number, place, key, "\"yes\" or \"no\"", quoted(text));
        facts.typical = text == "yes";
    } else if (find_fact(key)) {
        read_fact(source, number, place, key, text, facts);
    } else {
        const std::string near = nearest_name(key, remark_names());
        source.report(
            number, 1, key, "a known name before the colon", quoted(key),
            near.empty() ? "a remark for people: \"# note: ...\"" : "did you mean \"" + near + "\"?");
    }
}

}  // namespace libseal::detail
