#include "libseal/calendar/year.hpp"

#include <algorithm>
#include <functional>
#include <iterator>
#include <map>
#include <set>

#include "calendar/draft.hpp"
#include "calendar/forecast_rows.hpp"
#include "forecast/dates.hpp"
#include "libseal/calendar/icalendar.hpp"
#include "libseal/calendar/tables.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/parallel.hpp"
#include "libseal/core/text.hpp"
#include "libseal/forecast/evidence.hpp"
#include "libseal/forecast/shared_effects.hpp"
#include "libseal/survey/read.hpp"

namespace libseal {
namespace {

using detail::CoachFacts;
using detail::VisitDraft;
using detail::YearFrame;

/// Coaches that are forecast at a time, so that a large fleet needs little memory. No result depends on it.
constexpr std::size_t coaches_at_a_time = 125;

void check_inputs(int year, const Shop& shop, Date as_of, const CalendarOptions& options) {
    check_shop(shop);
    if (year < 1970 || year > 2200) throw_value_error("year", "1970 to 2200", std::to_string(year));
    if (make_date(year, 12, 31) <= as_of)
        throw_value_error("year", "a year that is not over on " + to_text(as_of), std::to_string(year));
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

void check_owner_dates(const Fleet& fleet, const CalendarOptions& options) {
    if (options.owner_dates.empty()) return;
    std::set<std::string> ids;
    for (const Coach& coach : fleet.coaches) ids.insert(coach.id);
    for (std::size_t i = 0; i < options.owner_dates.size(); ++i) {
        const OwnerDates& dates = options.owner_dates[i];
        const std::string field = "owner_dates[" + std::to_string(i) + "]";
        if (!ids.count(dates.coach)) throw_value_error(field + ".coach", "a coach of the fleet", "\"" + dates.coach + "\"");
        if (dates.from >= dates.to)
            throw_value_error(field, "a first day before the day after the last", to_text(dates.from) + " to " + to_text(dates.to));
        if (dates.kind != "trip" && dates.kind != "storage")
            throw_value_error(field + ".kind", "\"trip\" or \"storage\"", "\"" + dates.kind + "\"");
        if (!(dates.set_up_percent >= 0 && dates.set_up_percent <= 1000))
            throw_value_error(field + ".set_up_percent", "0 to 1000", number_text(dates.set_up_percent));
    }
}

/// The year in the making.
struct Making {
    std::vector<VisitDraft> drafts;
    std::vector<CoachFacts> facts;
    std::vector<Unplaced> unplaced;
};

template <class Thing>
void move_behind(std::vector<Thing>& all, std::vector<Thing>& more) {
    all.insert(all.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
}

void join(Making& making, Making& part) {
    move_behind(making.drafts, part.drafts);
    move_behind(making.facts, part.facts);
    move_behind(making.unplaced, part.unplaced);
}

/// Drafts of some coaches, made side by side. @param done  As `parallel_for`, with the share that is done.
Making drafts_of(const std::vector<Coach>& coaches, const Forecast& forecast, const YearFrame& frame, int threads,
                 const std::function<void(double)>& done) {
    const detail::ForecastRows rows(forecast);
    const std::size_t n = coaches.size();
    std::vector<Making> each(n);
    parallel_for(
        n, threads,
        [&](std::size_t i) {
            const Forecast own = rows.of(coaches[i].id);
            each[i].drafts = detail::work_drafts(coaches[i], own, frame, each[i].unplaced);
            each[i].facts.push_back(detail::facts_of(coaches[i], own, frame));
        },
        [&](std::size_t count) { done(static_cast<double>(count) / static_cast<double>(std::max<std::size_t>(n, 1))); });
    Making all;
    for (Making& one : each) join(all, one);
    return all;
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
        for (int number = 1; number <= 24; ++number) {
            std::sort(days.begin(), days.end());
            VisitDraft draft = detail::inspection_draft(coach, frame, days, number);
            if (draft.visit.kind.empty()) break;
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

ForecastOptions forecast_options(const CalendarOptions& options) {
    ForecastOptions ask;
    ask.weather = options.weather;
    ask.catalogue = options.catalogue;
    ask.warranty_days = options.warranty_days;
    ask.session = options.session;
    ask.seed = options.seed;
    ask.threads = options.threads;
    ask.watch = options.watch;
    return ask;
}

/// What a fleet teaches, from the coaches that were looked at alone; some hundred at a time.
std::shared_ptr<const SharedEffects> learnt(const Fleet& fleet, Date as_of, const YearFrame& frame, ForecastOptions ask) {
    std::vector<Evidence> all;
    for (std::size_t at = 0; at < fleet.coaches.size();) {
        Fleet seen;
        ask.findings.clear();
        ask.work_done.clear();
        for (; at < fleet.coaches.size() && seen.coaches.size() < coaches_at_a_time; ++at) {
            const std::string& id = fleet.coaches[at].id;
            const auto looks = frame.findings.find(id);
            if (looks == frame.findings.end()) continue;
            seen.coaches.push_back(fleet.coaches[at]);
            ask.findings.insert(ask.findings.end(), looks->second.begin(), looks->second.end());
            if (const auto own = frame.work_done.find(id); own != frame.work_done.end())
                ask.work_done.insert(ask.work_done.end(), own->second.begin(), own->second.end());
        }
        if (!seen.coaches.empty()) all.push_back(collect_evidence(seen, as_of, ask));
    }
    return std::make_shared<const SharedEffects>(combine_evidence(all, ask.catalogue));
}

/// Some coaches with their findings and work; all of them as they were given.
Fleet part_of(const Fleet& fleet, std::size_t from, std::size_t to, const YearFrame& frame, ForecastOptions& ask) {
    if (from == 0 && to == fleet.coaches.size()) {
        ask.findings = frame.options.findings;
        ask.work_done = frame.options.work_done;
        return fleet;
    }
    Fleet part;
    for (std::size_t i = from; i < to; ++i) {
        part.coaches.push_back(fleet.coaches[i]);
        const std::string& id = fleet.coaches[i].id;
        if (const auto own = frame.findings.find(id); own != frame.findings.end())
            ask.findings.insert(ask.findings.end(), own->second.begin(), own->second.end());
        if (const auto own = frame.work_done.find(id); own != frame.work_done.end())
            ask.work_done.insert(ask.work_done.end(), own->second.begin(), own->second.end());
    }
    return part;
}

/// Forecast and drafts of some coaches.
Making part_made(const Fleet& fleet, std::size_t from, std::size_t to, const YearFrame& frame, ForecastOptions ask, double years,
                 int threads, const std::function<void(double)>& done) {
    Fleet part = part_of(fleet, from, to, frame, ask);
    const Forecast expected = detail::forecast_of(part, frame.as_of, years, ask, detail::Columns::dates);
    if (!ask.work_done.empty()) part = with_work_done(part, ask.work_done, frame.as_of);
    return drafts_of(part.coaches, expected, frame, threads, done);
}

/// Ids tell coaches apart, also those that are forecast at different times.
void check_ids(const Fleet& fleet) {
    std::set<std::string> ids;
    for (const Coach& coach : fleet.coaches)
        if (!ids.insert(coach.id).second) throw_value_error("fleet", "ids of their own", "\"" + coach.id + "\" twice");
}

}  // namespace

Calendar year_calendar(const Fleet& fleet, int year, const Shop& shop, Date as_of, const CalendarOptions& options) {
    check_inputs(year, shop, as_of, options);
    check_owner_dates(fleet, options);
    check_findings(options.findings, fleet, as_of);
    check_work_done(options.work_done, fleet, as_of);
    YearFrame frame(shop, options, year, as_of);
    frame.detailed = fleet.coaches.size() <= static_cast<std::size_t>(options.detailed_coaches);
    const double years = std::min(50.0, std::max(1.0, years_between(as_of, frame.last) + 1));
    ForecastOptions ask = forecast_options(options);
    const std::size_t n = fleet.coaches.size();
    if (n > coaches_at_a_time) {
        check_ids(fleet);
        if (!ask.session) ask.session = std::make_shared<Session>(options.catalogue);
        ask.shared = learnt(fleet, as_of, frame, ask);
    }
    ProgressReporter reporter(options.watch, "work of the year");
    const auto tick = [&](double share) { reporter.tick(share); };
    Making making;
    if (n <= coaches_at_a_time) {
        making = part_made(fleet, 0, n, frame, ask, years, options.threads, tick);
    } else {
        // Whole parts run side by side: nothing of a large fleet waits for one thread.
        ask.threads = 1;
        ask.watch.progress = nullptr;
        std::vector<Making> parts((n + coaches_at_a_time - 1) / coaches_at_a_time);
        parallel_for(
            parts.size(), options.threads,
            [&](std::size_t p) {
                const std::size_t from = p * coaches_at_a_time;
                parts[p] = part_made(fleet, from, std::min(n, from + coaches_at_a_time), frame, ask, years, 1, [](double) {});
            },
            [&](std::size_t done) { tick(static_cast<double>(done) / static_cast<double>(parts.size())); });
        for (Making& part : parts) join(making, part);
    }
    Calendar calendar = empty_calendar(year, shop, as_of, options);
    finish(making, frame, calendar);
    name_owners(calendar, fleet, options.show_owners);
    return calendar;
}

Calendar year_calendar(const Fleet& fleet, int year, const Shop& shop, const Forecast& forecast,
                       const CalendarOptions& options) {
    check_inputs(year, shop, forecast.as_of, options);
    check_owner_dates(fleet, options);
    YearFrame frame(shop, options, year, forecast.as_of);
    frame.detailed = fleet.coaches.size() <= static_cast<std::size_t>(options.detailed_coaches);
    Calendar calendar = empty_calendar(year, shop, forecast.as_of, options);
    ProgressReporter reporter(options.watch, "work of the year");
    const auto tick = [&](double share) { reporter.tick(share); };
    Making making = options.work_done.empty()
                        ? drafts_of(fleet.coaches, forecast, frame, options.threads, tick)
                        : drafts_of(with_work_done(fleet, options.work_done, forecast.as_of).coaches, forecast, frame, options.threads, tick);
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
