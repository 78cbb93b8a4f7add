#include "schedule/generate.hpp"

#include <algorithm>
#include <numeric>

namespace libseal::detail {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

}  // namespace

ShopGenerator::ShopGenerator(const Jobs& jobs, ShopHours& hours)
    : jobs_(jobs), hours_(hours), taken_(static_cast<int>(hours.shop().people.size()) + 2, hours.to() - hours.from()) {
    begin();
}

void ShopGenerator::begin() {
    taken_.clear();
    for (auto& levels : reach_) levels.assign(1, {-never, 0});
}

/// One pass over the jobs.
struct ShopGenerator::Run {
    ShopGenerator& self;
    const ShopKeys& keys;
    ShopDraft& draft;
    const Jobs& jobs = self.jobs_;
    std::vector<std::size_t> waiting = std::vector<std::size_t>(jobs.jobs.size());
    std::vector<char> placed = std::vector<char>(jobs.jobs.size(), 0);
    std::vector<Minute> raised{};                       ///< by job, after missed longest waits
    std::vector<int> heap{};
    std::vector<std::vector<int>> outside = std::vector<std::vector<int>>(jobs.guests.size());  ///< ready jobs of coaches without a bay
    std::vector<char> entered = std::vector<char>(jobs.guests.size(), 0);
    std::vector<int> left = std::vector<int>(jobs.guests.size(), 0);
    std::vector<Minute> bay_free = std::vector<Minute>(jobs.bay_kind.size(), 0);
    std::vector<int> bay_of_guest = std::vector<int>(jobs.bay_kind.size(), -1);
    std::vector<int> entry = std::vector<int>(jobs.guests.size());
    std::vector<TimeSpan> pieces{}, best{};
    int repairs = 0;

    bool later(int a, int b) const {
        const double ka = keys.job[at(a)], kb = keys.job[at(b)];
        return ka != kb ? ka > kb : a > b;
    }
    void push(int job) {
        heap.push_back(job);
        std::push_heap(heap.begin(), heap.end(), [&](int a, int b) { return later(a, b); });
    }
    int pop() {
        std::pop_heap(heap.begin(), heap.end(), [&](int a, int b) { return later(a, b); });
        const int job = heap.back();
        heap.pop_back();
        return job;
    }

    void offer(int job) {
        const int guest = jobs.jobs[at(job)].booking;
        if (entered[at(guest)]) push(job);
        else outside[at(guest)].push_back(job);
    }

    void enter(int guest, int bay) {
        entered[at(guest)] = 1;
        bay_of_guest[at(bay)] = guest;
        draft.bay[at(guest)] = bay;
        for (const int job : outside[at(guest)]) push(job);
        outside[at(guest)].clear();
    }

    /// The next coaches into the bays that are free, once their turn has come among the jobs. One that must have a certain
    /// bay waits for it without keeping others out.
    void let_in() {
        for (bool again = true; again;) {
            again = false;
            for (const int guest : entry) {
                if (entered[at(guest)]) continue;
                if (!heap.empty() && !jobs.guests[at(guest)].here && keys.guest[at(guest)] > keys.job[at(heap.front())]) break;
                const int bay = free_bay(guest);
                if (bay < 0) continue;
                enter(guest, bay);
                if (left[at(guest)] == 0) leave(guest);
                again = true;
                break;
            }
        }
    }

    int free_bay(int guest) const {
        const int want = jobs.guests[at(guest)].bay;
        const Minute arrival = jobs.guests[at(guest)].arrival;
        const auto from = [&](int bay) { return std::max(bay_free[at(bay)], arrival); };
        int best_bay = -1;
        for (int bay = 0; bay < static_cast<int>(bay_free.size()); ++bay) {
            if (bay_of_guest[at(bay)] >= 0 || (want >= 0 && bay != want)) continue;
            if (want < 0 && keys.kind[at(guest)] >= 0 && jobs.bay_kind[at(bay)] != keys.kind[at(guest)]) continue;
            const bool better = best_bay < 0 || from(bay) < from(best_bay) ||
                                (from(bay) == from(best_bay) && jobs.shelter[at(bay)] > jobs.shelter[at(best_bay)]);
            if (better) best_bay = bay;
        }
        return best_bay;
    }

