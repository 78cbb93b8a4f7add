#pragma once
// Comparisons that docs/exposure.md lists: checked here, and noted in a file if one is named.

#include <cmath>
#include <cstdlib>
#include <fstream>
#include <string>

#include "libseal/core/text.hpp"
#include "support/catch.hpp"

namespace libseal_test {

/// Checks that `ours` is within `tolerance` of `published`. If the environment names a file in LIBSEAL_RECORD, a line
/// "check | published | ours | tolerance" is added to it: the table of docs/exposure.md.
inline void check_and_record(const std::string& what, double published, double ours, double tolerance, int decimals = 3) {
    INFO(what);
    CHECK(ours == Approx(published).margin(tolerance).epsilon(0));
    if (const char* name = std::getenv("LIBSEAL_RECORD")) {
        const auto text = [&](double v) { return libseal::number_text(v, decimals); };
        std::ofstream(name, std::ios::app) << "| " << what << " | " << text(published) << " | " << text(ours) << " | "
                                           << libseal::number_text(std::round(tolerance * 1e6) / 1e6) << " |\n";
    }
}

/// The same for the worst of several deviations: below a limit.
inline void check_worst_and_record(const std::string& what, double worst, double limit) {
    INFO(what);
    CHECK(worst <= limit);
    if (const char* name = std::getenv("LIBSEAL_RECORD"))
        std::ofstream(name, std::ios::app) << "| " << what << " | 0 | " << libseal::number_text(worst, 4) << " | "
                                           << libseal::number_text(limit) << " |\n";
}

}  // namespace libseal_test
