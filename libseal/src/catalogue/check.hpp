#pragma once
// Faults of a catalogue with the ids that they are about, so that an overlay can say where it brought them in.

#include <map>
#include <string>
#include <vector>

#include "libseal/core/error.hpp"
#include "libseal/core/sourced.hpp"

namespace libseal::detail {

using CatalogueValues = std::map<std::string, SourcedValue, std::less<>>;

struct CatalogueFault {
    Problem problem;               ///< without a place
    std::vector<std::string> ids;  ///< values that together make the fault
};

/// All that is missing or contradicts itself, in order of the ids.
std::vector<CatalogueFault> catalogue_faults(const CatalogueValues& values);

}  // namespace libseal::detail
