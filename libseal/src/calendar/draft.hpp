#pragma once
// Visits before they have a day.

#include <array>
#include <map>
#include <memory>
#include <string>
#include <unordered_map>
#include <vector>

#include "calendar/shop_days.hpp"
#include "libseal/calendar/levelling.hpp"
#include "libseal/calendar/year.hpp"
#include "libseal/schedule/schedule.hpp"

namespace libseal::detail {

/// Trips and storage of one coach; nullptr: none.
using CoachDates = const std::vector<const OwnerDates*>*;

/// A visit that needs a day.
struct VisitDraft {
    Visit visit;                      ///< without days and bay
    Date preferred{};                 ///< day that the grouping chose
    Date price_from{};                ///< day of the first value of `price`
    std::vector<float> price;         ///< of the visit by day [minor units]; infinite: not on that day
    bool urgent = false;              ///< as early as possible
    double late_rate = 0;             ///< price of a day later than all that `price` speaks of [minor units]
    double hold_hours = 0;            ///< longest wait of the coach for a cure [h]
    std::shared_ptr<const WorkPlan> plan;  ///< of a work visit whose steps are to be scheduled
    const Visit* previous = nullptr;  ///< the same visit in the calendar before
    CoachDates dates = nullptr;
    int week = -1;                    ///< that levelling chose, index of the weeks of the year
};

/// What inspections need to know of a coach.
struct CoachFacts {
    std::string id, label, owner;
    Date inspect_by{};
    Minutes minutes;                  ///< of a look at all of it
    std::vector<std::string> flags;   ///< what was not inspected
};

/// What all parts of the making of a calendar look at.
struct YearFrame {
    YearFrame(const Shop& shop, const CalendarOptions& options, int year, Date as_of);
    const Shop& shop;
    const CalendarOptions& options;
    int year;
    Date as_of, first, last;  ///< first: the day after as_of or 1 January; last: 31 December
    ShopDays days;            ///< from the day after as_of to two months after the year
    Shop open;                ///< every day open to sealing: what is to be done does not depend on when
    std::vector<Shop> open_by_month;  ///< the same at the labour price of each month; empty if it is the same in all
    bool detailed = true;     ///< steps of each visit are scheduled
    std::map<std::string, std::vector<Finding>> findings;    ///< by coach
    std::map<std::string, std::vector<WorkDone>> work_done;
    std::map<std::string, std::vector<const OwnerDates*>> owner_dates;
    std::map<std::string, std::vector<const Visit*>> previous;  ///< what was sent out before and still lies ahead, by coach
    double set_up = 0;                 ///< of a visit [minor units]
    std::array<double, 5> risk_a_day{};  ///< price of a day on which a joint is due, by consequence class [minor units]

    CoachDates dates_of(const std::string& coach) const;
    /// Price of bringing a coach in on a day [minor units]; infinite where no bead may be laid or the coach is away.
    double set_up_on(CoachDates dates, Date day) const;
    double season(Date day) const;     ///< labour price of the day's month against the usual [-]
    const Shop& open_on(Date day) const;  ///< open to sealing, at the labour price of the day
};

/// The trip that a coach is on, nullptr for none.
const OwnerDates* trip_on(CoachDates dates, Date day);

/// Work visits of a coach: tasks of the year on the visits that cost least.
/// @param forecast  Rows of this coach alone.
std::vector<VisitDraft> work_drafts(const Coach& coach, const Forecast& forecast, const YearFrame& frame,
                                    std::vector<Unplaced>& unplaced);

CoachFacts facts_of(const Coach& coach, const Forecast& forecast, const YearFrame& frame);

/// The next inspection of a coach that no visit on `visit_days` replaces; kind "" if none falls into the
/// year.
VisitDraft inspection_draft(const CoachFacts& coach, const YearFrame& frame, const std::vector<Date>& visit_days, int number);

/// The weeks of the year with what they offer.
std::vector<Week> weeks_of_year(const YearFrame& frame);
/// Chooses a week for each work draft; cost, bound and gap go into the calendar.
void level_drafts(std::vector<VisitDraft>& drafts, const YearFrame& frame, Calendar& calendar);
/// Hours booked in each week of the calendar.
void count_hours(const YearFrame& frame, Calendar& calendar);

/// Minutes by day of a stay.
struct DayLoad {
    Date first{};
    std::vector<Minute> minutes;
    bool needs_heat = false;  ///< beads are laid on days on which only heated bays seal
    Date last() const { return first + static_cast<int>(minutes.size()) - 1; }
};

/// Bays and working time of the shop, day by day.
class Occupancy {
public:
    explicit Occupancy(const YearFrame& frame);
    /// A bay that is free on all days of the stay, -1 if none is or the people have no time left.
    int free_bay(const DayLoad& stay) const;
    /// Is any bay free on that day?
    bool any_bay(Date day) const;
    /// Is the coach not already here for another visit?
    bool coach_is_free(const std::string& coach, const DayLoad& stay) const;
    void take(const std::string& coach, int bay, const DayLoad& stay);

private:
    const YearFrame& frame_;
    std::vector<Bay> bays_;
    std::vector<std::vector<char>> taken_;  ///< by day, by bay
    std::vector<Minute> booked_;            ///< by day
    std::unordered_map<std::string, std::vector<std::pair<Date, Date>>> stays_;  ///< by coach, first and last day
};

/// Gives a draft its days, or notes why it has none. Returns false in that case.
/// @param draft  Its visit moves to the calendar.
bool place_draft(VisitDraft& draft, const YearFrame& frame, Occupancy& occupancy, Calendar& calendar);

/// Why a task is not done on its own best day, in words; "" if it is.
std::string why_moved(const VisitTask& task, const VisitDraft& draft, const Visit& visit, const YearFrame& frame);

/// Uids, sequence numbers, cancelled visits and the list of changes.
void carry_over(Calendar& calendar, const std::vector<const Visit*>& matched, const Calendar* previous);

/// Visit of the previous calendar that shares most joints, nullptr if none does.
const Visit* matching_visit(const YearFrame& frame, const Visit& visit);

}  // namespace libseal::detail
