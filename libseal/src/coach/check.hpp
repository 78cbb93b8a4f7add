#pragma once
// What is wrong with a coach, found once for callers and files alike.

#include <string>
#include <vector>

#include "libseal/coach/coach.hpp"
#include "libseal/core/error.hpp"

namespace libseal::detail {

/// Problems with `field` as a path such as "joints[3].layers[0].family"; at most 50.
std::vector<Problem> coach_problems(const Coach& coach, const Catalogue& catalogue);

/// Kinds of coach.
const std::vector<std::string>& coach_kinds();

}  // namespace libseal::detail
