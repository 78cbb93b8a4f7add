#pragma once
// What steps of each kind need, and which cautions ask for a skill: read once per catalogue.

#include <string>
#include <vector>

#include "catalogue/tables.hpp"

namespace libseal::detail {

/// "step/KIND/..."
struct StepNeeds {
    std::string gate, gate_aloft;    ///< "" for none
    std::vector<std::string> tools;
};

/// "caution/ID/skill..."
struct CautionSkill {
    std::string skill;
    std::vector<std::string> steps;  ///< kinds that need it
};

struct StepTables {
    explicit StepTables(const Catalogue& catalogue);
    /// nullptr if the catalogue says nothing of the kind.
    const StepNeeds* needs(const std::string& kind) const;
    /// nullptr if the caution asks for no skill.
    const CautionSkill* skill(const std::string& caution) const;

private:
    ByName<StepNeeds> needs_;
    ByName<CautionSkill> skills_;
};

}  // namespace libseal::detail
