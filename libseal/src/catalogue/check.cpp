#include "catalogue/check.hpp"

#include <cmath>
#include <set>

#include "core/problem.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

struct Needed {
    const char* name;
    bool word;
};

const std::vector<Needed> of_sealant = {{"weight_light", false},
                                        {"weight_heat", false},
                                        {"weight_moisture", false},
                                        {"energy_light", false},
                                        {"energy_heat", false},
                                        {"energy_moisture", false},
                                        {"light_exponent", false},
                                        {"humidity_exponent", false},
                                        {"home", true},
                                        {"median_life", false},
                                        {"cure_rate", false},
                                        {"skin_hours", false},
                                        {"first_water_hours", false},
                                        {"lowest_temperature", false},
                                        {"highest_temperature", false},
                                        {"cured_share", false},
                                        {"package_ml", false},
                                        {"movement_capability", false},
                                        {"levels_itself", true},
                                        {"old_only", true},
                                        {"movement_b", false},
                                        {"movement_c", false},
                                        {"movement_d", false}};
const std::vector<Needed> of_finish = {{"absorptance", false}, {"emittance", false}};
const std::vector<Needed> of_substrate = {
    {"expansion", false}, {"expansion_cv", false}, {"absorbent", true}, {"clean_with", true}, {"avoid", true}};
/// Beyond these limits a number of the model means nothing: chances above 1, spreads of 0.
struct Limits {
    const char* id;
    double low, high;
    bool above_low;  ///< the lower limit itself is out
};
const std::vector<Limits> of_model = {{"model/shape", 0, 1e3, true},
                                      {"model/log_sd", 0, 5, false},
                                      {"model/early_defects_per_m", 0, 1e3, false},
                                      {"model/early_time", 0, 1e3, true},
                                      {"model/target_probability", 0, 1, false},
                                      {"model/look_sd", 0, 1e3, true},
                                      {"model/look_sd_measured", 0, 1e3, true},
                                      {"model/look_detection", 0, 1, false},
                                      {"model/look_stray", 0, 1, false},
                                      {"model/clean_look_detection", 0, 1, false},
                                      {"model/contradiction_weight", 0, 1, false},
                                      {"model/cut_grade_1", 0, 1, true},
                                      {"model/appearance_cut_1", 0, 1, true},
                                      {"model/cap_failed_grade", 1, 5, false},
                                      {"model/moisture_open_sd", 0, 1e3, true},
                                      {"model/moisture_closed_sd", 0, 1e3, true},
                                      {"model/moisture_elsewhere", 0, 1, false},
                                      {"inspection/longest_days", 1, 36525, false}};
// A law of its own is there whole or not at all.
const std::vector<std::string> set_law = {"set_exponent", "set_rate", "set_energy", "set_limit"};
const std::vector<std::string> shrink_law = {"shrink_final", "shrink_limit", "shrink_rate", "shrink_energy"};

class Checker {
public:
    explicit Checker(const CatalogueValues& values) : values_(values) {}

    std::vector<CatalogueFault> run() {
        for (const auto& [id, value] : values_) check_entry(id, value);
        each("sealant", of_sealant, [this](const std::string& base) { check_family(base); });
        each("finish", of_finish, [this](const std::string& base) {
            check_share(base + "absorptance");
            check_share(base + "emittance");
        });
        each("substrate", of_substrate, [](const std::string&) {});
        check_weights("model/appearance_weight_");
        for (const Limits& limits : of_model) check_limits(limits);
        if (const double grade = number("model/cap_failed_grade"); grade != std::floor(grade))
            fault({"model/cap_failed_grade"}, "model/cap_failed_grade", "a whole grade", number_text(grade));
        const std::string water = "meaning/water/";
        for (auto it = values_.lower_bound(water); it != values_.end() && it->first.starts_with(water); ++it)
            if (it->first.ends_with("/seen_if_open") || it->first.ends_with("/seen_if_closed")) check_share(it->first);
        for (int k = 1; k < 5; ++k)
            check_rising("model/cut_grade_" + std::to_string(k), "model/cut_grade_" + std::to_string(k + 1));
        return std::move(faults_);
    }

private:
    const SourcedValue* find(const std::string& id) const {
        const auto found = values_.find(id);
        return found == values_.end() ? nullptr : &found->second;
    }
    double number(const std::string& id) const {
        const SourcedValue* value = find(id);
        return value ? value->value : std::nan("");
    }
    void fault(std::vector<std::string> ids, const std::string& field, const std::string& expected, const std::string& got,
               const std::string& hint = "") {
        faults_.push_back({field_problem(field, expected, got, hint), std::move(ids)});
    }

