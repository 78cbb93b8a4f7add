#pragma once
// Lives that are no closed form: formulas and tables.

#include <functional>
#include <memory>

#include "libseal/core/columns.hpp"
#include "life/law_body.hpp"

namespace libseal::detail {

/// @throws ValueError  as the constructor of LifeLaw says.
std::shared_ptr<const LawBody> formula_body(std::function<double(double)> survival, std::function<double(double)> density);
/// @throws ValueError  as LifeLaw::table says.
std::shared_ptr<const LawBody> table_body(ConstColumn age, ConstColumn survival);

}  // namespace libseal::detail
