#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>

#include "core/json.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "libseal/tuning/recalibrate.hpp"

namespace libseal {
namespace {

std::string years(double value) { return number_text(value, 1); }

std::string family_text(const Recalibration& r, Eigen::Index i) {
    const FamilyLives& f = r.families;
    const auto n = static_cast<std::size_t>(i);
    const SourcedValue& old = r.catalogue.at("sealant/" + f.family[n] + "/median_life");
    std::string text = f.family[n] + "\n";
    text += "  life in the catalogue   " + years(f.old_life[i]) + " yr at the reference (range " + years(old.low) + " to " + years(old.high) + ", " +
            std::string(to_text(old.mark)) + ")\n";
    text += "  life as inspected       " + years(f.life[i]) + " yr (95 %: " + years(f.life_low[i]) + " to " + years(f.life_high[i]) + "), " +
            number_text(f.life[i] / f.old_life[i], 2) + " times the old\n";
    text += "  rests on                " + std::to_string(f.layers[n]) + " layers on " + std::to_string(f.coaches[n]) + " coaches, " +
            std::to_string(f.due[n]) + " found due, looks from " + f.first_look[n] + " to " + f.last_look[n] + "\n";
    text += "  half are due after      " + years(f.years_after[i]) + " yr in the calendar where these coaches stand, " + years(f.years_before[i]) +
            " before\n";
    text += "  verdict                 " + std::string(f.verdict[n] == "enough" ? "enough for the catalogue" : "not for the catalogue: " + f.verdict[n]) + "\n";
    return text;
}

/// The rows that stand out most: 95 % of their belief lie on one side of the life one step up.
std::string groups_text(const GroupLives& groups, const std::string& heading) {
    constexpr std::size_t most = 10;
    std::vector<std::size_t> rows;
    for (std::size_t i = 0; i < groups.family.size(); ++i) {
        const auto row = static_cast<Eigen::Index>(i);
        const double one_up = groups.life[row] / groups.ratio[row];
        if (groups.life_high[row] < one_up || groups.life_low[row] > one_up) rows.push_back(i);
    }
    const auto away = [&](std::size_t i) { return std::abs(std::log(groups.ratio[static_cast<Eigen::Index>(i)])); };
    std::stable_sort(rows.begin(), rows.end(), [&](std::size_t a, std::size_t b) { return away(a) > away(b); });
    if (rows.size() > most) rows.resize(most);
    std::string text = heading + (rows.empty() ? ": none\n" : "\n");
    for (const std::size_t i : rows) {
        const auto row = static_cast<Eigen::Index>(i);
        text += "  " + groups.family[i] + (groups.model_line[i].empty() ? "" : ", line " + groups.model_line[i]) +
                (groups.coach[i].empty() ? "" : ", coach " + groups.coach[i]) + ": " + years(groups.life[row]) + " yr (95 %: " +
                years(groups.life_low[row]) + " to " + years(groups.life_high[row]) + "), " + number_text(groups.ratio[row], 2) + " times, " +
                std::to_string(groups.layers[i]) + (groups.layers[i] == 1 ? " layer\n" : " layers\n");
    }
    return text;
}

double rounded(double life) { return std::round(life * 1000) / 1000; }

std::string source_of(const Recalibration& r, std::size_t i, const std::string& by) {
    const FamilyLives& f = r.families;
    const SourcedValue& old = r.catalogue.at("sealant/" + f.family[i] + "/median_life");
    return "fitted from " + std::to_string(f.layers[i]) + " layers on " + std::to_string(f.coaches[i]) + " coaches, " + std::to_string(f.due[i]) +
           " found due, looks from " + f.first_look[i] + " to " + f.last_look[i] + "; approved by " + by + "; range holds 95 %; before " +
           number_text(old.value) + " yr (" + std::string(to_text(old.mark)) + ")";
}

/// Row of an approved family.
std::size_t approved_row(const Recalibration& r, const std::string& family) {
    const FamilyLives& f = r.families;
    const auto found = std::find(f.family.begin(), f.family.end(), family);
    const std::string near = nearest_name(family, f.family);
    if (found == f.family.end())
        throw_value_error("approved", "a family that was looked at", "\"" + family + "\"", near.empty() ? "" : "did you mean \"" + near + "\"?");
    const auto row = static_cast<std::size_t>(found - f.family.begin());
    if (f.verdict[row] != "enough")
        throw_value_error("approved", "a family with enough looks", "\"" + family + "\": " + f.verdict[row], "look at more of it, or leave it out");
    return row;
}

}  // namespace

std::string recalibration_text(const Recalibration& r) {
    std::string text = "Lives as inspected\n\n";
    if (r.families.size() == 0) return text + "Nothing was looked at.\n";
    for (Eigen::Index i = 0; i < r.families.size(); ++i) text += family_text(r, i) + "\n";
    text += groups_text(r.model_lines, "Model lines that stand out from their family") + "\n";
    text += groups_text(r.coaches, "Coaches that stand out from their line (workmanship)") + "\n";
    const EffectSpreads& s = r.spreads;
    text += "Spread of ln(phi) between model lines " + number_text(s.model_line, 2) + " (catalogue " + number_text(s.model_line_old, 2) + "), coaches " +
            number_text(s.coach, 2) + " (" + number_text(s.coach_old, 2) + "), joints " + number_text(s.joint, 2) + " (" +
            number_text(s.joint_old, 2) + "); reported, not used\n";
    return text;
}

std::string fitted_overlay(const Recalibration& r, const std::vector<std::string>& approved, const std::string& by) {
    if (by.empty()) throw_value_error("by", "who approved", "\"\"");
    if (approved.empty()) throw_value_error("approved", "at least one family", "none", "name them after reading recalibration_text");
    detail::JsonWriter out;
    out.begin_object();
    out.member("schema", "libseal/catalogue/1");
    out.key("values");
    out.begin_object();
    for (const std::string& family : std::set<std::string>(approved.begin(), approved.end())) {
        const std::size_t row = approved_row(r, family);
        const auto i = static_cast<Eigen::Index>(row);
        out.key("sealant/" + family + "/median_life");
        out.begin_object();
        out.member("value", rounded(r.families.life[i]));
        out.member("unit", "yr");
        out.member("low", rounded(r.families.life_low[i]));
        out.member("high", rounded(r.families.life_high[i]));
        out.member("source", source_of(r, row, by));
        out.member("mark", to_text(Mark::fitted));
        out.end_object();
    }
    out.end_object();
    out.end_object();
    return out.take();
}

}  // namespace libseal
