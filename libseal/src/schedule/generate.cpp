#include "schedule/generate.hpp"

#include <algorithm>
#include <cmath>
#include <queue>

namespace libseal::detail {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// Busy time of each person, sorted.
using Busy = std::vector<std::vector<TimeSpan>>;

/// End of the first busy stretch that meets [from, to) for anybody of the team, or -1.
Minute conflict(const Busy& busy, const std::vector<int>& team, Minute from, Minute to) {
    for (const int person : team) {
        const auto& spans = busy[at(person)];
        const auto hit = std::upper_bound(spans.begin(), spans.end(), from,
                                          [](Minute t, const TimeSpan& s) { return t < s.to; });
        if (hit != spans.end() && hit->from < to) return hit->to;
    }
    return -1;
}

struct Need {
    Minute work = 0;
    bool unbroken = false, sealing = false;
};

/// Earliest pieces of work for a team at or after `ready`; pauses only at the ends of windows. Empty: none in
/// the horizon.
std::vector<TimeSpan> fit(const Need& need, const std::vector<int>& team, Minute ready, const Busy& busy,
                          Teams& teams) {
    const auto& windows = teams.windows(team, need.sealing);
    const bool whole = need.unbroken && need.work <= teams.longest(team, need.sealing);
    const bool one_day = need.unbroken && need.work <= teams.longest_day(team, need.sealing);
    Minute from = ready;
    auto w = std::upper_bound(windows.begin(), windows.end(), from,
                              [](Minute t, const TimeSpan& s) { return t < s.to; });
    while (w != windows.end()) {
        from = std::max(from, w->from);
        std::vector<TimeSpan> pieces;
        Minute left = need.work, position = from, blocked = -1;
        for (auto piece = w; left > 0; ++piece) {
            if (piece == windows.end()) return {};
            position = std::max(from, piece->from);
            const Minute end = std::min(piece->to, position + left);
            if (whole && end - position < left) blocked = piece->to;
            if (one_day && day_of(position) != day_of(from)) blocked = minute_of(day_of(position));
            if (const Minute met = conflict(busy, team, position, end); met >= 0 && blocked < 0)
                blocked = met;
            if (blocked >= 0) break;
            pieces.push_back({position, end});
            left -= end - position;
        }
        if (blocked < 0) return pieces;
        from = std::max(blocked, from + 1);
        while (w != windows.end() && w->to <= from) ++w;
    }
    return {};
}

bool place(StepTime& time, const Step& step, Minute work, Minute ready, Busy& busy, Teams& teams) {
    time.start = time.end = ready;
    if (step.people == 0 || work == 0) return true;
    const Need need{work, step.unbroken, !step.gate.empty()};
    time.pieces.clear();
    for (const auto& team : teams.of(step.people)) {
        auto pieces = fit(need, team, ready, busy, teams);
        if (pieces.empty()) continue;
        if (time.pieces.empty() || pieces.back().to < time.pieces.back().to) {
            time.pieces = std::move(pieces);
            time.people = team;
        }
    }
    if (time.pieces.empty()) return false;
    time.start = time.pieces.front().from;
    time.end = time.pieces.back().to;
    for (const int person : time.people)
        for (const TimeSpan& piece : time.pieces) {
            auto& spans = busy[at(person)];
            spans.insert(std::upper_bound(spans.begin(), spans.end(), piece.from,
                                          [](Minute t, const TimeSpan& s) { return t < s.from; }),
                         piece);
        }
    return true;
}

/// Minutes in which at least `count` people are on shift, on one day.
std::vector<TimeSpan> staffed(const Shop& shop, Date day, int count) {
    std::vector<std::pair<Minute, int>> changes;
    for (const Person& person : shop.people)
        for (const TimeSpan& span : working_spans(shop, person, day))
            changes.push_back({span.from, 1}), changes.push_back({span.to, -1});
    std::sort(changes.begin(), changes.end());
    std::vector<TimeSpan> spans;
    int here = 0;
    Minute since = 0;
    for (const auto& [t, change] : changes) {
        const int before = here;
        here += change;
        if (before < count && here >= count) since = t;
        if (before >= count && here < count && since < t) {
            if (!spans.empty() && spans.back().to == since)
                spans.back().to = t;
            else
                spans.push_back({since, t});
        }
    }
    return spans;
}

constexpr int horizon_days = 3 * 366;

Minute add_staffed(const Shop& shop, int count, Minute t, Minute work) {
    const Date first = day_of(t);
    for (int d = 0; d < horizon_days && work > 0; ++d)
        for (const TimeSpan& span : staffed(shop, first + d, count)) {
            if (span.to <= t || work <= 0) continue;
            const Minute from = std::max(span.from, t);
            if (span.to - from >= work) return from + work;
            work -= span.to - from;
        }
    return t;
}

}  // namespace

