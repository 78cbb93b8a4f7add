// What stays of the calendar that was sent out before.

#include <algorithm>
#include <set>

#include "calendar/draft.hpp"

namespace libseal::detail {
namespace {

bool same_task(const VisitTask& a, const VisitTask& b) {
    return a.joint == b.joint && a.layer == b.layer && a.generation == b.generation && a.action == b.action &&
           a.family == b.family && a.due == b.due && a.urgency == b.urgency && a.late == b.late;
}

bool same_visit(const Visit& a, const Visit& b) {
    return a.first == b.first && a.last == b.last && a.cancelled == b.cancelled && a.why == b.why &&
           a.flags == b.flags && a.tasks.size() == b.tasks.size() &&
           std::equal(a.tasks.begin(), a.tasks.end(), b.tasks.begin(), same_task) &&
           a.cost.low == b.cost.low && a.cost.high == b.cost.high;
}

std::string name_of(const Visit& visit) { return visit.kind + " of " + visit.coach; }

std::string days_of(const Visit& visit) {
    return to_text(visit.first) + (visit.last > visit.first ? " to " + to_text(visit.last) : "");
}

void note_change(Calendar& calendar, const Visit& before, const Visit& now) {
    if (before.first != now.first || before.last != now.last)
        calendar.changes.push_back(name_of(now) + " moved from " + days_of(before) + " to " + days_of(now) +
                                   ": " + now.why);
    else
        calendar.changes.push_back(name_of(now) + " on " + days_of(now) + " has other content: " + now.why);
}

}  // namespace

const Visit* matching_visit(const Calendar* previous, const std::string& kind, const std::string& coach,
                            const std::vector<Task>& tasks, Date as_of) {
    if (!previous) return nullptr;
    const Visit* best = nullptr;
    std::size_t most = 0;
    for (const Visit& visit : previous->visits) {
        if (visit.cancelled || visit.kind != kind || visit.coach != coach || visit.last < as_of) continue;
        std::size_t shared = 0;
        for (const VisitTask& old : visit.tasks)
            shared +=
                static_cast<std::size_t>(std::count_if(tasks.begin(), tasks.end(), [&](const Task& task) {
                    return place_of_task(task) == old.joint && task.generation == old.generation;
                }));
        if (shared > most) most = shared, best = &visit;
    }
    return best;
}

void carry_over(Calendar& calendar, const std::vector<const Visit*>& matched, const Calendar* previous) {
    std::set<std::string> used;
    std::vector<std::size_t> fresh;
    for (std::size_t i = 0; i < calendar.visits.size(); ++i) {
        Visit& visit = calendar.visits[i];
        const Visit* before = matched[i];
        if (!before || !used.insert(before->uid).second) {
            fresh.push_back(i);
            continue;
        }
        visit.uid = before->uid;
        visit.sequence = before->sequence + (same_visit(*before, visit) ? 0 : 1);
        if (visit.sequence > before->sequence) note_change(calendar, *before, visit);
    }
    // Uids of all earlier visits stay theirs, cancelled and past ones too.
    if (previous)
        for (const Visit& visit : previous->visits) used.insert(visit.uid);
    for (const std::size_t i : fresh) {
        Visit& visit = calendar.visits[i];
        const std::string own = visit.uid;
        for (int n = 1; !used.insert(visit.uid).second; ++n)
            visit.uid = visit_uid(visit.kind, visit.coach, own, n);
        if (previous)
            calendar.changes.push_back(name_of(visit) + " is new on " + days_of(visit) + ": " + visit.why);
    }
    if (!previous) return;
    std::set<std::string> alive;
    for (const Visit& visit : calendar.visits) alive.insert(visit.uid);
    for (const Visit& visit : previous->visits) {
        if (alive.count(visit.uid) || (!visit.cancelled && visit.last < calendar.as_of)) continue;
        Visit gone = visit;
        if (!gone.cancelled) {
            gone.cancelled = true;
            ++gone.sequence;
            calendar.changes.push_back(name_of(gone) + " on " + days_of(gone) + " is no longer needed");
        }
        calendar.visits.push_back(std::move(gone));
    }
}

}  // namespace libseal::detail
