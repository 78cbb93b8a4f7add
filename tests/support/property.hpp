#pragma once
// Properties on generated cases. Case and seed of a failure are printed; the seed goes to properties/found_seeds.txt, from where
// it is tried first in every run.

#include <cstdint>
#include <string>

#include <rapidcheck.h>

#include "support/catch.hpp"

namespace libseal_test {

/// Parameters of one run of a property.
rc::detail::TestParams property_params(std::uint64_t seed, int cases);
/// Seeds of found_seeds.txt under this name, then that of the run: LIBSEAL_PROPERTY_SEED, else always the same.
std::vector<std::uint64_t> property_seeds(const std::string& name);
/// Times `cases`: LIBSEAL_PROPERTY_FACTOR, else 1.
int property_cases(int cases);

/// Whether a property holds for so many generated cases. `property` is a function of generated arguments that asks RC_ASSERT.
template <class Property>
void check_property(const std::string& name, int cases, Property&& property) {
    for (const std::uint64_t seed : property_seeds(name)) {
        const auto result = rc::detail::checkTestable(property, rc::detail::TestMetadata{name, name}, property_params(seed, property_cases(cases)));
        if (result.template is<rc::detail::SuccessResult>()) continue;
        rc::detail::printResultMessage(result, std::cerr);
        FAIL(name << ": fails with seed " << seed << "; the case stands above. Keep \"" << seed << " " << name << "\" in tests/properties/found_seeds.txt");
    }
    SUCCEED(name);
}

}  // namespace libseal_test
