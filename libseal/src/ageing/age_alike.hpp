#pragma once
// Catalogues whose clocks are the same.

#include "libseal/catalogue/catalogue.hpp"

namespace libseal::detail {

/// Whether layers age and joints move alike under both: no clock reads how long a family lives.
bool age_alike(const Catalogue& a, const Catalogue& b);

}  // namespace libseal::detail
