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

/// Does an iCalendar file tell the same of both?
bool same_visit(const Visit& a, const Visit& b) {
    return a.first == b.first && a.last == b.last && a.cancelled == b.cancelled && a.why == b.why &&
           a.label == b.label && a.flags == b.flags && a.cautions == b.cautions &&
           a.minutes.low == b.minutes.low && a.minutes.high == b.minutes.high && a.tasks.size() == b.tasks.size() &&
           std::equal(a.tasks.begin(), a.tasks.end(), b.tasks.begin(), same_task) &&
           a.cost.low == b.cost.low && a.cost.high == b.cost.high;
}

std::string name_of(const Visit& visit) { return visit.kind + " of " + visit.coach; }

std::string days_of(const Visit& visit) {
    return to_text(visit.first) + (visit.last > visit.first ? " to " + to_text(visit.last) : "");
}

/// Tasks of one visit that the other has not.
std::vector<const VisitTask*> only_in(const Visit& visit, const Visit& other) {
    std::vector<const VisitTask*> list;
    for (const VisitTask& task : visit.tasks)
        if (std::none_of(other.tasks.begin(), other.tasks.end(), [&](const VisitTask& one) {
                return one.joint == task.joint && one.generation == task.generation && one.action == task.action;
            }))
            list.push_back(&task);
    return list;
}

std::string listed(const std::vector<const VisitTask*>& tasks) {
    std::string text;
    for (std::size_t i = 0; i < tasks.size() && i < 3; ++i)
        text += (i ? ", " : "") + tasks[i]->action + " at " + tasks[i]->joint + " (" + tasks[i]->urgency + ")";
    if (tasks.size() > 3) text += " and " + std::to_string(tasks.size() - 3) + " more";
    return text;
}

/// What is different, and why.
void note_change(Calendar& calendar, const Visit& before, const Visit& now) {
    std::string text = name_of(now);
    if (before.first != now.first || before.last != now.last)
        text += " moved from " + days_of(before) + " to " + days_of(now);
    else
        text += " on " + days_of(now) + " has other content";
    if (const auto added = only_in(now, before); !added.empty()) text += "; new: " + listed(added);
    if (const auto gone = only_in(before, now); !gone.empty()) text += "; no longer: " + listed(gone);
    calendar.changes.push_back(text + ": " + now.why);
}

}  // namespace

const Visit* matching_visit(const YearFrame& frame, const Visit& visit) {
    const auto own = frame.previous.find(visit.coach);
    if (own == frame.previous.end()) return nullptr;
    const Visit* best = nullptr;
    std::size_t most = 0;
    for (const Visit* before : own->second) {
        if (before->kind != visit.kind) continue;
        std::size_t shared = 0;
        for (const VisitTask& old : before->tasks)
            shared += static_cast<std::size_t>(std::count_if(visit.tasks.begin(), visit.tasks.end(), [&](const VisitTask& task) {
                return task.joint == old.joint && task.generation == old.generation;
            }));
        if (shared > most) most = shared, best = before;
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
