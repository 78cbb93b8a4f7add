#include "libseal/calendar/year.hpp"

#include <algorithm>

#include "calendar/draft.hpp"
#include "libseal/calendar/icalendar.hpp"
#include "libseal/calendar/tables.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/parallel.hpp"
#include "libseal/core/text.hpp"
#include "libseal/survey/read.hpp"

namespace libseal {
namespace {

using detail::VisitDraft;
using detail::YearFrame;

void check_year(int year, Date as_of) {
    if (year < 1970 || year > 2200) throw_value_error("year", "1970 to 2200", std::to_string(year));
    if (make_date(year, 12, 31) <= as_of)
        throw_value_error("year", "a year that is not over on " + to_text(as_of), std::to_string(year));
}

/// Drafts of all coaches, made side by side, in the order in which they get their days.
std::vector<VisitDraft> all_drafts(const Fleet& fleet, const YearFrame& frame, Calendar& calendar) {
    const std::size_t n = fleet.coaches.size();
    std::vector<std::vector<VisitDraft>> drafts(n);
    std::vector<std::vector<Unplaced>> unplaced(n);
    ProgressReporter reporter(frame.options.watch, "work of the year");
    parallel_for(
        n, frame.options.threads,
        [&](std::size_t i) { drafts[i] = detail::work_drafts(fleet.coaches[i], frame, unplaced[i]); },
        [&](std::size_t done) {
            reporter.tick(static_cast<double>(done) / static_cast<double>(std::max<std::size_t>(n, 1)));
        });
    std::vector<VisitDraft> all;
    for (std::size_t i = 0; i < n; ++i) {
        for (VisitDraft& draft : drafts[i]) all.push_back(std::move(draft));
        calendar.unplaced.insert(calendar.unplaced.end(), unplaced[i].begin(), unplaced[i].end());
    }
    std::stable_sort(all.begin(), all.end(), [](const VisitDraft& a, const VisitDraft& b) {
        if (a.urgent != b.urgent) return a.urgent;
        if (a.window.latest != b.window.latest) return a.window.latest < b.window.latest;
        return a.coach->id < b.coach->id;
    });
    return all;
}

void place_inspections(const Fleet& fleet, const YearFrame& frame, detail::Occupancy& occupancy,
                       Calendar& calendar, std::vector<const Visit*>& matched) {
    for (const Coach& coach : fleet.coaches) {
        std::vector<Date> days;
        for (const Visit& visit : calendar.visits)
            if (visit.coach == coach.id) days.push_back(visit.first);
        for (int number = 1; number <= 24; ++number) {
            std::sort(days.begin(), days.end());
            const VisitDraft draft = detail::inspection_draft(coach, frame, days, number);
            if (draft.kind.empty() || !place_draft(draft, frame, occupancy, calendar)) break;
            matched.push_back(draft.previous);
            days.push_back(calendar.visits.back().first);
        }
    }
}

/// An option that changed nothing would be worse than an error.
void refuse_unheeded(const CalendarOptions& options) {
    const CalendarOptions usual;
    const auto refuse = [](const char* field, bool given) {
        if (given) throw_value_error(field, "its usual value: year_calendar does not plan by it yet", "another");
    };
    refuse("latest_days", options.latest_days != usual.latest_days);
    refuse("owner_dates", !options.owner_dates.empty());
    refuse("season_percent", !options.season_percent.empty());
    refuse("warranty_days", options.warranty_days != usual.warranty_days);
    refuse("most_visit_hours", options.most_visit_hours != usual.most_visit_hours);
    refuse("overtime_percent", options.overtime_percent != usual.overtime_percent);
}

}  // namespace

Calendar year_calendar(const Fleet& fleet, int year, const Shop& shop, Date as_of,
                       const CalendarOptions& options) {
    check_shop(shop);
    refuse_unheeded(options);
    check_year(year, as_of);
    ForecastOptions ask;
    ask.findings = options.findings;
    ask.work_done = options.work_done;
    ask.weather = options.weather;
    ask.catalogue = options.catalogue;
    ask.session = options.session;
    ask.seed = options.seed;
    ask.threads = options.threads;
    ask.watch = options.watch;
    const double years = std::max(1.0, years_between(as_of, make_date(year, 12, 31)) + 1);
    return year_calendar(fleet, year, shop, forecast(fleet, as_of, std::min(years, 50.0), ask), options);
}

Calendar year_calendar(const Fleet& fleet, int year, const Shop& shop, const Forecast& forecast,
                       const CalendarOptions& options) {
    check_shop(shop);
    refuse_unheeded(options);
    check_year(year, forecast.as_of);
    if (options.earliest_days < 0)
        throw_value_error("earliest_days", "not below zero", std::to_string(options.earliest_days));
    if (options.work_limit < 1)
        throw_value_error("work_limit", "at least 1", std::to_string(options.work_limit));
    const Date as_of = forecast.as_of;
    const Fleet now = with_work_done(fleet, options.work_done, as_of);
    const YearFrame frame{shop,
                          forecast,
                          options,
                          year,
                          as_of,
                          std::max(as_of + 1, make_date(year, 1, 1)),
                          make_date(year, 12, 31)};
    Calendar calendar;
    calendar.year = year;
    calendar.as_of = as_of;
    calendar.shop = shop.name;
    calendar.currency = shop.currency;
    calendar.closing = closing_line(options.catalogue);

    const std::vector<VisitDraft> drafts = all_drafts(now, frame, calendar);
    detail::Occupancy occupancy(shop);
    std::vector<const Visit*> matched;
    ProgressReporter reporter(options.watch, "days of the year");
    for (std::size_t i = 0; i < drafts.size(); ++i) {
        if (place_draft(drafts[i], frame, occupancy, calendar)) matched.push_back(drafts[i].previous);
        reporter.tick(static_cast<double>(i + 1) / static_cast<double>(drafts.size()));
    }
    place_inspections(now, frame, occupancy, calendar, matched);
    detail::carry_over(calendar, matched, options.previous);
    std::stable_sort(calendar.visits.begin(), calendar.visits.end(), [](const Visit& a, const Visit& b) {
        if (a.first != b.first) return a.first < b.first;
        return a.coach != b.coach ? a.coach < b.coach : a.uid < b.uid;
    });
    return calendar;
}

std::string Calendar::ics_text() const { return icalendar_text(*this); }
std::string Calendar::csv_text() const { return calendar_csv(*this); }
std::string Calendar::json_text() const { return calendar_json(*this); }
void Calendar::write_ics(const std::string& path) const { write_text_file(path, ics_text()); }
void Calendar::write_csv(const std::string& path) const { write_text_file(path, csv_text()); }
void Calendar::write_json(const std::string& path) const { write_text_file(path, json_text()); }

}  // namespace libseal
