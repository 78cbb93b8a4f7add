#pragma once
// Visits: which work is done together, and when.

#include <functional>
#include <string>
#include <vector>

#include "libseal/work/plan.hpp"

namespace libseal {

/// Days between which something must happen, both counted.
struct Window {
    Date earliest{};
    Date latest{};
};

/// Days of visits, and which window each serves.
struct Grouping {
    std::vector<Date> days;   ///< in order
    std::vector<int> day_of;  ///< per window, index into `days` or -1
};

/// Groups windows into as few days as possible.
///
/// Takes windows by their latest day; a window without a chosen day inside gets the last allowed day that it has.
/// That is optimal for intervals (each chosen day closes a window that no other choice could share better).
///
/// @param windows  Any order; empty windows (latest before earliest) get no day.
/// @param allowed  May a visit be on this day? nullptr: every day.
/// @return  Days, and for each window the one that serves it, or -1 if no allowed day lies inside.
Grouping group_windows(const std::vector<Window>& windows, const std::function<bool(Date)>& allowed = nullptr);

/// A piece of work on a visit.
struct VisitTask {
    std::string joint;
    std::string layer;
    int generation = 1;
    std::string action;
    std::string family;     ///< "" for none
    Date due{};
    std::string urgency;
    std::string reason;
    bool late = false;      ///< done after its due date
};

/// A coach at the shop, on one day or several in a row.
struct Visit {
    std::string uid;        ///< stable: the same in every run as long as it is the same visit
    int sequence = 0;       ///< raised by each change
    bool cancelled = false; ///< was in the previous calendar and is no longer needed
    std::string kind;       ///< "work" or "inspection"
    std::string coach;
    std::string label;      ///< of the coach, for people
    std::string owner;      ///< "" unless asked for
    Date first{};           ///< first day
    Date last{};            ///< last day
    int bay = 0;            ///< from 0
    Window window;          ///< days between which it had to begin
    std::vector<VisitTask> tasks;
    Minutes minutes;        ///< person-minutes
    Cost cost;              ///< with tax
    std::string why;        ///< in words
    std::vector<std::string> flags;     ///< late, long, ...; in words
    std::vector<std::string> cautions;  ///< texts
};

/// Uid of a visit: two 64-bit FNV-1a hashes of coach, joint and generation of its first task, in hexadecimal.
/// @param kind  "work" or "inspection".  @param generation  For inspections the year and their number in it.
/// @source  Fowler, Noll & Vo, FNV-1a, IETF draft-eastlake-fnv; the second hash runs over the text backwards.
std::string visit_uid(const std::string& kind, const std::string& coach, const std::string& joint, int generation);

}  // namespace libseal
