#pragma once
// The year of a fleet: every visit, with its work, on days that the shop has.

#include <cstdint>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "libseal/calendar/part.hpp"
#include "libseal/calendar/visits.hpp"
#include "libseal/core/progress.hpp"
#include "libseal/forecast/forecast.hpp"

namespace libseal {

/// Something that must be done and found no place.
struct Unplaced {
    std::string coach;
    std::string joint;
    std::string action;
    Date due{};
    std::string constraint;  ///< what keeps it out, in words
    std::string relaxation;  ///< the cheapest change that would help, in words
};

/// People's hours of a week, booked and on offer.
struct Week {
    Date start{};             ///< Monday
    double booked = 0;        ///< of all visits [person-h], overtime included
    double capacity = 0;      ///< of the people in their shifts [person-h]
    double overtime = 0;      ///< booked beyond the capacity [person-h]
    double overtime_limit = 0;  ///< most overtime that the shop offers [person-h]
};

/// Visits of a fleet in one year.
struct Calendar {
    int year = 0;  ///< of the visits, as 2027
    Date as_of{};
    std::string shop;
    std::string currency;
    std::vector<Visit> visits;       ///< by first day, then coach; cancelled ones too
    std::vector<Unplaced> unplaced;
    std::vector<std::string> changes;  ///< against the previous calendar, in words
    std::vector<Week> weeks;         ///< in order, from the first to the last week with working time
    double moving_cost = 0;          ///< price of the weeks of the visits: life wasted, risk of water, overtime [currency]
    double bound = 0;                ///< no choice of weeks for the same visits costs less [currency]
    double gap = 0;                  ///< (moving_cost - bound) / moving_cost [-]; 0 if both are equal
    std::string closing;             ///< caution line to print under it

    /// iCalendar, as `icalendar_text`. The same bytes from every language.
    std::string ics_text(const IcalendarOptions& options = {}) const;
    /// One row a task of a visit, as `calendar_csv`.
    std::string csv_text() const;
    /// As `calendar_json`; reads back equal.
    std::string json_text() const;
    /// Writes `ics_text`. @throws FileError  with the path and the system's reason; then the file is as it was.
    /// @throws ValueError  as `icalendar_text`.
    void write_ics(const std::string& path, const IcalendarOptions& options = {}) const;
    /// Writes `csv_text`. @throws FileError  as above.
    void write_csv(const std::string& path) const;
    /// Writes `json_text`. @throws FileError  as above.
    void write_json(const std::string& path) const;
};

/// Optional inputs of `year_calendar`; the names are the keywords in Python.
struct CalendarOptions {
    std::vector<Finding> findings;
    std::vector<WorkDone> work_done;
    std::map<std::string, PlaceWeather> weather;  ///< own weather by place name of the stays; "" for all places
    const Calendar* previous = nullptr;      ///< the calendar sent out before, so that visits keep their uid
    Catalogue catalogue = Catalogue::built_in();
    std::shared_ptr<Session> session;        ///< of the forecast; null: nothing is kept
    std::uint64_t seed = 0;                  ///< of the typical years, schedules and weeks
    int work_limit = 40;                     ///< generated schedules a visit
    int earliest_days = 120;                 ///< how long before its due date work is worth doing [d]
    int latest_days = 0;                     ///< how long after its due date work that only the forecast asks for may wait [d]; the risk of water counts
    double longest_cure_wait = 72;           ///< that a coach may be held for a cure [h]; 0: no water tests
    std::vector<OwnerDates> owner_dates;     ///< trips and storage
    std::map<int, double> season_percent;    ///< labour price by month, 1 to 12, against the shop's rate [%]; months not named: 100
    int warranty_days = 0;                   ///< longest time between looks that a warranty allows [d]; 0: none
    double most_visit_hours = 0;             ///< of the tasks of a work visit, beside its set-up and tests [person-h]; 0: no limit. Longer work has its own
    double overtime_percent = 50;            ///< extra price of overtime, of the shop's rate [%]
    int detailed_coaches = 300;              ///< coaches up to which the steps of each visit are scheduled; more: its days follow from minutes and cures
    bool show_owners = false;
    int threads = 0;                         ///< 0: one per processor; no result depends on it
    Watch watch;
};

/// Forecasts the fleet and places the year's work and inspections on the shop's days.
///
/// @param fleet  Coaches as delivered; `work_done` brings them up to date.
/// @param year   1970 to 2200, not before the year of as_of, at most 49 after it.
/// @return       Visits without overlap of bays; what found no place is in `unplaced`, never dropped.
/// @throws ValueError  naming coach, joint and field.
/// @threads pure.
Calendar year_calendar(const Fleet& fleet, int year, const Shop& shop, Date as_of, const CalendarOptions& options = {});

/// The same from a forecast that is there already.
Calendar year_calendar(const Fleet& fleet, int year, const Shop& shop, const Forecast& forecast,
                       const CalendarOptions& options = {});

}  // namespace libseal