    void leave(int guest) {
        const int bay = draft.bay[at(guest)];
        const Guest& who = jobs.guests[at(guest)];
        Minute begin = never, end = 0;
        for (int j = who.first; j < who.last; ++j) {
            if (!draft.jobs[at(j)].pieces.empty() || jobs.jobs[at(j)].state != StepState::planned)
                begin = std::min(begin, draft.jobs[at(j)].start);
            end = std::max(end, draft.jobs[at(j)].end);
        }
        const bool stands = begin != never;  // marks in time alone hold no bay
        if (!stands) begin = who.first < who.last ? end : who.arrival;
        draft.begin[at(guest)] = begin;
        draft.end[at(guest)] = std::max(begin, end);
        if (stands) bay_free[at(bay)] = std::max(bay_free[at(bay)], draft.end[at(guest)]);
        bay_of_guest[at(bay)] = -1;
    }

    int kind_of(int job) const { return jobs.bay_kind[at(draft.bay[at(jobs.jobs[at(job)].booking)])]; }

    Minute ready(int number) const {
        const BookedStep& job = jobs.jobs[at(number)];
        Minute ready = std::max(job.release, raised.empty() ? 0 : raised[at(number)]);
        const int bay = draft.bay[at(job.booking)];
        if (job.work > 0) ready = std::max(ready, bay_free[at(bay)]);  // time passes outside a bay as well
        for (const Wait& wait : jobs.before[at(number)])
            ready = std::max(ready, self.hours_.ready(draft.jobs[at(wait.other)].end, wait.lag, wait.clock, jobs.bay_kind[at(bay)]));
        return ready;
    }

    bool put_back(int number, Minute ready) {
        // Where the running plan has it, with the same people, if that still holds.
        const BookedStep& job = jobs.jobs[at(number)];
        Placed& place = draft.jobs[at(number)];
        if (job.start < ready) return false;
        for (const int team : *job.teams) {
            if (self.hours_.people(team) != job.people) continue;
            if (!self.fit(number, team, kind_of(number), job.start, never, pieces) || pieces.front().from != job.start) return false;
            place.team = team;
            place.pieces = pieces;
            return true;
        }
        return false;
    }

    bool place(int number) {
        const BookedStep& job = jobs.jobs[at(number)];
        Placed& place = draft.jobs[at(number)];
        place.pieces.clear();
        place.team = -1;
        if (job.state != StepState::planned) {
            place.start = job.start, place.end = job.end;
            return true;
        }
        const Minute from = ready(number);
        place.start = place.end = from;
        if (job.work == 0) return true;
        const bool back = !keys.stick.empty() && keys.stick[at(number)] && put_back(number, from);
        if (!back) {
            Minute end = never;
            const int kind = kind_of(number);
            for (const int team : *job.teams)
                if (self.fit(number, team, kind, from, end, pieces)) {
                    end = pieces.back().to;
                    place.team = team;
                    std::swap(best, pieces);
                    if (end == from + job.work) break;
                }
            if (place.team < 0) return false;
            place.pieces = best;
        }
        place.start = place.pieces.front().from;
        place.end = place.pieces.back().to;
        self.occupy(number, self.hours_.people(place.team), place.pieces);
        return true;
    }

    void take_out(int number) {
        Placed& place = draft.jobs[at(number)];
        placed[at(number)] = 0;
        ++left[at(jobs.jobs[at(number)].booking)];
        if (place.team >= 0) self.release(number, self.hours_.people(place.team), place.pieces);
        for (const Wait& wait : jobs.after[at(number)]) {
            if (placed[at(wait.other)]) take_out(wait.other);
            const auto waits = std::find(heap.begin(), heap.end(), wait.other);
            if (waits != heap.end()) {
                heap.erase(waits);
                std::make_heap(heap.begin(), heap.end(), [&](int a, int b) { return later(a, b); });
            }
            ++waiting[at(wait.other)];
        }
    }

    /// The job came too long after another: that one goes later, with all that follows it. False if the wait is kept.
    bool mend(int number) {
        for (const Wait& wait : jobs.before[at(number)]) {
            if (wait.longest < 0) continue;
            const Placed& early = draft.jobs[at(wait.other)];
            const Minute over = draft.jobs[at(number)].start - early.end - wait.longest;
            if (over <= 0) continue;
            if (repairs >= most_repairs || jobs.jobs[at(wait.other)].state != StepState::planned) continue;
            ++repairs;
            if (raised.empty()) raised.assign(jobs.jobs.size(), 0);
            raised[at(wait.other)] = early.start + over;
            take_out(wait.other);
            push(wait.other);
            return true;
        }
        return false;
    }

