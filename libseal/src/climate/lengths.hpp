#pragma once
// Columns that go together must be of one length.

#include <string>

#include "libseal/core/columns.hpp"
#include "libseal/core/error.hpp"

namespace libseal::detail {

/// @throws ValueError  naming the column, unless it has n values.
inline void require_length(Eigen::Index got, Eigen::Index n, const char* name) {
    if (got != n)
        throw_value_error(name, std::to_string(n) + " values, one per interval", std::to_string(got),
                          "fill a column that is not known with NaN");
}

}  // namespace libseal::detail
