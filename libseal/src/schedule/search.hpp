#pragma once
// Search over orders of jobs and coaches; exhaustive for small plans.

#include "libseal/core/progress.hpp"
#include "schedule/bound.hpp"

namespace libseal::detail {

struct ShopSearch {
    ShopDraft best;
    bool found = false;        ///< best is a schedule without broken waits and ends
    bool proved = false;       ///< nothing better exists in urgent, late and stay
    bool cancelled = false;
    std::string stopped;
    int generated = 0;
};

/// Large neighbourhoods over start times as keys, each promising child justified once, warm for a running plan.
/// @source  ShopKeys and windows: recipe of our own, docs/schedule.md; justification: Valls, Ballestin & Quintanilla 2005.
ShopSearch search_shop(const Jobs& jobs, ShopHours& hours, const ShopBound& bound, const ScheduleOptions& options);

/// Every order that matters, of starts that never fall, with every team. Nodes are counted, a hundred to a schedule.
/// @param best  a schedule or none at first; the best at the end.
/// @return      true if nothing better than `best` exists.
/// @source  Precedence tree: Patterson, Slowinski, Talbot & Weglarz 1989, in Advances in Project Scheduling.
bool exhaust(const Jobs& jobs, ShopHours& hours, ShopDraft& best, bool& found, int nodes, const Watch& watch);

/// Small enough to be searched exhaustively?
bool is_small(const Jobs& jobs);

/// The parts of a score that a proof speaks of.
bool proved_by(const ScheduleScore& score, const ScheduleScore& bound);

}  // namespace libseal::detail
