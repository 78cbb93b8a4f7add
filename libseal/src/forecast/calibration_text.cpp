// A calibration table as text for reading and as comma-separated text.

#include <map>

#include "forecast/calibration_parts.hpp"
#include "libseal/core/csv.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

std::string padded(std::string text, std::size_t width, bool right = true) {
    if (text.size() < width) text.insert(right ? 0 : text.size(), width - text.size(), ' ');
    return text;
}

std::string cell(const CalibrationLives& lives, Eigen::Index i) {
    const bool in_range = lives.verdict[static_cast<std::size_t>(i)] == detail::inside;
    return padded(number_text(lives.median[i], 1), 6) + (in_range ? " " : "*") +
           padded("(" + number_text(lives.ratio[i], 2) + ")", 7) + " ";
}

/// One layer: places down, surfaces across, then the reasons of the rows outside.
void add_block(std::string& out, const CalibrationLives& lives, Eigen::Index first, Eigen::Index end) {
    const auto at = static_cast<std::size_t>(first);
    out += "\n" + lives.family[at] + ", " + lives.layer[at] + "; trade " + number_text(lives.trade_low[first], 0) + " to " +
           number_text(lives.trade_high[first], 0) + " yr; 10 and 90 % at " +
           number_text(lives.ten[first] / lives.median[first], 2) + " and " +
           number_text(lives.ninety[first] / lives.median[first], 2) + " of the median\n" + padded("", 21);
    for (const char* surface : detail::calibration_surfaces) out += padded(surface, 14) + " ";
    out += "\n";
    std::map<std::string, int> reasons;
    for (Eigen::Index i = first; i < end; ++i) {
        const auto r = static_cast<std::size_t>(i);
        if (i == first || lives.place[r] != lives.place[r - 1]) out += padded(lives.place[r], 21, false);
        out += cell(lives, i);
        if (i + 1 == end || lives.place[r + 1] != lives.place[r]) out += "\n";
        if (lives.verdict[r] != detail::inside) ++reasons[lives.verdict[r]];
    }
    for (const auto& [reason, count] : reasons)
        out += "  * " + reason + (count > 1 ? " (" + std::to_string(count) + " rows)" : "") + "\n";
}

std::string limit(double low, double high) {
    if (high > 1e300) return "above " + number_text(low);
    return number_text(low) + " to " + number_text(high);
}

/// First rule by rule how many rows hold, then each row that does not.
void add_checks(std::string& out, const CalibrationChecks& checks) {
    for (std::size_t i = 0; i < checks.rule.size();) {
        std::size_t end = i, held = 0;
        for (; end < checks.rule.size() && checks.rule[end] == checks.rule[i]; ++end)
            held += checks.verdict[end] == detail::inside;
        out += "\n" + checks.rule[i] + ": " + std::to_string(held) + " of " + std::to_string(end - i) + " inside\n";
        const bool short_list = end - i <= 12;
        for (; i < end; ++i) {
            const bool in_range = checks.verdict[i] == detail::inside;
            if (in_range && !short_list) continue;
            const auto row = static_cast<Eigen::Index>(i);
            out += "  " + checks.subject[i] + ": " + number_text(checks.value[row], 3) +
                   (checks.unit[i] == "-" ? "" : " " + checks.unit[i]) + " (wanted " + limit(checks.low[row], checks.high[row]) +
                   ")\n";
            if (!in_range) out += "    " + checks.verdict[i] + "\n";
        }
    }
}

}  // namespace

std::string calibration_text(const CalibrationTable& table) {
    const CalibrationLives& lives = table.lives;
    std::string out =
        "Median years until condition grade 3, in brackets how many times as fast as the same surface at the reference,\n"
        "which is " +
        table.reference + ". * outside the range of the trade.\n";
    for (Eigen::Index first = 0; first < lives.size();) {
        const auto at = static_cast<std::size_t>(first);
        Eigen::Index end = first;
        while (end < lives.size() && lives.family[static_cast<std::size_t>(end)] == lives.family[at] &&
               lives.layer[static_cast<std::size_t>(end)] == lives.layer[at])
            ++end;
        add_block(out, lives, first, end);
        first = end;
    }
    out += "\nWhat must hold\n";
    add_checks(out, table.checks);
    return out;
}

std::string calibration_csv(const CalibrationTable& table) {
    const CalibrationLives& lives = table.lives;
    std::string out = "family,layer,place,surface,rate,ratio,median_yr,ten_yr,ninety_yr,trade_low_yr,trade_high_yr,verdict\n";
    for (Eigen::Index i = 0; i < lives.size(); ++i) {
        const auto r = static_cast<std::size_t>(i);
        for (const auto* text : {&lives.family, &lives.layer, &lives.place, &lives.surface}) out += csv_field((*text)[r]) + ",";
        for (const auto* number :
             {&lives.rate, &lives.ratio, &lives.median, &lives.ten, &lives.ninety, &lives.trade_low, &lives.trade_high})
            out += number_text((*number)[i], 4) + ",";
        out += csv_field(lives.verdict[r]) + "\n";
    }
    return out;
}

std::string calibration_checks_csv(const CalibrationTable& table) {
    const CalibrationChecks& checks = table.checks;
    std::string out = "rule,subject,value,low,high,unit,source,verdict\n";
    for (Eigen::Index i = 0; i < checks.size(); ++i) {
        const auto r = static_cast<std::size_t>(i);
        out += csv_field(checks.rule[r]) + "," + csv_field(checks.subject[r]) + "," + number_text(checks.value[i], 4) + "," +
               number_text(checks.low[i]) + "," + (checks.high[i] > 1e300 ? "" : number_text(checks.high[i])) + "," +
               checks.unit[r] + "," + csv_field(checks.source[r]) + "," + csv_field(checks.verdict[r]) + "\n";
    }
    return out;
}

}  // namespace libseal
