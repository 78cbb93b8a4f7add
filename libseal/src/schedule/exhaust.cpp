#include <algorithm>

#include "schedule/search.hpp"

namespace libseal::detail {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// Depth first over (job, team), starts never falling. Any schedule without a wait left in it is the work of its own order of starts.
class Tree {
public:
    Tree(const Jobs& jobs, ShopHours& hours, ShopDraft& best, bool& found, int nodes, const Watch& watch)
        : jobs_(jobs), hours_(hours), best_(best), found_(found), nodes_(nodes), reporter_(watch, "proof"), all_nodes_(nodes),
          busy_(jobs, hours), idle_(jobs, hours) {}

    bool take() {
        const std::size_t n = jobs_.jobs.size(), g = jobs_.guests.size();
        end_.assign(n, -1);
        draft_.jobs.resize(n);
        draft_.bay.assign(g, -1);
        draft_.begin.assign(g, 0);
        draft_.end.assign(g, 0);
        bay_free_.assign(jobs_.bay_kind.size(), 0);
        guest_of_.assign(jobs_.bay_kind.size(), -1);
        left_.assign(g, 0);
        waiting_.resize(n);
        for (std::size_t j = 0; j < n; ++j) waiting_[j] = jobs_.before[j].size(), ++left_[at(jobs_.jobs[j].booking)];
        for (std::size_t i = 0; i < g; ++i) {
            open_ += left_[i] > 0 ? 1 : 0;
            draft_.begin[i] = draft_.end[i] = jobs_.guests[i].arrival;
            if (left_[i] == 0) draft_.bay[i] = std::max(0, jobs_.guests[i].bay);
        }
        alike();
        descend(jobs_.start);
        return nodes_ > 0 && !doubtful_;
    }

private:
    struct Undo {
        std::vector<int> placed;
        int bay_left = -1, guest_left = -1;
        Minute bay_free_before = 0;
    };

    /// People who can stand in for each other: same hours, same skills.
    void alike() {
        const Shop& shop = hours_.shop();
        for (std::size_t p = 0; p < shop.people.size(); ++p) {
            int twin = static_cast<int>(p);
            for (std::size_t q = 0; q < p; ++q) {
                const Person &a = shop.people[p], &b = shop.people[q];
                const bool away = std::any_of(shop.absences.begin(), shop.absences.end(),
                                              [&](const Absence& x) { return x.person == a.id || x.person == b.id; });
                if (!away && a.from == b.from && a.to == b.to && a.skills == b.skills) {
                    twin = class_[q];
                    break;
                }
            }
            class_.push_back(twin);
        }
        used_.assign(shop.people.size(), 0);
    }

    /// Of people alike who have not worked yet only the first needs a try.
    bool wasteful(const std::vector<int>& team) const {
        for (const int p : team)
            if (used_[at(p)] == 0)
                for (int q = 0; q < p; ++q)
                    if (class_[at(q)] == class_[at(p)] && used_[at(q)] == 0 && std::find(team.begin(), team.end(), q) == team.end()) return true;
        return false;
    }

    Minute ready(int j) const {
        const BookedStep& job = jobs_.jobs[at(j)];
        const int bay = draft_.bay[at(job.booking)];
        Minute ready = job.work > 0 ? std::max(job.release, bay_free_[at(bay)]) : job.release;
        for (const Wait& wait : jobs_.before[at(j)])
            ready = std::max(ready, hours_.ready(end_[at(wait.other)], wait.lag, wait.clock, jobs_.bay_kind[at(bay)]));
        return ready;
    }

    void set(int j, Minute start, Minute end, Undo& undo) {
        draft_.jobs[at(j)].start = start;
        draft_.jobs[at(j)].end = end_[at(j)] = end;
        undo.placed.push_back(j);
        --left_[at(jobs_.jobs[at(j)].booking)];
        for (const Wait& wait : jobs_.after[at(j)]) --waiting_[at(wait.other)];
    }

