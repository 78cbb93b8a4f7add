#pragma once
// What can hurt people or coach, printed with every plan.

#include <string>
#include <vector>

#include "libseal/work/steps.hpp"

namespace libseal {

/// A warning in words.
struct Caution {
    std::string id;    ///< "fall_from_roof", ...; "caution/ID/..." in the catalogue
    std::string text;
};

/// Ids that apply to a step at a joint, in order.
std::vector<std::string> cautions_for(const Step& step, const Joint& joint, const Catalogue& catalogue);
/// Texts of ids. @throws ValueError  for an id that the catalogue does not have.
std::vector<Caution> caution_texts(const std::vector<std::string>& ids, const Catalogue& catalogue);
/// The line under every plan.
std::string closing_line(const Catalogue& catalogue);

}  // namespace libseal
