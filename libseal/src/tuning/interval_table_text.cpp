#include <cmath>

#include "libseal/core/text.hpp"
#include "libseal/tuning/interval_table.hpp"

namespace libseal {
namespace {

std::string padded(const std::string& text, std::size_t width, bool left = false) {
    const std::string space(width > text.size() ? width - text.size() : 0, ' ');
    return left ? text + space : space + text;
}

std::string or_none(double value, int decimals, double unit = 1) { return std::isfinite(value) ? number_text(value / unit, decimals) : "none"; }

/// Months read better than days where intervals are long.
std::string interval_text(double days) { return std::isfinite(days) ? number_text(days, 0) + " d" : "none"; }

std::string row_text(const IntervalTable& t, Eigen::Index i) {
    const auto n = static_cast<std::size_t>(i);
    std::string text = "  " + padded(t.joint_type[n], 24, true) + padded(t.family[n], 22, true) + padded(or_none(t.life[i], 1), 6) +
                       padded(interval_text(t.best_interval[i]), 9) + padded(interval_text(t.formula_interval[i]), 9) + padded(or_none(t.formula_age[i], 1), 7);
    for (Eigen::Index k = 0; k < t.cost.cols(); ++k) text += padded(number_text(t.cost(i, k), 3), 9);
    text += "  " + padded(t.best[n], 15, true);
    for (const char* rule : {"every_90_days", "half_yearly", "yearly"}) {
        const Eigen::Index k = t.policy(rule);
        text += padded(number_text(t.saving(i, k), 3) + " +- " + number_text(t.saving_error(i, k), 3), 16) +
                padded(std::string(t.more_failures(i, k) > 0 ? "+" : "") + number_text(t.more_failures(i, k), 1), 8);
    }
    return text + "\n";
}

std::string head_text() {
    std::string text = "  " + padded("joint type", 24, true) + padded("family", 22, true) + padded("due", 6) + padded("look", 9) + padded("formula", 9) +
                       padded("age", 7);
    for (const char* name : {"failure", "90 d", "half-yr", "yearly", "look", "age"}) text += padded(name, 9);
    text += "  " + padded("cheapest", 15, true);
    for (const char* rule : {"saves on 90 d", "on half-yr", "on yearly"}) text += padded(rule, 16) + padded("risk", 8);
    return text + "\n";
}

}  // namespace

std::string interval_table_text(const IntervalTable& t) {
    std::string text = "Intervals by climate, joint type and family, simulated by the model: " + std::to_string(t.layers) + " joints a row, " +
                       number_text(t.years) + " years each, the same in all columns\n" +
                       "due: median years until due; look: cheapest interval, formula: that of the delay-time formula; age: best age of replacement [yr];\n"
                       "then the cost a joint and year" +
                       (t.cost_unit.empty() ? "" : " [" + t.cost_unit + " of work]") +
                       " of waiting for failure, looks every 90 days, half-yearly, yearly, at the cheapest interval, replacement at the best age;\n"
                       "saves: what the cheapest saves on a rule, +- its standard error; risk: open joints more (+) or fewer (-) by it, per 1000 joints and year\n";
    std::string place;
    for (Eigen::Index i = 0; i < t.size(); ++i) {
        const auto n = static_cast<std::size_t>(i);
        if (place != t.station[n]) text += "\n" + t.station[n] + " (" + t.climate[n] + ")\n" + head_text();
        place = t.station[n];
        text += row_text(t, i);
    }
    return text;
}

}  // namespace libseal
