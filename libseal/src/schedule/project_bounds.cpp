#include "schedule/project_bounds.hpp"

#include <algorithm>
#include <cstdint>
#include <iterator>
#include <vector>

namespace libseal::detail {
namespace {

constexpr std::size_t at(int i) { return static_cast<std::size_t>(i); }

int ceil_div(std::int64_t a, std::int64_t b) { return static_cast<int>((a + b - 1) / b); }

/// Work of one resource between a head and a tail: of the users that have at least both.
int work_bound(const ProjectModel& model, std::size_t k) {
    std::vector<int> users;
    for (int i = 0; i < model.tasks; ++i)
        if (model.need[k][at(i)] > 0) users.push_back(i);
    std::sort(users.begin(), users.end(),
              [&](int a, int b) { return model.tail[at(a)] > model.tail[at(b)]; });
    int best = 0;
    for (const int from : users) {
        const int head = model.head[at(from)];
        std::int64_t work = 0;
        for (const int i : users) {  // tails fall: the last one added is the least
            if (model.head[at(i)] < head) continue;
            work += std::int64_t{model.need[k][at(i)]} * model.duration[at(i)];
            best = std::max(best, head + ceil_div(work, model.capacity[k]) + model.tail[at(i)]);
        }
    }
    return best;
}

/// Time windows of the tasks for one makespan; says whether they run empty.
class Windows {
public:
    Windows(const ProjectModel& model, int makespan)
        : model_(model), earliest_(model.head), latest_(at(model.tasks)), makespan_(makespan) {
        for (int i = 0; i < model.tasks; ++i) latest_[at(i)] = makespan - model.tail[at(i)];
    }

    bool refuted(bool intervals) {
        constexpr int most_rounds = 12;
        bool changed = true;
        for (int round = 0; changed && round < most_rounds; ++round) {
            changed = false;
            if (!precedence(changed)) return true;
            for (std::size_t k = 0; k < model_.need.size(); ++k)
                if (!certain_parts(k, changed)) return true;
            if (!pairs(changed)) return true;
            if (!intervals || (changed && round < 6)) continue;
            for (std::size_t k = 0; k < model_.need.size(); ++k)
                if (!interval_work(k, changed)) return true;
        }
        return false;
    }

private:
    int duration(int i) const { return model_.duration[at(i)]; }
    int earliest_end(int i) const { return earliest_[at(i)] + duration(i); }
    int latest_start(int i) const { return latest_[at(i)] - duration(i); }
    bool empty(int i) const { return earliest_end(i) > latest_[at(i)]; }

    bool raise(int i, int start, bool& changed) {
        if (start <= earliest_[at(i)]) return true;
        earliest_[at(i)] = start;
        changed = true;
        return !empty(i);
    }
    bool lower(int i, int end, bool& changed) {
        if (end >= latest_[at(i)]) return true;
        latest_[at(i)] = end;
        changed = true;
        return !empty(i);
    }

    bool precedence(bool& changed) {
        for (int i = 0; i < model_.tasks; ++i) {
            if (empty(i)) return false;
            for (const int* s = model_.after.first(i); s != model_.after.last(i); ++s)
                if (!raise(*s, earliest_[at(i)] + duration(i), changed)) return false;
        }
        for (int i = model_.tasks - 1; i >= 0; --i)
            for (const int* p = model_.before.first(i); p != model_.before.last(i); ++p)
                if (!lower(*p, latest_[at(i)] - duration(i), changed)) return false;
        return true;
    }

    /// Use of a resource that is certain, from one moment to the next in the list.
    struct Level {
        int time, used;
    };

    /// A task surely runs from its latest start to its earliest end. The last level is 0.
    std::vector<Level> levels_of(std::size_t k) const {
        std::vector<Level> changes;
        for (int i = 0; i < model_.tasks; ++i) {
            const int need = model_.need[k][at(i)];
            if (need == 0 || latest_start(i) >= earliest_end(i)) continue;
            changes.push_back({latest_start(i), need});
            changes.push_back({earliest_end(i), -need});
        }
        std::sort(changes.begin(), changes.end(),
                  [](const Level& a, const Level& b) { return a.time < b.time; });
        std::vector<Level> levels;
        int used = 0;
        for (const auto& [time, change] : changes) {
            used += change;
            if (!levels.empty() && levels.back().time == time)
                levels.back().used = used;
            else
                levels.push_back({time, used});
        }
        return levels;
    }

    /// What runs for certain leaves the rest to others.
    bool certain_parts(std::size_t k, bool& changed) {
        const auto levels = levels_of(k);
        for (const auto& level : levels)
            if (level.used > model_.capacity[k]) return false;
        for (int i = 0; i < model_.tasks && !levels.empty(); ++i) {
            if (model_.need[k][at(i)] == 0) continue;
            // The windows of i have not changed since the levels were added up: its own part is still this
            // one.
            const int from = latest_start(i);
            const int to = earliest_end(i);
            const int room = model_.capacity[k] - model_.need[k][at(i)];
            const auto short_of_room = [&](const Level& level) {
                return level.used > room && (level.time < from || level.time >= to);
            };
            if (!fit_left(i, levels, short_of_room, changed) || !fit_right(i, levels, short_of_room, changed))
                return false;
        }
        return true;
    }