    /// Marks of coaches in a bay come by themselves.
    void marks(int guest, Undo& undo) {
        for (bool again = true; again;) {
            again = false;
            for (int j = jobs_.guests[at(guest)].first; j < jobs_.guests[at(guest)].last; ++j) {
                if (end_[at(j)] >= 0 || waiting_[at(j)] > 0 || jobs_.jobs[at(j)].work > 0) continue;
                draft_.jobs[at(j)].pieces.clear();
                draft_.jobs[at(j)].team = -1;
                const Minute t = ready(j);
                set(j, t, t, undo);
                again = true;
            }
        }
    }

    void close(int guest, Undo& undo) {
        if (left_[at(guest)] > 0) return;
        const Guest& who = jobs_.guests[at(guest)];
        Minute begin = never, end = 0;
        for (int j = who.first; j < who.last; ++j) {
            if (!draft_.jobs[at(j)].pieces.empty()) begin = std::min(begin, draft_.jobs[at(j)].start);
            end = std::max(end, draft_.jobs[at(j)].end);
        }
        draft_.begin[at(guest)] = begin == never ? end : begin;
        draft_.end[at(guest)] = end;
        const int bay = draft_.bay[at(guest)];
        undo.bay_left = bay;
        undo.guest_left = guest;
        undo.bay_free_before = bay_free_[at(bay)];
        if (begin != never) bay_free_[at(bay)] = std::max(bay_free_[at(bay)], end);  // marks in time alone hold no bay
        guest_of_[at(bay)] = -1;
        --open_;
    }

    void take_back(const Undo& undo) {
        if (undo.guest_left >= 0) {
            bay_free_[at(undo.bay_left)] = undo.bay_free_before;
            guest_of_[at(undo.bay_left)] = undo.guest_left;
            ++open_;
        }
        for (auto j = undo.placed.rbegin(); j != undo.placed.rend(); ++j) {
            end_[at(*j)] = -1;
            ++left_[at(jobs_.jobs[at(*j)].booking)];
            for (const Wait& wait : jobs_.after[at(*j)]) ++waiting_[at(wait.other)];
        }
    }

    ScheduleScore promise(Minute last) {
        earliest_ends(jobs_, hours_, idle_, end_, bays(), last, ends_);
        ScheduleScore score;
        for (const Urgent& urgent : jobs_.urgent) {
            Minute done = 0;
            for (const int job : urgent.jobs) done = std::max(done, ends_[at(job)]);
            if (done > urgent.due) score.urgent += (done - urgent.due + 1439) / 1440;
        }
        for (const Guest& guest : jobs_.guests) {
            Minute end = guest.arrival;
            for (int j = guest.first; j < guest.last; ++j) end = std::max(end, ends_[at(j)]);
            if (guest.promised > 0) score.late += std::max<Minute>(0, end - guest.promised);
            if (guest.latest > 0) score.broken += std::max<Minute>(0, end - guest.latest);
            score.stay += end - guest.arrival;
        }
        return score;
    }

    std::vector<int> bays() const {
        std::vector<int> bay = draft_.bay;
        for (std::size_t g = 0; g < bay.size(); ++g)
            if (bay[g] < 0) bay[g] = jobs_.guests[g].bay;
        return bay;
    }

    bool hopeless(const ScheduleScore& promise) const {
        if (!found_) return promise.broken > 0;
        const auto key = [](const ScheduleScore& s) { return std::tuple(s.broken, s.urgent, s.late, s.stay); };
        return key(promise) >= key(best_.score);
    }

    void leaf() {
        Minute broken = 0;
        for (std::size_t j = 0; j < jobs_.jobs.size(); ++j)
            for (const Wait& wait : jobs_.before[j])
                if (wait.longest >= 0)
                    broken += std::max<Minute>(0, draft_.jobs[j].start - draft_.jobs[at(wait.other)].end - wait.longest);
        draft_.complete = true;
        draft_.score = score_of(jobs_, hours_, draft_, broken);
        // With a longest wait missed this order might still do with idle time put in: no proof then.
        if (broken > 0) {
            doubtful_ = true;
            return;
        }
        if (draft_.score.broken > 0) return;
        if (!found_ || draft_.score < best_.score) best_ = draft_, found_ = true;
    }

