#include "work/step_tables.hpp"

#include "work/planning.hpp"

namespace libseal::detail {
namespace {

/// "" for "none" and for what is not there.
std::string optional_word(const Catalogue& catalogue, const std::string& id) {
    return catalogue.has(id) && catalogue.word(id) != "none" ? catalogue.word(id) : "";
}

}  // namespace

StepTables::StepTables(const Catalogue& catalogue) {
    for (const std::string& kind : catalogue.names("step")) {
        const std::string base = "step/" + kind + "/";
        needs_[kind] = {optional_word(catalogue, base + "gate"), optional_word(catalogue, base + "gate_aloft"), listed_words(catalogue, base + "tools")};
    }
    for (const std::string& caution : catalogue.names("caution")) {
        const std::string base = "caution/" + caution + "/skill", skill = optional_word(catalogue, base);
        if (!skill.empty()) skills_[caution] = {skill, listed_words(catalogue, base + "_steps")};
    }
}

const StepNeeds* StepTables::needs(const std::string& kind) const {
    const auto found = needs_.find(kind);
    return found == needs_.end() ? nullptr : &found->second;
}

const CautionSkill* StepTables::skill(const std::string& caution) const {
    const auto found = skills_.find(caution);
    return found == skills_.end() ? nullptr : &found->second;
}

}  // namespace libseal::detail
