#include "schedule/project_exact.hpp"

#include <algorithm>
#include <bit>
#include <limits>

namespace libseal::detail {
namespace {

constexpr std::size_t at(int i) { return static_cast<std::size_t>(i); }
constexpr std::uint64_t bit(int i) { return std::uint64_t{1} << i; }

template <class Use>
void for_each(std::uint64_t tasks, Use use) {
    for (; tasks != 0; tasks &= tasks - 1) use(std::countr_zero(tasks));
}

/// States whose continuations are all known, by the set of started tasks. Newer ones replace older ones.
class CutSets {
public:
    CutSets() : states_(std::size_t{1} << 15) {}

    /// Whether a kept state had the same tasks started, no later, with nothing that ends later.
    bool dominated(std::uint64_t started, int time, const std::vector<int>& end) const {
        const std::size_t first = place(started);
        for (std::size_t k = 0; k < ways_; ++k) {
            const State& state = states_[(first + k) & (states_.size() - 1)];
            if (state.started != started || state.time > time) continue;
            bool before = true;
            for (int r = 0; r < state.count && before; ++r) {
                const auto& running = state.running[at(r)];
                before = running.end <= std::max(time, end[at(running.task)]);
            }
            if (before) return true;
        }
        return false;
    }

    void keep(std::uint64_t started, int time, std::uint64_t running, const std::vector<int>& end) {
        if (std::popcount(running) > most_running_) return;
        State& state = states_[(place(started) + turn_++ % ways_) & (states_.size() - 1)];
        state.started = started;
        state.time = time;
        state.count = 0;
        for_each(running, [&](int task) { state.running[at(state.count++)] = {task, end[at(task)]}; });
    }

private:
    static constexpr int most_running_ = 12;
    static constexpr std::size_t ways_ = 4;
    struct Running {
        int task, end;
    };
    struct State {
        std::uint64_t started = 0;  ///< empty places: the state in which nothing has started is never kept
        int time = 0;
        int count = 0;
        Running running[most_running_];
    };
    std::size_t place(std::uint64_t started) const {
        return static_cast<std::size_t>((started * 0x9E3779B97F4A7C15u) >> 32) & (states_.size() - 1);
    }
    std::vector<State> states_;
    std::size_t turn_ = 0;
};

class ExactSearch {
public:
    ExactSearch(const ProjectModel& model, int known, int bound, std::int64_t most_places,
                const StopToken& stop)
        : model_(model),
          stop_(stop),
          bound_(bound),
          most_places_(most_places),
          end_(at(model.tasks), 0),
          open_(at(model.tasks)),
          reach_(at(model.tasks)),
          free_(model.capacity) {
        result_.makespan = known;
        for (int i = 0; i < model.tasks; ++i) {
            open_[at(i)] = static_cast<int>(model.before.last(i) - model.before.first(i));
            if (open_[at(i)] == 0) eligible_ |= bit(i);
            order_.push_back(i);
        }
        // What has most work behind it first.
        std::stable_sort(order_.begin(), order_.end(), [&](int a, int b) {
            return model.tail[at(a)] + model.duration[at(a)] > model.tail[at(b)] + model.duration[at(b)];
        });
        for (const auto& need : model.need) {
            std::int64_t work = 0;
            for (int i = 0; i < model.tasks; ++i) work += std::int64_t{need[at(i)]} * model.duration[at(i)];
            work_.push_back(work);
        }
    }

    ExactResult run() {
        arrive(0, 0);
        result_.complete = !given_up_;
        return std::move(result_);
    }

private:
    bool over() const { return given_up_ || result_.makespan <= bound_; }

    bool fits(int task) const {
        for (std::size_t k = 0; k < free_.size(); ++k)
            if (model_.need[k][at(task)] > free_[k]) return false;
        return true;
    }

    /// At a moment: what may start is known, nothing has started yet. `late` are tasks that must not start
    /// now.
    void arrive(int time, std::uint64_t late) {
        if (started_ == all()) {
            finish(time);
            return;
        }
        if (bound_from(time, late) >= result_.makespan) return;
        if (started_ != 0 && cut_sets_.dominated(started_, time, end_)) return;
        const std::uint64_t started = started_;
        const std::uint64_t running = running_;
        choose(time, 0, late);
        if (!given_up_ && started != 0) cut_sets_.keep(started, time, running, end_);
    }

    std::uint64_t all() const { return model_.tasks == 64 ? ~std::uint64_t{0} : bit(model_.tasks) - 1; }

    void finish(int time) {
        int makespan = time;
        for_each(running_, [&](int task) { makespan = std::max(makespan, end_[at(task)]); });
        if (makespan >= result_.makespan) return;
        result_.makespan = makespan;
        result_.start.resize(end_.size());
        for (int i = 0; i < model_.tasks; ++i) result_.start[at(i)] = end_[at(i)] - model_.duration[at(i)];
    }

