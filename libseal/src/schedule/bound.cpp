#include "schedule/bound.hpp"

#include <algorithm>
#include <queue>
#include <set>

namespace libseal::detail {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// Work that arrives over time on one machine, shortest rest first. Completion times in order.
std::vector<Minute> shortest_rest_first(std::vector<std::pair<Minute, Minute>> arrivals) {
    std::sort(arrivals.begin(), arrivals.end());
    std::priority_queue<Minute, std::vector<Minute>, std::greater<>> rest;
    std::vector<Minute> ends;
    Minute now = 0;
    for (std::size_t next = 0; next < arrivals.size() || !rest.empty();) {
        if (rest.empty()) now = std::max(now, arrivals[next].first);
        while (next < arrivals.size() && arrivals[next].first <= now) rest.push(arrivals[next++].second);
        Minute left = rest.top();
        rest.pop();
        const Minute until = next < arrivals.size() ? arrivals[next].first : never;
        const Minute step = std::min(left, until - now);
        now += step;
        left -= step;
        if (left > 0) rest.push(left);
        else ends.push_back(now);
    }
    return ends;
}

/// What a wait takes at least; a cure in the open may be faster than in the bay.
Minute least(const Wait& wait, bool by_weather) { return wait.clock == LagClock::cure && by_weather ? 0 : wait.lag; }

}  // namespace

void earliest_ends(const Jobs& jobs, ShopHours& hours, const ShopGenerator& idle, const std::vector<Minute>& fixed_end,
                   const std::vector<int>& bay, Minute after, std::vector<Minute>& end) {
    end.assign(jobs.jobs.size(), 0);
    std::vector<TimeSpan> pieces;
    std::vector<int> kinds;
    for (const int number : jobs.order) {
        if (!fixed_end.empty() && fixed_end[at(number)] >= 0) {
            end[at(number)] = fixed_end[at(number)];
            continue;
        }
        const BookedStep& job = jobs.jobs[at(number)];
        if (job.state != StepState::planned) {
            end[at(number)] = job.end;
            continue;
        }
        kinds.clear();
        const int fixed = bay[at(job.booking)];
        for (std::size_t b = 0; b < jobs.bay_kind.size(); ++b)
            if (fixed < 0 || static_cast<int>(b) == fixed)
                if (std::find(kinds.begin(), kinds.end(), jobs.bay_kind[b]) == kinds.end()) kinds.push_back(jobs.bay_kind[b]);
        Minute best = never;
        for (const int kind : kinds) {
            Minute ready = job.release;
            for (const Wait& wait : jobs.before[at(number)])
                ready = std::max(ready, hours.ready(end[at(wait.other)], wait.lag, wait.clock, kind));
            if (job.work == 0) {
                best = std::min(best, ready);
                continue;
            }
            ready = std::max(ready, after);
            for (const int team : *job.teams)
                if (idle.fit(number, team, kind, ready, best, pieces)) best = std::min(best, pieces.back().to);
        }
        end[at(number)] = best == never ? std::max(job.release, after) : best;
    }
}

ShopBound shop_bound(const Jobs& jobs, ShopHours& hours) {
    ShopBound bound;
    const ShopGenerator idle(jobs, hours);
    std::vector<int> bay;
    for (const Guest& guest : jobs.guests) bay.push_back(guest.bay);
    std::vector<Minute> end;
    earliest_ends(jobs, hours, idle, {}, bay, 0, end);
    const bool by_weather = std::any_of(jobs.bay_kind.begin(), jobs.bay_kind.end(), [&](int kind) { return hours.cures_by_weather(kind); });
    std::vector<std::pair<Minute, Minute>> work, stays;
    for (const Guest& guest : jobs.guests) {
        Minute last = guest.arrival, person_minutes = 0, way = 0;
        std::vector<Minute> far(static_cast<std::size_t>(guest.last - guest.first), 0);
        for (int j = guest.last; j-- > guest.first;) last = std::max(last, end[at(j)]);
        for (const int j : jobs.order) {
            if (j < guest.first || j >= guest.last) continue;
            const BookedStep& job = jobs.jobs[at(j)];
            // The bay is held from the first work that is still to come: waits before it do not count.
            Minute from = 0;
            for (const Wait& wait : jobs.before[at(j)])
                if (const Minute before = far[at(wait.other - guest.first)]; before > 0) from = std::max(from, before + least(wait, by_weather));
            const bool open = job.state == StepState::planned;
            far[at(j - guest.first)] = open ? from + job.work : 0;
            way = std::max(way, far[at(j - guest.first)]);
            if (open && job.work > 0 && !job.teams->empty())
                person_minutes += job.work * static_cast<Minute>(hours.people(job.teams->front()).size());
        }
        const Minute from = std::max(guest.arrival, jobs.now);
        last = std::max(last, hours.staffed_by(from, person_minutes));
        bound.end.push_back(last);
        work.push_back({hours.staffed(from), person_minutes});
        stays.push_back({(from - jobs.start) * static_cast<Minute>(jobs.bay_kind.size()), way});
        if (guest.promised > 0) bound.score.late += std::max<Minute>(0, last - guest.promised);
        if (guest.latest > 0) bound.score.broken += std::max<Minute>(0, last - guest.latest);
    }
    for (const Urgent& urgent : jobs.urgent) {
        Minute done = 0;
        for (const int job : urgent.jobs) done = std::max(done, end[at(job)]);
        if (done > urgent.due) bound.score.urgent += (done - urgent.due + 1439) / 1440;
    }
    // The k-th coach is done no earlier than the k-th of each relaxation.
    std::vector<Minute> alone = bound.end, by_work = shortest_rest_first(work), by_bay = shortest_rest_first(stays);
    std::sort(alone.begin(), alone.end());
    Minute sum = 0;
    for (std::size_t k = 0; k < alone.size(); ++k) {
        const Minute bays = static_cast<Minute>(jobs.bay_kind.size());
        const Minute worked = by_work[k] > 0 ? hours.staffed_by(hours.from(), by_work[k]) : jobs.start;
        const Minute stood = jobs.start + (by_bay[k] + bays - 1) / bays;
        const Minute end_k = std::max({alone[k], worked, stood});
        bound.last = std::max(bound.last, end_k);
        sum += end_k;
    }
    for (const Guest& guest : jobs.guests) sum -= guest.arrival;
    bound.score.stay = sum;
    return bound;
}

}  // namespace libseal::detail
