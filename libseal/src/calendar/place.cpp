// Days for drafts: bays, people, working days.

#include <algorithm>
#include <cmath>

#include "calendar/draft.hpp"

namespace libseal::detail {
namespace {

/// A draft on certain days.
struct Placement {
    Date first{}, last{};
    std::map<Date, Minute> load;  ///< person-minutes by day
    int bay = -1;
    std::string problem;
};

void add_load(std::map<Date, Minute>& load, const Schedule& schedule) {
    for (const StepTime& time : schedule.steps)
        for (const TimeSpan& piece : time.pieces)
            load[day_of(piece.from)] += (piece.to - piece.from) * static_cast<Minute>(time.people.size());
}

/// Work from `day` on; nothing if the first step cannot begin on that day.
Placement work_from(const VisitDraft& draft, const YearFrame& frame, Date day, int work_limit) {
    ScheduleOptions options;
    options.work_limit = work_limit;
    options.seed = frame.options.seed;
    const Schedule result = schedule(draft.plan, frame.shop, day, options);
    Placement placement;
    if (result.steps.empty()) {
        placement.problem = result.obstacles.empty()
                                ? result.stopped
                                : result.obstacles.front() +
                                      (result.relaxations.empty() ? "" : "|" + result.relaxations.front());
        return placement;
    }
    placement.first = day_of(result.begin);
    placement.last = std::max(result.days.back(), day_of(std::max(result.begin, result.end - 1)));
    add_load(placement.load, result);
    return placement;
}

Placement inspection_on(const VisitDraft& draft, const YearFrame& frame, Date day) {
    Placement placement;
    placement.first = placement.last = day;
    auto left = static_cast<Minute>(std::ceil(draft.minutes.mode));
    for (Date at = day; left > 0 && at <= day + 366; at = at + 1) {
        Minute most = 0;  // one person looks
        for (const Person& person : frame.shop.people) {
            Minute here = 0;
            for (const TimeSpan& span : working_spans(frame.shop, person, at)) here += span.to - span.from;
            most = std::max(most, here);
        }
        const Minute part = std::min(left, most);
        if (part > 0) placement.load[at] = part, placement.last = at;
        left -= part;
    }
    return placement;
}

bool open_on(const VisitDraft& draft, const YearFrame& frame, Date day) {
    return works_on(frame.shop, day) && (draft.kind == "inspection" || seals_on(frame.shop, day));
}

/// Days in the order in which they are tried.
std::vector<Date> candidates(const VisitDraft& draft, const YearFrame& frame) {
    std::vector<Date> days;
    const auto add = [&](Date day) {
        if (open_on(draft, frame, day)) days.push_back(day);
    };
    // A day that has been given out stays if it still serves.
    if (draft.previous && draft.preferred == draft.previous->first) add(draft.preferred);
    if (draft.urgent) {
        for (Date day = draft.window.earliest; day <= frame.last; day = day + 1) add(day);
        return days;
    }
    for (Date day = draft.preferred; day >= draft.window.earliest; day = day - 1) add(day);
    for (Date day = draft.preferred + 1; day <= frame.last; day = day + 1) add(day);
    return days;
}

Visit visit_of(const VisitDraft& draft, const YearFrame& frame, const Placement& placement) {
    Visit visit;
    visit.kind = draft.kind;
    visit.coach = draft.coach->id;
    visit.label = draft.coach->label;
    if (frame.options.show_owners) visit.owner = draft.coach->owner;
    visit.first = placement.first;
    visit.last = placement.last;
    visit.bay = placement.bay;
    visit.window = draft.window;
    visit.why = draft.why;
    visit.flags = draft.flags;
    if (draft.kind == "inspection") {
        visit.minutes = draft.minutes;
        visit.cost = draft.cost;
        visit.uid = visit_uid("inspection", visit.coach, "", frame.year * 100 + draft.number);
        if (visit.last > draft.window.latest)
            visit.flags.push_back("late: no bay or nobody free before " + to_text(visit.first));
        return visit;
    }
    visit.minutes = draft.plan.minutes;
    visit.cost = draft.plan.total;
    int late = 0;
    for (const Task& task : draft.plan.tasks) {
        VisitTask entry{place_of_task(task),  task.layer, task.generation,       task.action,
                        task.family,          task.due,   to_text(task.urgency), task.reason,
                        visit.last > task.due, {}, ""};
        late += entry.late ? 1 : 0;
        visit.tasks.push_back(std::move(entry));
        if (task.cover_now) visit.flags.push_back(place_of_task(task) + " is open: temporary cover until this visit");
        if (!task.refused.empty()) visit.flags.push_back(place_of_task(task) + ": refused " + task.refused);
    }
    if (late > 0) {
        const Task& task = draft.plan.tasks.front();
        const std::string closed = no_sealing_reason(frame.shop, task.due);
        visit.flags.push_back(std::to_string(late) + " of " + std::to_string(visit.tasks.size()) +
                              " tasks late: " +
                              (task.due <= frame.as_of             ? "already due on " + to_text(frame.as_of)
                               : !closed.empty()                   ? closed
                               : visit.first > draft.window.latest ? "no bay or nobody free earlier"
                                                                   : "due before the work can end"));
    }
    if (visit.first < make_date(frame.year, 1, 1)) visit.flags.push_back("before the year: it cannot wait");
    for (const Caution& caution : draft.plan.cautions) visit.cautions.push_back(caution.text);
    const Task* first = &draft.plan.tasks.front();
    for (const Task& task : draft.plan.tasks)
        if (place_of_task(task) < place_of_task(*first)) first = &task;
    visit.uid = visit_uid("work", visit.coach, place_of_task(*first), first->generation);
    return visit;
}

void note_unplaced(const VisitDraft& draft, const std::string& problem, const YearFrame& frame,
                   Calendar& calendar) {
    const auto bar = problem.find('|');
    const std::string constraint = problem.empty()
                                       ? "no bay and people are free from " + to_text(draft.window.earliest) +
                                             " to " + to_text(frame.last)
                                       : problem.substr(0, bar);
    const std::string relaxation =
        bar == std::string::npos ? "one more bay or person, or an open day more" : problem.substr(bar + 1);
    if (draft.kind == "inspection")
        calendar.unplaced.push_back(
            {draft.coach->id, "", "inspection", draft.window.latest, constraint, relaxation});
    for (const Task& task : draft.plan.tasks)
        calendar.unplaced.push_back(
            {draft.coach->id, place_of_task(task), task.action, task.due, constraint, relaxation});
}

}  // namespace

Minute Occupancy::capacity(Date day) const {
    Minute sum = 0;
    for (const Person& person : shop_.people)
        for (const TimeSpan& span : working_spans(shop_, person, day)) sum += span.to - span.from;
    return sum;
}

int Occupancy::free_bay(Date first, Date last, const std::map<Date, Minute>& load) const {
    for (const auto& [day, minutes] : load) {
        const auto at = load_.find(day);
        if ((at == load_.end() ? 0 : at->second) + minutes > capacity(day)) return -1;
    }
    for (std::size_t bay = 0; bay < bays_.size(); ++bay)
        if (std::none_of(bays_[bay].begin(), bays_[bay].end(), [&](const Window& taken) {
                return first <= taken.latest && taken.earliest <= last;
            }))
            return static_cast<int>(bay);
    return -1;
}

void Occupancy::take(int bay, Date first, Date last, const std::map<Date, Minute>& load) {
    bays_[static_cast<std::size_t>(bay)].push_back({first, last});
    for (const auto& [day, minutes] : load) load_[day] += minutes;
}

bool place_draft(const VisitDraft& draft, const YearFrame& frame, Occupancy& occupancy, Calendar& calendar) {
    std::string problem;
    for (const Date day : candidates(draft, frame)) {
        const bool work = draft.kind == "work";
        // A day whose bays are all taken needs no schedule.
        if (occupancy.free_bay(day, day, {}) < 0) continue;
        Placement placement = work ? work_from(draft, frame, day, 1) : inspection_on(draft, frame, day);
        problem = placement.problem;
        if (!problem.empty()) break;  // what the shop cannot do at all it cannot do on another day
        if (placement.last > frame.last + 31) continue;
        placement.bay = occupancy.free_bay(placement.first, placement.last, placement.load);
        if (placement.bay < 0) continue;
        if (work && frame.options.work_limit > 1) {
            Placement better = work_from(draft, frame, day, frame.options.work_limit);
            better.bay =
                better.problem.empty() ? occupancy.free_bay(better.first, better.last, better.load) : -1;
            if (better.bay >= 0 && better.last <= placement.last) placement = better;
        }
        occupancy.take(placement.bay, placement.first, placement.last, placement.load);
        calendar.visits.push_back(visit_of(draft, frame, placement));
        return true;
    }
    note_unplaced(draft, problem, frame, calendar);
    return false;
}

}  // namespace libseal::detail