    /// Minutes by which longest waits are missed; what had begun before is past mending.
    Minute broken_waits() const {
        Minute broken = 0;
        if (!jobs.longest_waits) return broken;
        for (std::size_t j = 0; j < jobs.jobs.size(); ++j)
            for (const Wait& wait : jobs.before[j])
                if (wait.longest >= 0 && jobs.jobs[at(wait.other)].state == StepState::planned)
                    broken += std::max<Minute>(0, draft.jobs[j].start - draft.jobs[at(wait.other)].end - wait.longest);
        return broken;
    }

    static constexpr int most_repairs = 400;

    /// What is chosen stays, with its bays.
    template <class Choice>
    std::size_t keep(const ShopDraft& base, const Choice& stays) {
        std::size_t kept = 0;
        // A mark in time does not bring its coach into a bay.
        std::vector<char> stands(jobs.guests.size(), 0);
        for (std::size_t j = 0; j < jobs.jobs.size(); ++j)
            if (stays(j) && (!base.jobs[j].pieces.empty() || jobs.jobs[j].state != StepState::planned)) stands[at(jobs.jobs[j].booking)] = 1;
        for (std::size_t j = 0; j < jobs.jobs.size(); ++j) {
            const Placed& place = base.jobs[j];
            const BookedStep& job = jobs.jobs[j];
            if (!stays(j) || !stands[at(job.booking)]) continue;
            draft.jobs[j] = place;
            placed[j] = 1;
            ++kept;
            if (place.team >= 0) self.occupy(static_cast<int>(j), self.hours_.people(place.team), place.pieces);
            for (const Wait& wait : jobs.after[j]) --waiting[at(wait.other)];
            --left[at(job.booking)];
            if (!entered[at(job.booking)]) enter(job.booking, base.bay[at(job.booking)]);
        }
        for (std::size_t g = 0; g < entered.size(); ++g)
            if (entered[g] && left[g] == 0) leave(static_cast<int>(g));
        // Of several that stood in one bay the one that is still there holds it.
        for (std::size_t g = 0; g < entered.size(); ++g)
            if (entered[g] && left[g] > 0) bay_of_guest[at(draft.bay[g])] = static_cast<int>(g);
        return kept;
    }

    void start() {
        start(draft, [](std::size_t) { return false; });
    }

    template <class Choice>
    std::size_t start(const ShopDraft& base, const Choice& stays) {
        draft.jobs.resize(jobs.jobs.size());
        draft.bay.assign(jobs.guests.size(), -1);
        draft.begin.assign(jobs.guests.size(), 0);
        draft.end.assign(jobs.guests.size(), 0);
        draft.complete = false;
        draft.stuck = -1;
        std::iota(entry.begin(), entry.end(), 0);
        std::stable_sort(entry.begin(), entry.end(), [&](int a, int b) {
            const Guest &x = jobs.guests[at(a)], &y = jobs.guests[at(b)];
            if (x.here != y.here) return x.here;
            if (x.here && x.begun != y.begun) return x.begun < y.begun;
            return keys.guest[at(a)] < keys.guest[at(b)];
        });
        for (std::size_t j = 0; j < jobs.jobs.size(); ++j) {
            ++left[at(jobs.jobs[j].booking)];
            waiting[j] = jobs.before[j].size();
        }
        const std::size_t kept = keep(base, stays);
        for (std::size_t j = 0; j < jobs.jobs.size(); ++j)
            if (waiting[j] == 0 && !placed[j]) offer(static_cast<int>(j));
        // What is going on keeps its people and ladders until it ends.
        for (std::size_t j = 0; j < jobs.jobs.size(); ++j) {
            const BookedStep& job = jobs.jobs[j];
            if (job.state == StepState::started && job.end > jobs.now)
                self.occupy(static_cast<int>(j), job.people, {{std::max(job.start, jobs.now), job.end}});
        }
        return kept;
    }

    /// Parallel scheme: of all that may come next the job that can start first.
    int first_to_start() {
        std::size_t chosen = 0;
        Minute first = never;
        for (std::size_t i = 0; i < heap.size(); ++i) {
            const BookedStep& job = jobs.jobs[at(heap[i])];
            const Minute from = ready(heap[i]);
            Minute start = job.state == StepState::planned ? from : job.start;
            if (job.work > 0 && job.state == StepState::planned) {
                start = never;
                for (const int team : *job.teams)
                    if (self.fit(heap[i], team, kind_of(heap[i]), from, never, pieces)) start = std::min(start, pieces.front().from);
            }
            if (start < first || (start == first && later(heap[chosen], heap[i]))) first = start, chosen = i;
        }
        const int job = heap[chosen];
        heap.erase(heap.begin() + static_cast<std::ptrdiff_t>(chosen));
        return job;
    }

