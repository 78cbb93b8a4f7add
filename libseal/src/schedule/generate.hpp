#pragma once
// Serial schedule generation with calendars, weather, named people, ladders and bays.

#include <optional>
#include <vector>

#include "kernel/minute_rows.hpp"
#include "schedule/jobs.hpp"

namespace libseal::detail {

/// Where a job came to lie.
struct Placed {
    Minute start = 0, end = 0;
    int team = -1;  ///< number of ShopHours, -1 for marks and for what the running plan fixed
    std::vector<TimeSpan> pieces;
};

/// A schedule of all jobs.
struct ShopDraft {
    std::vector<Placed> jobs;
    std::vector<int> bay;          ///< by guest
    std::vector<Minute> begin, end;  ///< by guest
    ScheduleScore score;
    bool complete = false;         ///< every job found a place within the horizon
    int stuck = -1;                ///< else the first that did not
};

/// The genome: in which order jobs and coaches are taken.
struct ShopKeys {
    std::vector<double> job;     ///< smaller first among those that may come next
    std::vector<double> guest;   ///< smaller first: who enters a bay first
    std::vector<int> kind;       ///< by guest: kind of bay that it waits for, -1 for the next free one
    std::vector<char> stick;     ///< by job: to its place in the running plan, if it still fits there
};

/// Busy time and tools. Owns its working space; not shared between threads.
class ShopGenerator {
public:
    ShopGenerator(const Jobs& jobs, ShopHours& hours);

    /// Places every job at its earliest time, in the order of the keys.
    /// @source  Serial scheme: Kolisch 1996. A missed longest wait takes its first step out again and puts it later: Franck, Neumann & Schwindt 2001, OR Spektrum 23.
    /// @param parallel  Of all that may come next the job that can start first is taken; keys break ties.
    void generate(const ShopKeys& keys, ShopDraft& draft, bool parallel = false);

    /// Backward half of a justification: as late as it goes within each coach's stay, latest end first. Gives starts as keys.
    /// @source  Valls, Ballestin & Quintanilla 2005 (EJOR 165, 375-386).
    void push_back(const ShopDraft& draft, std::vector<double>& keys);

    /// The same, but what starts before `from` in `base` stays as it is there. Costs its share of a schedule.
    void generate_from(const ShopKeys& keys, const ShopDraft& base, Minute from, ShopDraft& draft);

    /// The same for the coaches that are marked. Keys of coaches must not mix: those that stay have the smaller ones.
    void generate_after(const ShopKeys& keys, const ShopDraft& base, const std::vector<char>& stays, ShopDraft& draft);

    /// Schedules generated, parts counted as parts.
    double worked() const { return worked_; }

    // The small moves of which the exact search is made as well.
    void begin();
    /// Earliest place of a job for one team at or after `ready`; false if none ends before `before`.
    bool fit(int job, int team, int kind, Minute ready, Minute before, std::vector<TimeSpan>& pieces) const;
    bool fit_back(int job, int team, int kind, Minute latest, Minute after, std::vector<TimeSpan>& pieces) const;
    void occupy(int job, const std::vector<int>& people, const std::vector<TimeSpan>& pieces);
    void release(int job, const std::vector<int>& people, const std::vector<TimeSpan>& pieces);

private:
    struct Level {
        Minute time;
        int used;  ///< from here to the next
    };
    struct Run;
    struct Sought;
    std::optional<Sought> sought_by(int job, int team, int kind) const;
    const std::vector<int>& rows_of(int team, int reach) const;
    void count(std::size_t kept);
    void use(int reach, Minute from, Minute to, int change);
    Minute taken_until(const std::vector<int>& rows, Minute from, Minute to) const;
    Minute taken_since(const std::vector<int>& rows, Minute from, Minute to) const;

    const Jobs& jobs_;
    ShopHours& hours_;
    double worked_ = 0;
    kernel::MinuteRows taken_;      ///< by person, then by kind of reach when every set is in use
    std::vector<Level> reach_[2];
    mutable std::vector<std::vector<int>> rows_;  ///< by team and reach, made when first asked for
};

/// Days late, minutes late, stay, moved steps and changes of a complete draft.
ScheduleScore score_of(const Jobs& jobs, const ShopHours& hours, const ShopDraft& draft, Minute broken);

}  // namespace libseal::detail