Network network_of(const WorkPlan& plan) {
    Network network;
    const std::size_t n = plan.steps.size();
    network.duration.resize(n);
    network.before.resize(n);
    network.after.resize(n);
    network.order = plan.order;
    for (std::size_t i = 0; i < n; ++i)
        network.duration[i] = static_cast<Minute>(std::ceil(plan.steps[i].minutes.mode - 1e-9));
    for (const Edge& edge : plan.edges) {
        const auto lag = static_cast<Minute>(std::ceil(edge.lag - 1e-9));
        network.before[at(edge.to)].push_back({edge.from, lag});
        network.after[at(edge.from)].push_back({edge.to, lag});
    }
    network.tail.assign(n, 0);
    for (auto i = network.order.rbegin(); i != network.order.rend(); ++i) {
        Minute most = 0;
        for (const auto& [to, lag] : network.after[at(*i)]) most = std::max(most, lag + network.tail[at(to)]);
        network.tail[at(*i)] = most + network.duration[at(*i)];
    }
    return network;
}

std::vector<StepTime> generate(const Network& network, const WorkPlan& plan, const std::vector<double>& key,
                               Minute start, Teams& teams) {
    const std::size_t n = plan.steps.size();
    std::vector<StepTime> times(n);
    std::vector<std::size_t> waiting(n);
    using Entry = std::pair<double, int>;  // falling key, then rising index
    std::priority_queue<Entry> ready;
    for (std::size_t i = 0; i < n; ++i)
        if ((waiting[i] = network.before[i].size()) == 0) ready.push({key[i], -static_cast<int>(i)});
    int people = 0;
    for (const Step& step : plan.steps) people = std::max(people, step.people);
    Busy busy;
    for (const auto& team : teams.of(1)) busy.resize(at(team.front()) + 1);
    while (!ready.empty()) {
        const std::size_t i = at(-ready.top().second);
        ready.pop();
        Minute from = start;
        for (const auto& [before, lag] : network.before[i])
            from = std::max(from, times[at(before)].end + lag);
        times[i].step = static_cast<int>(i);
        if (!place(times[i], plan.steps[i], network.duration[i], from, busy, teams)) return {};
        for (const auto& [after, lag] : network.after[i])
            if (--waiting[at(after)] == 0) ready.push({key[at(after)], -after});
    }
    return times;
}

Minute lower_bound(const Network& network, const WorkPlan& plan, const Shop& shop, Minute start) {
    std::vector<Minute> end(plan.steps.size(), start);
    Minute bound = start, work = 0;
    for (const int i : network.order) {
        Minute from = start;
        for (const auto& [before, lag] : network.before[at(i)]) from = std::max(from, end[at(before)] + lag);
        const Step& step = plan.steps[at(i)];
        const bool hands = step.people > 0 && network.duration[at(i)] > 0;
        end[at(i)] = hands ? add_staffed(shop, step.people, from, network.duration[at(i)]) : from;
        bound = std::max(bound, end[at(i)]);
        if (hands) work += network.duration[at(i)] * step.people;
    }
    // All work over all people: the first minute by which the shifts hold it.
    const Date first = day_of(start);
    for (int d = 0; d < horizon_days && work > 0; ++d) {
        Minute day_work = 0;
        for (const Person& person : shop.people)
            for (const TimeSpan& span : working_spans(shop, person, first + d))
                day_work += span.to - span.from;
        if (day_work < work) {
            work -= day_work;
            continue;
        }
        Minute low = minute_of(first + d), high = low + 1440;
        const auto done_by = [&](Minute t) {
            Minute done = 0;
            for (const Person& person : shop.people)
                for (const TimeSpan& span : working_spans(shop, person, first + d))
                    done += std::clamp<Minute>(t - span.from, 0, span.to - span.from);
            return done;
        };
        while (low + 1 < high) (done_by((low + high) / 2) >= work ? high : low) = (low + high) / 2;
        bound = std::max(bound, high);
        work = 0;
    }
    return bound;
}

void explain(std::vector<StepTime>& times, const WorkPlan& plan, Minute start) {
    std::vector<int> held_by(times.size(), -1);
    for (StepTime& time : times) {
        const std::size_t i = at(time.step);
        Minute ready = start;
        int last = -1;
        for (const Edge& edge : plan.edges) {
            if (edge.to != time.step) continue;
            const Minute can = times[at(edge.from)].end + static_cast<Minute>(std::ceil(edge.lag - 1e-9));
            if (can < ready || (can == ready && last >= 0)) continue;
            ready = can;
            last = edge.from;
            time.waited_for = plan.steps[at(edge.from)].id + " (" + edge.rule + ": " + edge.reason + ")";
        }
        held_by[i] = last;
        if (last < 0) time.waited_for = "the first day";
        if (time.start <= ready || time.people.empty()) continue;
        // It could have begun by the order; then people or working time held it.
        int person_step = -1;
        for (const StepTime& other : times)
            for (const int person : time.people)
                if (other.step != time.step && other.end <= time.start && other.end > ready &&
                    std::count(other.people.begin(), other.people.end(), person) &&
                    (person_step < 0 || other.end > times[at(person_step)].end))
                    person_step = other.step;
        if (person_step >= 0) {
            held_by[i] = person_step;
            time.waited_for = "somebody free: after " + plan.steps[at(person_step)].id;
        } else {
            time.waited_for +=
                std::string(time.waited_for.empty() ? "" : ", then ") + "the next working time long enough";
        }
    }
    int at_end = -1;
    for (const StepTime& time : times)
        if (at_end < 0 || time.end >= times[at(at_end)].end) at_end = time.step;
    for (int i = at_end; i >= 0 && !times[at(i)].critical; i = held_by[at(i)]) times[at(i)].critical = true;
}

}  // namespace libseal::detail