    /// Goes through the tasks in order from `rank`: start or leave.
    void choose(int time, std::size_t rank, std::uint64_t late) {
        for (; rank < order_.size() && !over(); ++rank) {
            const int task = order_[rank];
            if ((eligible_ & ~late & bit(task)) == 0 || !fits(task)) continue;
            if (result_.places >= most_places_ || (result_.places % 1024 == 1 && stop_.stop_requested())) {
                given_up_ = true;
                return;
            }
            ++result_.places;
            start(task, time);
            choose(time, rank + 1, late);
            take_back(task);
            // Left for later.
            if (time + 1 + model_.duration[at(task)] + model_.tail[at(task)] >= result_.makespan) return;
        }
        if (!over()) leave(time);
    }

    void start(int task, int time) {
        started_ |= bit(task);
        eligible_ &= ~bit(task);
        end_[at(task)] = time + model_.duration[at(task)];
        running_ |= bit(task);
        for (std::size_t k = 0; k < free_.size(); ++k) {
            free_[k] -= model_.need[k][at(task)];
            work_[k] -= std::int64_t{model_.need[k][at(task)]} * model_.duration[at(task)];
        }
    }

    void take_back(int task) {
        running_ &= ~bit(task);
        started_ &= ~bit(task);
        eligible_ |= bit(task);
        for (std::size_t k = 0; k < free_.size(); ++k) {
            free_[k] += model_.need[k][at(task)];
            work_[k] += std::int64_t{model_.need[k][at(task)]} * model_.duration[at(task)];
        }
    }

    /// On to the next moment, and back.
    void leave(int time) {
        if (running_ == 0) return;
        int next = std::numeric_limits<int>::max();
        for_each(running_, [&](int task) { next = std::min(next, end_[at(task)]); });
        std::uint64_t too_late = 0;
        bool waste = false;
        for_each(eligible_, [&](int task) {
            if (!fits(task)) return;
            // It could run from now on: to start it at the next moment is not better.
            too_late |= bit(task);
            waste = waste || model_.duration[at(task)] <= next - time;
        });
        if (waste) return;
        const std::uint64_t running = running_;
        std::uint64_t opened = 0;
        for_each(running, [&](int task) {
            if (end_[at(task)] > next) return;
            running_ &= ~bit(task);
            for (std::size_t k = 0; k < free_.size(); ++k) free_[k] += model_.need[k][at(task)];
            for (const int* s = model_.after.first(task); s != model_.after.last(task); ++s)
                if (--open_[at(*s)] == 0) opened |= bit(*s);
        });
        eligible_ |= opened;
        arrive(next, too_late);
        eligible_ &= ~opened;
        for_each(running & ~running_, [&](int task) {
            for (std::size_t k = 0; k < free_.size(); ++k) free_[k] -= model_.need[k][at(task)];
            for (const int* s = model_.after.first(task); s != model_.after.last(task); ++s) ++open_[at(*s)];
        });
        running_ = running;
    }

    /// Longest way through what is left, and the work that is left.
    int bound_from(int time, std::uint64_t late) {
        int bound = 0;
        for (int i = 0; i < model_.tasks; ++i) {
            if (started_ & bit(i)) {
                bound = std::max(bound, end_[at(i)] + model_.tail[at(i)]);
                continue;
            }
            int earliest = (late & bit(i)) ? time + 1 : time;
            for (const int* p = model_.before.first(i); p != model_.before.last(i); ++p)
                earliest = std::max(earliest, (started_ & bit(*p)) ? end_[at(*p)] : reach_[at(*p)]);
            reach_[at(i)] = earliest + model_.duration[at(i)];
            bound = std::max(bound, reach_[at(i)] + model_.tail[at(i)]);
        }
        for (std::size_t k = 0; k < work_.size(); ++k) {
            std::int64_t work = work_[k];
            for_each(running_, [&](int task) {
                work += std::int64_t{model_.need[k][at(task)]} * (end_[at(task)] - time);
            });
            const std::int64_t capacity = model_.capacity[k];
            bound = std::max(bound, time + static_cast<int>((work + capacity - 1) / capacity));
        }
        return bound;
    }

    const ProjectModel& model_;
    const StopToken& stop_;
    int bound_;
    std::int64_t most_places_;
    ExactResult result_;
    bool given_up_ = false;
    std::uint64_t started_ = 0;
    std::uint64_t running_ = 0;
    std::uint64_t eligible_ = 0;  ///< not started, all predecessors have ended
    std::vector<int> end_, open_, reach_, order_;
    std::vector<int> free_;
    std::vector<std::int64_t> work_;  ///< of what has not started, by resource
    CutSets cut_sets_;
};

}  // namespace

ExactResult search_exactly(const ProjectModel& model, int known, int bound, std::int64_t most_places,
                           const StopToken& stop) {
    if (model.tasks > most_exact_tasks) {
        ExactResult none;
        none.makespan = known;
        return none;
    }
    return ExactSearch(model, known, bound, most_places, stop).run();
}

}  // namespace libseal::detail