    template <class Blocked>
    bool fit_left(int i, const std::vector<Level>& levels, Blocked blocked, bool& changed) {
        int start = earliest_[at(i)];
        auto level = std::upper_bound(levels.begin(), levels.end(), start,
                                      [](int time, const Level& l) { return time < l.time; });
        if (level != levels.begin()) --level;
        for (; level != levels.end() && level->time < start + duration(i); ++level)
            if (blocked(*level)) start = std::max(start, std::next(level)->time);
        return raise(i, start, changed);
    }

    template <class Blocked>
    bool fit_right(int i, const std::vector<Level>& levels, Blocked blocked, bool& changed) {
        int end = latest_[at(i)];
        auto level = std::lower_bound(levels.begin(), levels.end(), end,
                                      [](const Level& l, int time) { return l.time < time; });
        while (level != levels.begin()) {
            const int next = level == levels.end() ? makespan_ : level->time;
            if (next <= end - duration(i)) break;
            --level;
            if (blocked(*level)) end = std::min(end, level->time);
        }
        return lower(i, end, changed);
    }

    bool exclude(int i, int j) const {
        for (std::size_t k = 0; k < model_.need.size(); ++k)
            if (model_.need[k][at(i)] + model_.need[k][at(j)] > model_.capacity[k]) return true;
        return false;
    }

    /// Two tasks that cannot run at once: one is first.
    bool pairs(bool& changed) {
        for (int i = 0; i < model_.tasks; ++i)
            for (int j = i + 1; j < model_.tasks; ++j) {
                const bool i_first = earliest_end(i) <= latest_start(j);
                const bool j_first = earliest_end(j) <= latest_start(i);
                if ((i_first && j_first) || !exclude(i, j)) continue;
                if (!i_first && !j_first) return false;
                const int a = i_first ? i : j;
                const int b = i_first ? j : i;
                if (!raise(b, earliest_end(a), changed) || !lower(a, latest_start(b), changed)) return false;
            }
        return true;
    }

    /// Users of one resource in columns, so that the work inside an interval is one plain loop.
    struct Users {
        std::vector<int> task, need, duration, earliest_end, latest_start;
    };

    Users users_of(std::size_t k) const {
        Users users;
        for (int i = 0; i < model_.tasks; ++i) {
            if (model_.need[k][at(i)] == 0) continue;
            users.task.push_back(i);
            users.need.push_back(model_.need[k][at(i)]);
            users.duration.push_back(duration(i));
            users.earliest_end.push_back(earliest_end(i));
            users.latest_start.push_back(latest_start(i));
        }
        return users;
    }

    /// Least work that must fall into [from, to).
    static std::int64_t work_in(const Users& users, int from, int to) {
        std::int64_t work = 0;
        const std::size_t count = users.task.size();
        for (std::size_t u = 0; u < count; ++u) {
            const int left = std::min(users.duration[u], users.earliest_end[u] - from);
            const int right = std::min(to - from, to - users.latest_start[u]);
            work += std::int64_t{users.need[u]} * std::max(0, std::min(left, right));
        }
        return work;
    }

    bool interval_work(std::size_t k, bool& changed) {
        const Users users = users_of(k);
        std::vector<int> froms, tos;
        for (const int i : users.task) {
            froms.push_back(earliest_[at(i)]);
            tos.push_back(latest_[at(i)]);
            if (model_.tasks > 64) continue;
            froms.push_back(latest_start(i));
            tos.push_back(earliest_end(i));
        }
        for (auto* list : {&froms, &tos}) {
            std::sort(list->begin(), list->end());
            list->erase(std::unique(list->begin(), list->end()), list->end());
        }
        for (const int from : froms)
            for (const int to : tos) {
                if (from >= to) continue;
                const std::int64_t room = std::int64_t{model_.capacity[k]} * (to - from);
                const std::int64_t work = work_in(users, from, to);
                if (work > room) return false;
                if (2 * work > room && !shift(users, from, to, room - work, changed)) return false;
            }
        return true;
    }

    /// A task for which the interval has less time than it would take at an end of its window must leave that
    /// end.
    bool shift(const Users& users, int from, int to, std::int64_t spare, bool& changed) {
        for (std::size_t u = 0; u < users.task.size(); ++u) {
            const int i = users.task[u];
            const int certain = std::max(0, std::min({users.duration[u], users.earliest_end[u] - from,
                                                      to - from, to - users.latest_start[u]}));
            const int fits = certain + static_cast<int>(std::min<std::int64_t>(spare / users.need[u], to));
            if (fits >= duration(i) || fits >= to - from) continue;
            if (earliest_end(i) - from > fits && !raise(i, to - fits, changed)) return false;
            if (to - latest_start(i) > fits && !lower(i, from + fits, changed)) return false;
        }
        return true;
    }

    const ProjectModel& model_;
    std::vector<int> earliest_, latest_;
    int makespan_;
};

}  // namespace

int simple_bound(const ProjectModel& model) {
    int bound = model.path;
    for (std::size_t k = 0; k < model.need.size(); ++k) bound = std::max(bound, work_bound(model, k));
    return bound;
}

int destructive_bound(const ProjectModel& model, int bound, int known, bool intervals) {
    // A project that cannot be done in some time cannot be done in less: halving the range is enough.
    while (bound < known) {
        const int length = bound + (known - bound) / 2;
        if (Windows(model, length).refuted(intervals))
            bound = length + 1;
        else
            known = length;
    }
    return bound;
}

}  // namespace libseal::detail
