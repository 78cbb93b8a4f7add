// Headings and units of the plain CSV. Factors: NIST Special Publication 811 (2008), appendix B.

#include <algorithm>

#include "climate/read_csv_parts.hpp"

namespace libseal::detail {
namespace {

constexpr Unit irradiance[] = {
    {"w_m2", 0, 1, 0},      {"wm2", 0, 1, 0},         {"wm-2", 0, 1, 0},  {"kw_m2", 0, 1000, 0},
    {"wh_m2", 0, 3600, -1}, {"kwh_m2", 0, 3.6e6, -1}, {"j_m2", 0, 1, -1}, {"kj_m2", 0, 1e3, -1},
    {"mj_m2", 0, 1e6, -1},  {"j_cm2", 0, 1e4, -1},
};
constexpr Unit temperature[] = {
    {"c", 0, 1, 0},         {"degc", 0, 1, 0},         {"celsius", 0, 1, 0},
    {"f", -32, 5.0 / 9, 0}, {"degf", -32, 5.0 / 9, 0}, {"fahrenheit", -32, 5.0 / 9, 0},
    {"k", -273.15, 1, 0},   {"kelvin", -273.15, 1, 0},
};
constexpr Unit humidity[] = {{"percent", 0, 1, 0}, {"pct", 0, 1, 0}, {"fraction", 0, 100, 0}};
constexpr Unit speed[] = {
    {"m_s", 0, 1, 0},
    {"ms", 0, 1, 0},
    {"ms-1", 0, 1, 0},
    {"km_h", 0, 1 / 3.6, 0},
    {"kmh", 0, 1 / 3.6, 0},
    {"mph", 0, 0.44704, 0},
    {"ft_s", 0, 0.3048, 0},
    {"kn", 0, 1852.0 / 3600, 0},
    {"kt", 0, 1852.0 / 3600, 0},
    {"knots", 0, 1852.0 / 3600, 0},
};
constexpr Unit direction[] = {{"deg", 0, 1, 0}, {"degrees", 0, 1, 0}};
constexpr Unit pressure[] = {
    {"pa", 0, 1, 0},     {"hpa", 0, 100, 0},       {"mbar", 0, 100, 0},      {"mb", 0, 100, 0},
    {"kpa", 0, 1000, 0}, {"inhg", 0, 3386.389, 0}, {"mmhg", 0, 133.3224, 0}, {"psi", 0, 6894.757, 0},
};
constexpr Unit cover[] = {
    {"tenths", 0, 1, 0},    {"oktas", 0, 1.25, 0},  {"eighths", 0, 1.25, 0},
    {"percent", 0, 0.1, 0}, {"fraction", 0, 10, 0},
};
constexpr Unit depth[] = {
    {"mm", 0, 1, 0},    {"cm", 0, 10, 0},           {"in", 0, 25.4, 0},          {"inch", 0, 25.4, 0},
    {"kg_m2", 0, 1, 0}, {"mm_h", 0, 1.0 / 3600, 1}, {"in_h", 0, 25.4 / 3600, 1},
};

bool starts(std::string_view text, std::size_t at, std::string_view what) {
    return text.substr(at).starts_with(what);
}

char small_letter(char c) { return static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c); }

/// "W/m2" and "w m²" become "w_m2" and "wm2", "%" "percent", "°C" "degc".
std::string unit_word(std::string_view text) {
    std::string word;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (starts(text, i, "\xC2\xB0")) {
            word += "deg";
            ++i;
        } else if (starts(text, i, "\xC2\xB2")) {
            word += '2';
            ++i;
        } else if (text[i] == '%') {
            word += "percent";
        } else if (text[i] == '/') {
            word += '_';
        } else if (text[i] != ' ' && text[i] != '^') {
            word += small_letter(text[i]);
        }
    }
    return word;
}

/// Letters small, blanks and hyphens as "_".
std::string name_word(std::string_view text) {
    std::string word;
    for (const char c : text) word += c == ' ' || c == '-' ? '_' : small_letter(c);
    return word;
}

}  // namespace

std::string_view trimmed(std::string_view text) {
    const auto strip = [&text] {
        while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
        while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
    };
    strip();
    if (text.size() >= 2 && text.front() == '"' && text.back() == '"') {
        text = text.substr(1, text.size() - 2);
        strip();
    }
    return text;
}

std::span<const Unit> units_of(WeatherColumn column) {
    switch (column) {
        case ghi_column:
        case dni_column:
        case dhi_column:
            return irradiance;
        case air_temperature_column:
        case dew_point_column:
            return temperature;
        case relative_humidity_column:
            return humidity;
        case wind_speed_column:
            return speed;
        case wind_direction_column:
            return direction;
        case pressure_column:
            return pressure;
        case opaque_sky_cover_column:
            return cover;
        default:
            return depth;
    }
}

Heading split_heading(std::string_view text) {
    const std::size_t bracket = text.find_first_of("[(");
    if (bracket != std::string_view::npos) {
        std::string_view unit = text.substr(bracket + 1);
        unit = unit.substr(0, unit.find_first_of("])"));
        return {name_word(trimmed(text.substr(0, bracket))), unit_word(unit)};
    }
    const std::string word = name_word(text);
    for (const auto& name : weather_column_names())
        if (word.starts_with(name + "_")) return {name, unit_word(word.substr(name.size() + 1))};
    // A name that is not known may still end in a unit: then the name alone is compared with those that are.
    std::string_view longest;
    for (std::size_t column = 0; column < weather_column_count; ++column)
        for (const Unit& unit : units_of(static_cast<WeatherColumn>(column)))
            if (word.ends_with(std::string("_") + unit.name) &&
                std::string_view(unit.name).size() > longest.size())
                longest = unit.name;
    if (longest.empty() || word.size() < longest.size() + 2) return {word, ""};
    return {word.substr(0, word.size() - longest.size() - 1), std::string(longest)};
}

}  // namespace libseal::detail
