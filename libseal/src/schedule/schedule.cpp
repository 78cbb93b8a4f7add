#include "libseal/schedule/schedule.hpp"

#include <algorithm>
#include <set>

#include "core/problem.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "libseal/schedule/gates.hpp"
#include "libseal/schedule/verify.hpp"
#include "schedule/causes.hpp"
#include "schedule/of_bookings.hpp"
#include "schedule/search.hpp"

namespace libseal {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// Days ahead that are looked at, then more, then all.
constexpr int horizons[] = {92, 366, 3 * 366};
constexpr int nodes_a_schedule = 100;
constexpr int longest_ahead = 36525;  ///< days

void fill_times(Schedule& result, const detail::ShopDraft& draft, const detail::Jobs& jobs, const detail::ShopHours& hours) {
    for (std::size_t j = 0; j < jobs.jobs.size(); ++j) {
        const detail::BookedStep& job = jobs.jobs[j];
        const detail::Placed& place = draft.jobs[j];
        StepTime time;
        time.booking = job.booking;
        time.step = job.step;
        time.start = place.start;
        time.end = place.end;
        time.pieces = place.pieces;
        if (place.team >= 0) time.people = hours.people(place.team);
        if (job.state != StepState::planned) {
            time.people = job.people;
            if (place.end > place.start) time.pieces = {{place.start, place.end}};
        }
        time.moved = job.known && job.state == StepState::planned && job.work > 0 && (place.start != job.start || time.people != job.people);
        result.steps.push_back(std::move(time));
    }
}

void fill_stays(Schedule& result, const detail::ShopDraft& draft, const detail::Jobs& jobs, const std::vector<Booking>& bookings,
                const detail::ShopBound& bound) {
    for (std::size_t g = 0; g < jobs.guests.size(); ++g) {
        BayStay stay;
        stay.booking = static_cast<int>(g);
        stay.coach = bookings[g].plan.coach;
        stay.bay = draft.bay[g];
        stay.begin = draft.begin[g];
        stay.end = draft.end[g];
        stay.late = jobs.guests[g].promised > 0 ? std::max<Minute>(0, stay.end - jobs.guests[g].promised) : 0;
        stay.lower_bound = bound.end[g];
        result.stays.push_back(stay);
    }
}

void fill_days(Schedule& result) {
    std::set<Date> days;
    bool any = false;
    for (const BayStay& stay : result.stays) {
        result.begin = any ? std::min(result.begin, stay.begin) : stay.begin;
        result.end = any ? std::max(result.end, stay.end) : stay.end;
        any = true;
    }
    for (const StepTime& time : result.steps)
        for (const TimeSpan& piece : time.pieces)
            for (Date day = day_of(piece.from); day <= day_of(piece.to - 1); day = day + 1) days.insert(day);
    result.days.assign(days.begin(), days.end());
}

/// The longest wait that the best draft misses by most, with its rule.
std::string missed_wait(const detail::ShopDraft& draft, const detail::Jobs& jobs, const std::vector<Booking>& bookings) {
    std::string words = "a longest wait cannot be kept";
    double most = 0;
    for (std::size_t b = 0; b < bookings.size(); ++b)
        for (const Edge& edge : bookings[b].plan.edges) {
            const std::size_t from = at(jobs.guests[b].first + edge.from), to = at(jobs.guests[b].first + edge.to);
            const double wait = static_cast<double>(draft.jobs[to].start - draft.jobs[from].end), over = wait - edge.longest;
            if (over <= most || jobs.jobs[from].state != StepState::planned) continue;
            most = over;
            const std::vector<Step>& steps = bookings[b].plan.steps;
            words = "a longest wait cannot be kept: at best " + steps[at(edge.to)].id + " begins " + number_text(wait, 0) + " min after " + steps[at(edge.from)].id +
                    ", " + edge.rule + " asks for at most " + number_text(edge.longest, 0) + " min";
        }
    return words;
}

void fill_causes(Schedule& result, const std::vector<Booking>& bookings, const detail::Jobs& jobs, detail::ShopHours& hours) {
    const std::vector<Cause> causes = detail::direct_causes(result, bookings, jobs, hours);
    for (std::size_t j = 0; j < causes.size(); ++j) result.steps[j].waited_for = causes[j].text;
    for (const detail::Guest& guest : jobs.guests) {
        int last = -1;
        for (int j = guest.first; j < guest.last; ++j)
            if (last < 0 || result.steps[at(j)].end >= result.steps[at(last)].end) last = j;
        while (last >= 0 && !result.steps[at(last)].critical) {
            result.steps[at(last)].critical = true;
            const Cause& cause = causes[at(last)];
            last = cause.by_step < 0 ? -1 : jobs.guests[at(cause.by_booking)].first + cause.by_step;
        }
    }
}

void check_result(const Schedule& result, const std::vector<Booking>& bookings, const Shop& shop, Date start, const ScheduleOptions& options) {
    const auto wrong = verify(result, bookings, shop, start, options);
    if (wrong.empty()) return;
    throw StateError(detail::field_problem("schedule", "a schedule that keeps every rule", wrong.front(), "this is a fault of the library"));
}

/// One search within a horizon; false if a longer one may help.
bool search_within(Schedule& result, const std::vector<Booking>& bookings, const Shop& shop, Date start, int days, bool last,
                   const ScheduleOptions& options) {
    detail::ShopHours hours(shop, start, days, options);
    const detail::Jobs jobs = detail::jobs_of(bookings, hours, start, options);
    const detail::Obstacles obstacles = detail::find_obstacles(jobs, bookings, hours);
    if (obstacles.steps > 0) {
        if (!last) return false;
        result.outcome = Outcome::infeasible;
        result.stopped = std::to_string(obstacles.steps) + " steps cannot be done by this shop";
        result.obstacles = obstacles.words;
        result.relaxations = obstacles.ways;
        return true;
    }
    const detail::ShopBound bound = detail::shop_bound(jobs, hours);
    result.bound = bound.score;
    result.lower_bound = bound.last;
    detail::ShopSearch found = detail::search_shop(jobs, hours, bound, options);
    result.tried += found.generated;
    if (!found.best.complete && !found.cancelled && !last) return false;
    if (!found.proved && !found.cancelled && options.work_limit > found.generated / 2 && detail::is_small(jobs) && options.work_limit >= 20) {
        try {
            if (detail::exhaust(jobs, hours, found.best, found.found, options.work_limit * nodes_a_schedule, options.watch)) {
                found.proved = found.found;
                found.stopped = found.found ? "every order tried" : "every order tried, none keeps the latest ends";
                if (!found.found) result.outcome = Outcome::infeasible;
            }
        } catch (const Cancelled&) {
            found.cancelled = true;
            found.stopped = "a stop was asked for";
        }
    }
    result.stopped = found.stopped;
    if (found.found) {
        result.outcome = found.cancelled ? Outcome::cancelled : found.proved ? Outcome::optimal : Outcome::feasible;
        result.score = found.best.score;
        if (found.proved) result.bound.urgent = result.score.urgent, result.bound.late = result.score.late, result.bound.stay = result.score.stay;
        fill_times(result, found.best, jobs, hours);
        fill_stays(result, found.best, jobs, bookings, bound);
        fill_days(result);
        fill_causes(result, bookings, jobs, hours);
        check_result(result, bookings, shop, start, options);
        return true;
    }
    if (found.cancelled) result.outcome = Outcome::cancelled;
    if (bound.score.broken > 0) result.outcome = Outcome::infeasible;
    for (std::size_t g = 0; g < jobs.guests.size(); ++g)
        if (jobs.guests[g].latest > 0 && (bound.end[g] > jobs.guests[g].latest || (found.best.complete && found.best.end[g] > jobs.guests[g].latest)))
            result.obstacles.push_back("coach " + bookings[g].plan.coach + " must be done by " + time_text(jobs.guests[g].latest) +
                                       (bound.end[g] > jobs.guests[g].latest ? "; even alone it takes until " + time_text(bound.end[g])
                                                                              : "; the best found is " + time_text(found.best.end[g])));
    if (result.obstacles.empty() && found.best.complete) result.obstacles.push_back(missed_wait(found.best, jobs, bookings));
    if (!found.best.complete && found.best.stuck >= 0) {
        const detail::BookedStep& job = jobs.jobs[at(found.best.stuck)];
        result.obstacles.push_back(bookings[at(job.booking)].plan.steps[at(job.step)].id + " finds no time within three years");
    }
    return true;
}

/// Hours for a gate that nothing asks for are hours of a mistyped one: its step would be done in any weather.
void check_gate(const std::string& gate, const std::vector<Booking>& bookings) {
    std::vector<std::string> known = gate_names();
    for (const Booking& booking : bookings)
        for (const Step& step : booking.plan.steps)
            if (!step.gate.empty()) known.push_back(step.gate);
    if (std::find(known.begin(), known.end(), gate) != known.end()) return;
    const std::string near = nearest_name(gate, known);
    throw_value_error("open_hours", "gates: wash, bond, coat, climb, test, or those of the steps", "\"" + gate + "\"",
                      near.empty() ? "" : "did you mean \"" + near + "\"?");
}

/// The days up to there are all looked at.
void check_time(Minute t, Date start, const std::string& field) {
    if (t > minute_of(start + longest_ahead)) throw_value_error(field, "a time within 100 years of " + to_text(start), std::to_string(t) + " min since 1970", "is a year mistyped?");
}

void check_options(const std::vector<Booking>& bookings, Date start, const ScheduleOptions& options) {
    if (options.work_limit < 1) throw_value_error("work_limit", "at least 1", std::to_string(options.work_limit));
    check_time(options.now, start, "now");
    for (std::size_t b = 0; b < bookings.size(); ++b) check_time(bookings[b].arrival, start, "bookings[" + std::to_string(b) + "].arrival");
    for (std::size_t i = 0; i < options.running.size(); ++i) check_time(options.running[i].end, start, "running[" + std::to_string(i) + "].end");
    for (const auto& [gate, spans] : options.open_hours) check_gate(gate, bookings);
    for (const auto& [gate, spans] : options.open_hours)
        for (std::size_t i = 0; i < spans.size(); ++i)
            if (spans[i].to <= spans[i].from || (i > 0 && spans[i].from < spans[i - 1].to))
                throw_value_error("open_hours." + gate + "[" + std::to_string(i) + "]", "spans in order that do not overlap",
                                  time_text(spans[i].from) + " to " + time_text(spans[i].to));
}

}  // namespace

