#pragma once
// What a traced leak means, in words, and what to test first.

#include <vector>

#include "leak/model.hpp"
#include "libseal/survey/finding.hpp"

namespace libseal::detail {

/// Ranks, explains and orders the tests.
LeakTrace told(const LeakInputs& inputs, const LeakModel& model, const CauseAnswer& answer, const std::vector<Finding>& findings,
               std::size_t most);

}  // namespace libseal::detail
