#pragma once
// Ledger of comparisons with values from outside the project: how many values, from how many publications.

#include <string>

namespace libseal_test {

/// Notes that `values` numbers of publication `source` (for example "Reda2004") were compared in this run.
/// Call it beside the CHECKs; the summary line of the run is counted from these calls.
void count_published(const std::string& source, int values = 1);

int published_values();
int published_sources();

}  // namespace libseal_test