    void check_entry(const std::string& id, const SourcedValue& value) {
        if (value.source.empty()) fault({id}, id, "where the value is from", "nothing");
        if (value.unit == "word") return;
        if (value.low > value.value || value.value > value.high)
            fault({id}, id, "low <= value <= high",
                  number_text(value.low) + ", " + number_text(value.value) + ", " + number_text(value.high));
    }

    template <class Check>
    void each(const std::string& first, const std::vector<Needed>& needed, Check check) {
        std::set<std::string> bases;
        const std::string prefix = first + "/";
        for (auto it = values_.lower_bound(prefix); it != values_.end() && it->first.starts_with(prefix); ++it)
            bases.insert(it->first.substr(0, it->first.find('/', prefix.size()) + 1));
        for (const auto& base : bases) {
            bool whole = true;
            for (const auto& [name, word] : needed) whole = check_needed(base + name, word) && whole;
            if (whole) check(base);
        }
    }

    bool check_needed(const std::string& id, bool word) {
        const SourcedValue* value = find(id);
        if (value && (value->unit == "word") == word) return true;
        fault({id}, id, word ? "a word" : "a number", value ? (word ? "a number" : "a word") : "nothing");
        return false;
    }

    void check_family(const std::string& base) {
        check_weights(base + "weight_");
        check_one_of(base + "home", {"roof", "walls"});
        check_one_of(base + "levels_itself", {"yes", "no"});
        check_one_of(base + "old_only", {"yes", "no"});
        for (const char* energy : {"energy_light", "energy_heat", "energy_moisture", "median_life"})
            if (!(number(base + energy) > 0))
                fault({base + energy}, base + energy, "a number above 0", number_text(number(base + energy)));
        if (!(number(base + "lowest_temperature") < number(base + "highest_temperature")))
            fault({base + "lowest_temperature", base + "highest_temperature"}, base + "lowest_temperature",
                  "below highest_temperature", number_text(number(base + "lowest_temperature")));
        if (check_law(base, set_law)) check_share(base + "set_limit");
        if (check_law(base, shrink_law) && !(number(base + "shrink_limit") < number(base + "shrink_final")))
            fault({base + "shrink_limit", base + "shrink_final"}, base + "shrink_limit",
                  "below shrink_final, else it is never reached", number_text(number(base + "shrink_limit")));
    }

    /// @param prefix  Up to "weight_".
    void check_weights(const std::string& prefix) {
        const double light = number(prefix + "light"), heat = number(prefix + "heat"), moisture = number(prefix + "moisture");
        const double sum = light + heat + moisture;
        if (std::abs(sum - 1) <= 1e-9) return;
        fault({prefix + "light", prefix + "heat", prefix + "moisture"}, prefix + "*",
              "weights of light, heat and moisture that sum to 1",
              number_text(light) + " + " + number_text(heat) + " + " + number_text(moisture) + " = " + number_text(sum),
              "change all three in one overlay");
    }

    bool check_law(const std::string& base, const std::vector<std::string>& law) {
        std::vector<std::string> present, ids;
        std::string missing;
        for (const auto& name : law) {
            ids.push_back(base + name);
            if (find(base + name))
                present.push_back(name);
            else if (missing.empty())
                missing = base + name;
        }
        if (present.empty()) return false;
        if (missing.empty()) return true;
        fault(ids, missing, "all values of the law", "only a part of them");
        return false;
    }

    void check_share(const std::string& id) {
        if (!(number(id) > 0 && number(id) < 1)) fault({id}, id, "a share between 0 and 1", number_text(number(id)));
    }

    void check_limits(const Limits& limits) {
        const double value = number(limits.id);
        if (value <= limits.high && (limits.above_low ? value > limits.low : value >= limits.low)) return;
        fault({limits.id}, limits.id,
              (limits.above_low ? "a number above " : "a number from ") + number_text(limits.low) + (limits.above_low ? ", at most " : " to ") +
                  number_text(limits.high),
              number_text(value));
    }

    void check_one_of(const std::string& id, const std::vector<std::string>& allowed) {
        const std::string& word = find(id)->text;
        std::string list;
        for (const auto& name : allowed) {
            if (word == name) return;
            list += (list.empty() ? "" : " or ") + name;
        }
        fault({id}, id, list, "\"" + word + "\"");
    }

    void check_rising(const std::string& lower, const std::string& upper) {
        if (!(number(lower) < number(upper)))
            fault({lower, upper}, lower, "below " + upper, number_text(number(lower)) + " and " + number_text(number(upper)));
    }

    const CatalogueValues& values_;
    std::vector<CatalogueFault> faults_;
};

}  // namespace

std::vector<CatalogueFault> catalogue_faults(const CatalogueValues& values) { return Checker(values).run(); }

}  // namespace libseal::detail
