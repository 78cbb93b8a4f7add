// The plain CSV as this library writes it: everything that a Weather holds, so that it reads back equal.

#include <algorithm>
#include <charconv>
#include <cmath>

#include "climate/columns.hpp"
#include "libseal/climate/read.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

void add_remark(std::string& text, const char* key, std::string value) {
    for (char& c : value)
        if (static_cast<unsigned char>(c) < 32) c = ' ';  // a line end would end the remark
    text += std::string("# ") + key + ": " + value + "\n";
}

void add_remarks(const Weather& weather, std::string& text) {
    if (!weather.site.name.empty()) add_remark(text, "name", weather.site.name);
    add_remark(text, "latitude_deg", number_text(weather.site.latitude));
    add_remark(text, "longitude_deg", number_text(weather.site.longitude));
    add_remark(text, "elevation_m", number_text(weather.site.elevation));
    add_remark(text, "utc_offset_h", number_text(weather.site.utc_offset));
    add_remark(text, "step_s", number_text(weather.step));
    add_remark(text, "sun_offset_s", number_text(weather.sun_offset));
    if (weather.typical) add_remark(text, "typical", "yes");
    for (const auto& note : weather.notes) add_remark(text, "note", note);
    for (const Gap& gap : weather.gaps)
        if (gap.filled != "no")  // open gaps are the empty fields
            add_remark(text, "gap",
                       gap.column + "," + std::to_string(gap.first) + "," + std::to_string(gap.count) + "," +
                           gap.filled);
}

/// The shortest text that reads back as the same number; nothing for NaN.
void add_number(std::string& text, double value) {
    if (std::isnan(value)) return;
    char digits[40];
    text.append(digits, std::to_chars(digits, digits + sizeof digits, value).ptr);
}

}  // namespace

std::string weather_csv(const Weather& weather) {
    check_weather(weather);
    const auto& table = detail::column_table;
    std::string text;
    text.reserve(static_cast<std::size_t>(weather.size()) * 80 + 4000);
    add_remarks(weather, text);
    text += "time_utc";
    for (const auto& info : table) text += std::string(",") + info.name + "_" + info.unit;
    text += '\n';
    for (Eigen::Index i = 0; i < weather.size(); ++i) {
        text += to_text_utc(weather.time_utc[i]);
        for (const auto& info : table) {
            text += ',';
            add_number(text, (weather.*info.member)[i]);
        }
        text += '\n';
    }
    return text;
}

}  // namespace libseal
