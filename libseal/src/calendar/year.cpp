#include "libseal/calendar/year.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "calendar/draft.hpp"
#include "calendar/fleet_work.hpp"
#include "libseal/calendar/icalendar.hpp"
#include "libseal/calendar/owner_dates.hpp"
#include "libseal/calendar/tables.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "libseal/survey/read.hpp"

namespace libseal {
namespace {

using detail::CoachFacts;
using detail::Making;
using detail::VisitDraft;
using detail::YearFrame;

constexpr int most_years_ahead = 49;  ///< a forecast reaches 50
constexpr int most_looks = 99;  ///< of a coach in a year

void check_inputs(int year, const Shop& shop, Date as_of, const CalendarOptions& options) {
    check_shop(shop);
    if (year < 1970 || year > 2200) throw_value_error("year", "1970 to 2200", std::to_string(year));
    if (make_date(year, 12, 31) <= as_of)
        throw_value_error("year", "a year that is not over on " + to_text(as_of), std::to_string(year));
    if (year > year_month_day(as_of).year + most_years_ahead)
        throw_value_error("year", "a year at most " + std::to_string(most_years_ahead) + " after " + to_text(as_of), std::to_string(year), "no forecast reaches further");
    if (options.earliest_days < 0) throw_value_error("earliest_days", "not below zero", std::to_string(options.earliest_days));
    if (options.latest_days < 0) throw_value_error("latest_days", "not below zero", std::to_string(options.latest_days));
    if (options.work_limit < 1) throw_value_error("work_limit", "at least 1", std::to_string(options.work_limit));
    if (options.detailed_coaches < 0) throw_value_error("detailed_coaches", "not below zero", std::to_string(options.detailed_coaches));
    if (options.warranty_days < 0) throw_value_error("warranty_days", "not below zero", std::to_string(options.warranty_days));
    if (!(options.most_visit_hours >= 0))
        throw_value_error("most_visit_hours", "not below zero", number_text(options.most_visit_hours));
    if (!(options.overtime_percent >= 0 && options.overtime_percent <= 1000))
        throw_value_error("overtime_percent", "0 to 1000", number_text(options.overtime_percent));
    for (const auto& [month, percent] : options.season_percent) {
        if (month < 1 || month > 12) throw_value_error("season_percent", "months 1 to 12", std::to_string(month));
        if (!(percent > 0 && percent <= 1000)) throw_value_error("season_percent", "above 0, at most 1000", number_text(percent));
    }
}

/// Urgent work first, then what keeps its day, then by the end of the window.
void sort_drafts(std::vector<VisitDraft>& drafts) {
    const auto kept = [](const VisitDraft& draft) { return draft.previous && draft.preferred == draft.previous->first; };
    std::stable_sort(drafts.begin(), drafts.end(), [&](const VisitDraft& a, const VisitDraft& b) {
        if (a.urgent != b.urgent) return a.urgent;
        if (kept(a) != kept(b)) return kept(a);
        if (a.visit.window.latest != b.visit.window.latest) return a.visit.window.latest < b.visit.window.latest;
        return a.visit.coach < b.visit.coach;
    });
}

/// Is the coach out of reach all through the window of a look, and its next visit, which is a look too, the first chance?
bool visit_comes_first(const VisitDraft& look, const YearFrame& frame, const std::vector<Date>& visit_days) {
    Date day = look.visit.window.earliest;
    while (day <= frame.last && (!frame.days.works(day) || detail::trip_on(look.dates, day))) day = day + 1;
    return std::any_of(visit_days.begin(), visit_days.end(),
                       [&](Date visit) { return look.visit.window.latest < visit && visit <= day; });
}

void place_inspections(const Making& making, const YearFrame& frame, detail::Occupancy& occupancy, Calendar& calendar,
                       std::vector<const Visit*>& matched) {
    std::map<std::string, std::vector<Date>> visit_days;
    for (const Visit& visit : calendar.visits) visit_days[visit.coach].push_back(visit.first);
    int interval = static_cast<int>(frame.options.catalogue.number("inspection/base_days"));
    if (frame.options.warranty_days > 0) interval = std::min(interval, frame.options.warranty_days);
    for (CoachFacts coach : making.facts) {
        std::vector<Date>& days = visit_days[coach.id];
        for (int number = 1;; ++number) {
            std::sort(days.begin(), days.end());
            VisitDraft draft = detail::inspection_draft(coach, frame, days, number);
            if (draft.visit.kind.empty()) break;
            if (number > most_looks) {
                calendar.unplaced.push_back({coach.id, "", "inspection", draft.visit.window.latest,
                                             "a calendar holds at most " + std::to_string(most_looks) + " looks at a coach", "more days between the looks of the warranty"});
                break;
            }
            if (visit_comes_first(draft, frame, days)) {
                days.push_back(draft.visit.window.latest);
                continue;
            }
            if (!place_draft(draft, frame, occupancy, calendar)) break;
            matched.push_back(draft.previous);
            days.push_back(calendar.visits.back().first);
            coach.inspect_by = days.back() + interval;  // a late look is a look
        }
    }
}

/// Weeks, days, inspections, changes.
void finish(Making& making, const YearFrame& frame, Calendar& calendar) {
    calendar.unplaced = std::move(making.unplaced);
    sort_drafts(making.drafts);
    detail::level_drafts(making.drafts, frame, calendar);
    detail::Occupancy occupancy(frame);
    std::vector<const Visit*> matched;
    ProgressReporter reporter(frame.options.watch, "days of the year");
    for (std::size_t i = 0; i < making.drafts.size(); ++i) {
        if (place_draft(making.drafts[i], frame, occupancy, calendar)) matched.push_back(making.drafts[i].previous);
        making.drafts[i].plan.reset();
        reporter.tick(static_cast<double>(i + 1) / static_cast<double>(making.drafts.size()));
    }
    place_inspections(making, frame, occupancy, calendar, matched);
    detail::carry_over(calendar, matched, frame.options.previous);
    std::stable_sort(calendar.visits.begin(), calendar.visits.end(), [](const Visit& a, const Visit& b) {
        if (a.first != b.first) return a.first < b.first;
        return a.coach != b.coach ? a.coach < b.coach : a.uid < b.uid;
    });
    detail::count_hours(frame, calendar);
}

/// Owners as this calendar was asked for, also of visits carried over from one that was asked otherwise.
void name_owners(Calendar& calendar, const Fleet& fleet, bool show_owners) {
    std::map<std::string, std::string> owners;
    for (const Coach& coach : fleet.coaches) owners[coach.id] = coach.owner;
    for (Visit& visit : calendar.visits) {
        if (const auto at = owners.find(visit.coach); at != owners.end()) visit.owner = at->second;
        if (!show_owners) visit.owner.clear();
    }
}

Calendar empty_calendar(int year, const Shop& shop, Date as_of, const CalendarOptions& options) {
    Calendar calendar;
    calendar.year = year;
    calendar.as_of = as_of;
    calendar.shop = shop.name;
    calendar.currency = shop.currency;
    calendar.closing = closing_line(options.catalogue);
    return calendar;
}

}  // namespace

Calendar year_calendar(const Fleet& fleet, int year, const Shop& shop, Date as_of, const CalendarOptions& options) {
    check_inputs(year, shop, as_of, options);
    check_owner_dates(options.owner_dates, fleet);
    check_findings(options.findings, fleet, as_of);
    check_work_done(options.work_done, fleet, as_of);
    YearFrame frame(shop, options, year, as_of);
    frame.detailed = fleet.coaches.size() <= static_cast<std::size_t>(options.detailed_coaches);
    Making making = detail::work_of_fleet(fleet, frame);
    Calendar calendar = empty_calendar(year, shop, as_of, options);
    finish(making, frame, calendar);
    name_owners(calendar, fleet, options.show_owners);
    return calendar;
}

Calendar year_calendar(const Fleet& fleet, int year, const Shop& shop, const Forecast& forecast,
                       const CalendarOptions& options) {
    check_inputs(year, shop, forecast.as_of, options);
    check_owner_dates(options.owner_dates, fleet);
    check_findings(options.findings, fleet, forecast.as_of);
    check_work_done(options.work_done, fleet, forecast.as_of);
    YearFrame frame(shop, options, year, forecast.as_of);
    frame.detailed = fleet.coaches.size() <= static_cast<std::size_t>(options.detailed_coaches);
    Calendar calendar = empty_calendar(year, shop, forecast.as_of, options);
    Making making = detail::work_of_fleet(fleet, frame, forecast);
    finish(making, frame, calendar);
    name_owners(calendar, fleet, options.show_owners);
    return calendar;
}

std::string Calendar::ics_text(const IcalendarOptions& options) const { return icalendar_text(*this, options); }
std::string Calendar::csv_text() const { return calendar_csv(*this); }
std::string Calendar::json_text() const { return calendar_json(*this); }
void Calendar::write_ics(const std::string& path, const IcalendarOptions& options) const {
    write_text_file(path, ics_text(options));
}
void Calendar::write_csv(const std::string& path) const { write_text_file(path, csv_text()); }
void Calendar::write_json(const std::string& path) const { write_text_file(path, json_text()); }

}  // namespace libseal