    /// Places a job, and lets its coach leave if it was the last. False if there is no place.
    bool settle(int number) {
        if (!place(number)) {
            draft.stuck = number;
            return false;
        }
        placed[at(number)] = 1;
        const int guest = jobs.jobs[at(number)].booking;
        --left[at(guest)];
        for (const Wait& wait : jobs.after[at(number)])
            if (--waiting[at(wait.other)] == 0) offer(wait.other);
        if (jobs.longest_waits && mend(number)) return true;
        if (left[at(guest)] == 0) leave(guest);
        return true;
    }

    void go(bool parallel) {
        for (let_in(); !heap.empty(); let_in())
            if (!settle(parallel ? first_to_start() : pop())) return;
        draft.complete = std::all_of(left.begin(), left.end(), [](int n) { return n == 0; });
        if (draft.complete) draft.score = score_of(jobs, self.hours_, draft, broken_waits());
    }
};

void ShopGenerator::generate(const ShopKeys& keys, ShopDraft& draft, bool parallel) {
    begin();
    worked_ += 1;
    Run run{*this, keys, draft};
    run.start();
    run.go(parallel);
}

void ShopGenerator::generate_from(const ShopKeys& keys, const ShopDraft& base, Minute from, ShopDraft& draft) {
    begin();
    Run run{*this, keys, draft};
    count(run.start(base, [&](std::size_t j) { return base.jobs[j].start < from; }));
    run.go(false);
}

void ShopGenerator::generate_after(const ShopKeys& keys, const ShopDraft& base, const std::vector<char>& stays, ShopDraft& draft) {
    begin();
    Run run{*this, keys, draft};
    count(run.start(base, [&](std::size_t j) { return stays[at(jobs_.jobs[j].booking)] != 0; }));
    run.go(false);
}

/// Keeping a job costs about a tenth of placing it.
void ShopGenerator::count(std::size_t kept) {
    worked_ += 1 - 0.9 * static_cast<double>(kept) / static_cast<double>(std::max<std::size_t>(1, jobs_.jobs.size()));
}

/// Everything as late as it goes before the end of its coach's stay; only the starts are of use, as keys.
void ShopGenerator::push_back(const ShopDraft& draft, std::vector<double>& keys) {
    begin();
    worked_ += 1;
    std::vector<int> order = jobs_.order;
    std::vector<std::size_t> rank(order.size());
    for (std::size_t i = 0; i < order.size(); ++i) rank[at(order[i])] = i;
    std::sort(order.begin(), order.end(), [&](int a, int b) {
        const Minute ea = draft.jobs[at(a)].end, eb = draft.jobs[at(b)].end;
        return ea != eb ? ea > eb : rank[at(a)] > rank[at(b)];
    });
    std::vector<TimeSpan> pieces, best;
    std::vector<Minute> start(order.size());
    for (const int number : order) {
        const BookedStep& job = jobs_.jobs[at(number)];
        const Placed& place = draft.jobs[at(number)];
        const int kind = jobs_.bay_kind[at(draft.bay[at(job.booking)])];
        Minute latest = draft.end[at(job.booking)];
        for (const Wait& wait : jobs_.after[at(number)]) {
            // The latest end whose wait is over by the start of what follows; waits never shrink below zero.
            Minute low = place.end, high = start[at(wait.other)];
            while (low < high) {
                const Minute middle = low + (high - low + 1) / 2;
                if (hours_.ready(middle, wait.lag, wait.clock, kind) <= start[at(wait.other)]) low = middle;
                else high = middle - 1;
            }
            latest = std::min(latest, low);
        }
        start[at(number)] = job.work == 0 ? std::max(latest, place.start) : place.start;
        if (job.work > 0 && job.state == StepState::planned) {
            Minute after = place.start;  // never earlier than it was
            int team_found = -1;
            for (const int team : *job.teams)
                if (fit_back(number, team, kind, latest, after, pieces)) {
                    after = pieces.front().from;
                    team_found = team;
                    std::swap(best, pieces);
                }
            if (team_found < 0 && place.team >= 0) best = place.pieces, team_found = place.team;
            if (team_found >= 0) {
                start[at(number)] = best.front().from;
                occupy(number, hours_.people(team_found), best);
            }
        }
        keys[at(number)] = static_cast<double>(start[at(number)]);
    }
}

}  // namespace libseal::detail
