#pragma once
// Which looks are worth their minutes.

#include <vector>

namespace libseal::detail {

/// A look that may be made.
struct LookCandidate {
    double value = 0;    ///< what it brings [bit], weighted or not
    double minutes = 0;  ///< > 0
    bool roof = false;
    bool always = false; ///< overdue
};

/// What looking costs beside the looks themselves.
struct LookCosts {
    double fixed = 0;         ///< once [min]
    double roof_set_up = 0;   ///< once if anything on the roof is looked at [min]
    double budget = 0;        ///< [min]; infinity: no limit
    double least_rate = 0;    ///< worth of a minute [bit/min]
};

/// Whether each candidate is chosen: those that are always, and of the others the ones whose value less the worth of all
/// minutes is largest within the budget. By value per minute, what does not fit being passed over, then improved by
/// branch and bound for a fixed number of steps. Ties: the earlier candidate.
std::vector<bool> choose_looks(const std::vector<LookCandidate>& candidates, const LookCosts& costs);

}  // namespace libseal::detail
