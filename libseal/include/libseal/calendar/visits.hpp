#pragma once
// Visits: which work is done together, and when.

#include <string>
#include <vector>

#include "libseal/work/plan.hpp"

namespace libseal {

/// Days between which something must happen, both counted.
struct Window {
    Date earliest{};
    Date latest{};
};

/// A piece of work that may go to one visit or another.
struct VisitWork {
    std::string id;             ///< echoed in errors
    std::vector<double> penalty;  ///< price of doing it on each of the days [unit of cost]; infinite: not on that day
    double hours = 0;           ///< for limits of visits [h]
};

/// Optional inputs of `best_visits`; the names are the keywords in Python.
struct VisitOptions {
    double most_hours = 0;      ///< of one visit [h]; 0: no limit. Longer work has a visit of its own
    Watch watch;
};

/// The visits with the least set-ups and penalties.
struct VisitPlan {
    std::vector<int> days;      ///< of the visits, indices into the days, in order
    std::vector<int> visit_of;  ///< per work, index into `days`; -1: possible on no day
    std::vector<int> best_day;  ///< per work, its own best day, as if it were alone; the last one of equals; -1: none
    double cost = 0;            ///< set-ups and penalties [unit of cost]
    double bound = 0;           ///< no visits cost less [unit of cost]; below `cost` only with a limit of hours or a valley too many
    bool exact = true;          ///< cost is the least there is
};

/// Chooses days for visits, and a visit for each work, so that set-ups and penalties cost least.
///
/// F(q) = S(q) + min over p < q of [F(p) + sum of min(h_i(p), h_i(q)) over works with p < t_i <= q], t_i the best day of work i:
/// with one valley per penalty (falling to t_i, rising behind) a work is done at one of the two visits next to t_i, so the
/// result is exact. Penalties with more valleys are allowed; then `exact` is false. With a limit of hours the works that
/// are cheapest to move leave visits that are too long; then `bound` is the cost without the limit. Of plans that cost the
/// same the one with later visits is taken.
///
/// @param works   Penalties of one length, one value a day; not NaN, not below zero.
/// @param set_up  Price of a visit on each day. [unit of cost]; infinite: no visit on that day. Season, shop prices, closed days.
/// @throws ValueError  lengths that differ, NaN, below zero.
/// @source  Own program on visit days after Wildeman, Dekker & Smit, EJOR 99 (1997) 530-551, who cut the works, sorted by their best
///          days, into groups; that is not always the least cost. Checked against all choices of days.
/// @threads pure.
VisitPlan best_visits(const std::vector<VisitWork>& works, const std::vector<double>& set_up, const VisitOptions& options = {});

/// The steady cycle of visits on which each work is done every so many times.
struct VisitCycle {
    double interval = 0;            ///< between visits [unit of time of the rates]
    std::vector<int> every;         ///< work i is done on each every[i]-th visit
    double cost_rate = 0;           ///< set-ups, works and losses [unit of cost/unit of time]
};

/// The cycle that costs least: set_up / T + sum of cost_i / (k_i T) + loss_i k_i T / 2.
///
/// Exact: between the intervals T at which some k_i changes the least cost has a closed form, and all are looked at. [any unit of cost, any unit of time]
/// @param set_up  Price of a visit. [unit of cost], >= 0.   @param cost  Price of each work. [unit of cost], >= 0.
/// @param loss    Growth of each work's loss rate with its age. [unit of cost/unit of time^2], > 0 (holding cost of the replenishment problem).
/// @param most    Largest multiple, 1 to 100.
/// @throws ValueError  lengths that differ, nothing to do, values out of range.
/// @source  Joint replenishment, Goyal 1974 (Management Science 20, 1127-1133), from memory.
/// @threads pure.
VisitCycle best_cycle(double set_up, const std::vector<double>& cost, const std::vector<double>& loss, int most = 8);

/// Days on which a coach cannot be had, or is easier to have.
struct OwnerDates {
    std::string coach;
    Date from{};                 ///< first day
    Date to{};                   ///< day after the last
    std::string kind = "trip";   ///< "trip": away, no visit; "storage": it stands near the shop
    double set_up_percent = 100; ///< of the set-up of a visit while in storage [%], 0 to 1000: below 100 where nobody has to bring it
    std::string reason;          ///< in words, for people
};

/// A piece of work on a visit.
struct VisitTask {
    std::string joint;
    std::string layer;
    int generation = 1;     ///< of the layer that the work is about, from 1
    std::string action;
    std::string family;     ///< "" for none
    Date due{};
    std::string urgency;
    std::string reason;
    bool late = false;      ///< done after its due date
    Date best_date{};       ///< own best day: least worth of life wasted and least risk of water, as if it were the only work; day 0: not known
    std::string moved{};      ///< why it is done on another day, in words; "" if it is not
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
    std::vector<double> day_minutes;    ///< booked on each day from first to last [person-min]
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