std::string to_text(Outcome outcome) {
    static const char* names[] = {"optimal", "feasible", "infeasible", "none_found", "cancelled"};
    return names[static_cast<int>(outcome)];
}

std::string to_text(StepState state) {
    return state == StepState::planned ? "planned" : state == StepState::started ? "started" : "done";
}

Schedule schedule(const std::vector<Booking>& bookings, const Shop& shop, Date start, const ScheduleOptions& options) {
    check_shop(shop);
    check_options(bookings, start, options);
    Schedule result;
    result.begin = result.end = result.lower_bound = minute_of(start);
    const bool work = std::any_of(bookings.begin(), bookings.end(), [](const Booking& b) { return !b.plan.steps.empty(); });
    if (!work) {
        result.outcome = Outcome::optimal;
        result.stopped = "nothing to do";
        for (std::size_t b = 0; b < bookings.size(); ++b) {
            const Minute arrival = std::max(bookings[b].arrival, minute_of(start)), promised = bookings[b].promised;
            const Minute late = promised > 0 ? std::max<Minute>(0, arrival - promised) : 0;
            result.stays.push_back({static_cast<int>(b), bookings[b].plan.coach, std::max(0, bookings[b].bay), arrival, arrival, late, arrival});
            result.score.late += late;
        }
        return result;
    }
    // Late arrivals, work that is still going on and a late `now` push the first horizon out.
    const auto days_to = [&](Minute t) { return static_cast<int>((std::max(t, minute_of(start)) - minute_of(start)) / 1440); };
    int ahead = days_to(options.now);
    for (const Booking& booking : bookings) ahead = std::max(ahead, days_to(booking.arrival));
    for (const RunningStep& step : options.running)
        if (step.state == StepState::started) ahead = std::max(ahead, days_to(step.end));
    for (const int days : horizons)
        if (search_within(result, bookings, shop, start, ahead + days, days == horizons[2], options)) break;
    return result;
}

Schedule schedule(const WorkPlan& plan, const Shop& shop, Date start, const ScheduleOptions& options) {
    return schedule(std::vector<Booking>{{plan}}, shop, start, options);
}

std::vector<RunningStep> running_steps(const Schedule& schedule, const std::vector<Booking>& bookings, const Shop& shop, Minute now) {
    detail::check_steps_of(schedule, bookings, shop);
    if (!schedule.steps.empty()) detail::check_stays_of(schedule, bookings, shop);
    const std::vector<Bay> bays = bays_of(shop);
    std::vector<RunningStep> running;
    for (const StepTime& time : schedule.steps) {
        const WorkPlan& plan = bookings[at(time.booking)].plan;
        RunningStep step{plan.coach, plan.steps[at(time.step)].id, time.start, time.end, {}, bays[at(schedule.stays[at(time.booking)].bay)].id, StepState::planned};
        for (const int person : time.people) step.people.push_back(shop.people[at(person)].id);
        // A mark is done when its moment has come.
        if (time.end <= now && (time.start < now || time.end < now)) step.state = StepState::done;
        else if (time.start < now) step.state = StepState::started;
        running.push_back(std::move(step));
    }
    return running;
}

}  // namespace libseal
