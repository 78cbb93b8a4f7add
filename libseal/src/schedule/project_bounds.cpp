#include "schedule/project_bounds.hpp"

#include <algorithm>
#include <cstdint>
#include <numeric>

namespace libseal::detail {
namespace {

constexpr std::size_t at(int i) { return static_cast<std::size_t>(i); }

int ceil_div(std::int64_t a, std::int64_t b) { return static_cast<int>((a + b - 1) / b); }

/// Work of one resource between a head and a tail: of the users that have at least both.
int work_bound(const ProjectModel& model, std::size_t k) {
    std::vector<int> users;
    for (int i = 0; i < model.tasks; ++i)
        if (model.need[k][at(i)] > 0) users.push_back(i);
    std::sort(users.begin(), users.end(), [&](int a, int b) { return model.tail[at(a)] > model.tail[at(b)]; });
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
    bool empty(int i) const { return earliest_[at(i)] + duration(i) > latest_[at(i)]; }

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

    /// A task surely runs from its latest start to its earliest end; others cannot use that part of the resource.
    bool certain_parts(std::size_t k, bool& changed) {
        std::vector<int> used(at(makespan_) + 1, 0);
        for (int i = 0; i < model_.tasks; ++i)
            for (int t = latest_[at(i)] - duration(i); t < earliest_[at(i)] + duration(i); ++t)
                used[at(t)] += model_.need[k][at(i)];
        for (int t = 0; t < makespan_; ++t)
            if (used[at(t)] > model_.capacity[k]) return false;
        for (int i = 0; i < model_.tasks; ++i) {
            if (model_.need[k][at(i)] == 0) continue;
            if (!fit_left(k, i, used, changed) || !fit_right(k, i, used, changed)) return false;
        }
        return true;
    }

    bool fit_left(std::size_t k, int i, const std::vector<int>& used, bool& changed) {
        // Own certain part may have grown since `used` was added up; then the check is only weaker.
        const int first = earliest_[at(i)];
        const int own_from = latest_[at(i)] - duration(i);
        const int own_to = first + duration(i);
        int start = first;
        for (int t = start; t < start + duration(i) && t < makespan_; ++t) {
            const bool own = t >= own_from && t < own_to;
            if (!own && used[at(t)] + model_.need[k][at(i)] > model_.capacity[k]) start = t + 1;
        }
        return raise(i, start, changed);
    }

    bool fit_right(std::size_t k, int i, const std::vector<int>& used, bool& changed) {
        const int last = latest_[at(i)];
        const int own_from = last - duration(i);
        const int own_to = earliest_[at(i)] + duration(i);
        int end = last;
        for (int t = end - 1; t >= end - duration(i) && t >= 0; --t) {
            const bool own = t >= own_from && t < own_to;
            if (!own && used[at(t)] + model_.need[k][at(i)] > model_.capacity[k]) end = t;
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
                if (earliest_[at(i)] + duration(i) <= latest_[at(j)] - duration(j) &&
                    earliest_[at(j)] + duration(j) <= latest_[at(i)] - duration(i))
                    continue;
                if (!exclude(i, j)) continue;
                const bool i_first = earliest_[at(i)] + duration(i) <= latest_[at(j)] - duration(j);
                const bool j_first = earliest_[at(j)] + duration(j) <= latest_[at(i)] - duration(i);
                if (!i_first && !j_first) return false;
                const int a = i_first ? i : j;
                const int b = i_first ? j : i;
                if (!raise(b, earliest_[at(a)] + duration(a), changed)) return false;
                if (!lower(a, latest_[at(b)] - duration(b), changed)) return false;
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
            users.earliest_end.push_back(earliest_[at(i)] + duration(i));
            users.latest_start.push_back(latest_[at(i)] - duration(i));
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
            froms.push_back(latest_[at(i)] - duration(i));
            tos.push_back(earliest_[at(i)] + duration(i));
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

    /// A task for which the interval has less time than it would take at an end of its window must leave that end.
    bool shift(const Users& users, int from, int to, std::int64_t spare, bool& changed) {
        for (std::size_t u = 0; u < users.task.size(); ++u) {
            const int i = users.task[u];
            const int certain = std::max(0, std::min({users.duration[u], users.earliest_end[u] - from, to - from,
                                                      to - users.latest_start[u]}));
            const int fits = certain + static_cast<int>(std::min<std::int64_t>(spare / users.need[u], to));
            if (fits >= duration(i) || fits >= to - from) continue;
            if (earliest_[at(i)] + duration(i) - from > fits && !raise(i, to - fits, changed)) return false;
            if (to - latest_[at(i)] + duration(i) > fits && !lower(i, from + fits, changed)) return false;
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
    while (bound < known && Windows(model, bound).refuted(intervals)) ++bound;
    return bound;
}

}  // namespace libseal::detail