    void descend(Minute last) {
        if (open_ == 0) return leaf();
        if (--nodes_ <= 0) return;
        if ((nodes_ & 1023) == 0) reporter_.tick(1.0 - static_cast<double>(nodes_) / all_nodes_);
        if (hopeless(promise(last))) return;
        for (std::size_t g = 0; g < jobs_.guests.size(); ++g) {
            if (left_[g] == 0) continue;
            const auto guest = static_cast<int>(g);
            if (draft_.bay[g] >= 0) {
                branch(guest, last);
                continue;
            }
            for (std::size_t b = 0; b < guest_of_.size(); ++b) {
                if (guest_of_[b] >= 0 || (jobs_.guests[g].bay >= 0 && jobs_.guests[g].bay != static_cast<int>(b))) continue;
                const bool same = std::any_of(guest_of_.begin(), guest_of_.begin() + static_cast<std::ptrdiff_t>(b), [&](const int& other) {
                    const auto o = static_cast<std::size_t>(&other - guest_of_.data());
                    return other < 0 && bay_free_[o] == bay_free_[b] && jobs_.bay_kind[o] == jobs_.bay_kind[b];
                });
                if (same && jobs_.guests[g].bay < 0) continue;
                guest_of_[b] = guest;
                draft_.bay[g] = static_cast<int>(b);
                Undo undo;
                marks(guest, undo);
                close(guest, undo);
                if (left_[g] == 0) descend(last);
                else branch(guest, last);
                take_back(undo);
                draft_.bay[g] = -1;
                guest_of_[b] = -1;
            }
        }
    }

    void branch(int guest, Minute last) {
        const Guest& who = jobs_.guests[at(guest)];
        for (int j = who.first; j < who.last && nodes_ > 0; ++j) {
            if (end_[at(j)] >= 0 || waiting_[at(j)] > 0) continue;
            const BookedStep& job = jobs_.jobs[at(j)];
            const Minute from = ready(j);
            const int kind = jobs_.bay_kind[at(draft_.bay[at(guest)])];
            std::vector<TimeSpan> pieces;
            for (const int team : *job.teams) {
                const auto& people = hours_.people(team);
                if (wasteful(people) || !busy_.fit(j, team, kind, from, never, pieces)) continue;
                if (pieces.front().from < last) continue;
                busy_.occupy(j, people, pieces);
                for (const int p : people) ++used_[at(p)];
                draft_.jobs[at(j)].team = team;
                draft_.jobs[at(j)].pieces = pieces;
                Undo undo;
                set(j, pieces.front().from, pieces.back().to, undo);
                marks(guest, undo);
                close(guest, undo);
                const std::vector<TimeSpan> kept = pieces;
                descend(kept.front().from);
                take_back(undo);
                for (const int p : people) --used_[at(p)];
                busy_.release(j, people, kept);
            }
        }
    }

    const Jobs& jobs_;
    ShopHours& hours_;
    ShopDraft& best_;
    bool& found_;
    int nodes_;
    ProgressReporter reporter_;
    int all_nodes_;
    ShopGenerator busy_, idle_;
    ShopDraft draft_;
    std::vector<Minute> end_, ends_, bay_free_;
    std::vector<int> guest_of_, left_, class_, used_;
    std::vector<std::size_t> waiting_;
    int open_ = 0;
    bool doubtful_ = false;
};

}  // namespace

bool is_small(const Jobs& jobs) {
    const auto work = std::count_if(jobs.jobs.begin(), jobs.jobs.end(), [](const BookedStep& job) { return job.work > 0; });
    return work <= 16 && jobs.guests.size() <= 3 && !jobs.running;
}

bool exhaust(const Jobs& jobs, ShopHours& hours, ShopDraft& best, bool& found, int nodes, const Watch& watch) {
    return Tree(jobs, hours, best, found, nodes, watch).take();
}

}  // namespace libseal::detail
