#pragma once
// Visits before they have a day.

#include <map>
#include <string>
#include <vector>

#include "libseal/calendar/year.hpp"
#include "libseal/schedule/schedule.hpp"

namespace libseal::detail {

/// A visit that needs a day.
struct VisitDraft {
    const Coach* coach = nullptr;
    std::string kind;
    Window window;
    Date preferred{};
    bool urgent = false;  ///< as early as possible; else as late as the window allows
    WorkPlan plan;        ///< of a work visit
    Minutes minutes;      ///< of an inspection
    Cost cost;
    std::string why;
    std::vector<std::string> flags;
    const Visit* previous = nullptr;  ///< the same visit in the calendar before
    int number = 0;                   ///< of an inspection within the year
};

/// What all parts of the making of a calendar look at.
struct YearFrame {
    const Shop& shop;
    const Forecast& forecast;
    const CalendarOptions& options;
    int year;
    Date as_of, first, last;  ///< first: the day after as_of or 1 January; last: 31 December
};

/// Work visits of a coach: tasks of the year, grouped into as few visits as their windows allow.
std::vector<VisitDraft> work_drafts(const Coach& coach, const YearFrame& frame, std::vector<Unplaced>& unplaced);

/// The next inspection of a coach that no visit on `visit_days` replaces; kind "" if none falls into the
/// year.
VisitDraft inspection_draft(const Coach& coach, const YearFrame& frame, const std::vector<Date>& visit_days,
                       int number);

/// Bays and working time of the shop, day by day.
class Occupancy {
public:
    explicit Occupancy(const Shop& shop) : shop_(shop), bays_(static_cast<std::size_t>(shop.bays)) {}

    /// A bay that is free on all days of [first, last], -1 if none is or the people have no time left.
    int free_bay(Date first, Date last, const std::map<Date, Minute>& load) const;
    void take(int bay, Date first, Date last, const std::map<Date, Minute>& load);

private:
    Minute capacity(Date day) const;
    const Shop& shop_;
    std::vector<std::vector<Window>> bays_;
    std::map<Date, Minute> load_;
};

/// Gives a draft its days, or notes why it has none. Returns false in that case.
bool place_draft(const VisitDraft& draft, const YearFrame& frame, Occupancy& occupancy, Calendar& calendar);

/// Uids, sequence numbers, cancelled visits and the list of changes.
void carry_over(Calendar& calendar, const std::vector<const Visit*>& matched, const Calendar* previous);

/// Visit of the previous calendar that shares most joints, nullptr if none does.
const Visit* matching_visit(const Calendar* previous, const std::string& kind, const std::string& coach,
                            const std::vector<Task>& tasks, Date as_of);

}  // namespace libseal::detail
