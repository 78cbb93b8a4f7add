#pragma once
// What a search can end with.

#include <string>

namespace libseal {

/// What a search found. Not an error: a call that was wrong throws.
enum class Outcome { optimal, feasible, infeasible, none_found, cancelled };
std::string to_text(Outcome outcome);

}  // namespace libseal
