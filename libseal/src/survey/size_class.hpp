#pragma once
// From a measure or a word to the size class of a sign, 0 to 5, by the rows of the catalogue.

#include "libseal/catalogue/catalogue.hpp"
#include "libseal/coach/joint.hpp"
#include "libseal/survey/finding.hpp"

namespace libseal::detail {

/// Size class S of a finding.
/// @throws ValueError  for a value on a sign that has no such measure.
int size_class(const Finding& finding, const Catalogue& catalogue);

/// Was the sign there? "none" and a measure of 0 say that it was looked for in vain, but no thickness left is the worst there is.
bool is_there(const Finding& finding, const Catalogue& catalogue);

/// Quantity class Q of a share of length [-]; the catalogue's class for "not noted" where it is NaN.
int quantity_class(double share, const Catalogue& catalogue);

}  // namespace libseal::detail
