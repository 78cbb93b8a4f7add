#include "libseal/schedule/schedule.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/core/text.hpp"
#include "libseal/schedule/verify.hpp"
#include "schedule/crew_time.hpp"

namespace libseal {
namespace {

std::int64_t work_of(const Step& step) { return static_cast<std::int64_t>(std::ceil(step.minutes.mode)); }
std::int64_t lag_of(const Edge& edge) { return static_cast<std::int64_t>(std::ceil(edge.lag)); }
bool is_mark(const Step& step) { return step.people == 0 || work_of(step) == 0; }

/// The steps of a plan as a graph, with what every generated schedule needs.
class Network {
public:
    explicit Network(const WorkPlan& plan) : plan_(plan), in_(plan.steps.size()), out_(plan.steps.size()), tail_(plan.steps.size()) {
        for (std::size_t e = 0; e < plan.edges.size(); ++e) {
            in_[static_cast<std::size_t>(plan.edges[e].to)].push_back(e);
            out_[static_cast<std::size_t>(plan.edges[e].from)].push_back(e);
        }
        for (auto i = plan.order.rbegin(); i != plan.order.rend(); ++i) {
            const auto s = static_cast<std::size_t>(*i);
            std::int64_t after = 0;
            for (const std::size_t e : out_[s])
                after = std::max(after, lag_of(plan.edges[e]) + tail_[static_cast<std::size_t>(plan.edges[e].to)]);
            tail_[s] = after + (is_mark(plan.steps[s]) ? 0 : work_of(plan.steps[s]));
        }
    }
    const std::vector<std::size_t>& in(std::size_t s) const { return in_[s]; }
    const std::vector<std::size_t>& out(std::size_t s) const { return out_[s]; }
    /// Longest path from the start of a step to the end of the job [min].
    std::int64_t tail(std::size_t s) const { return tail_[s]; }

private:
    const WorkPlan& plan_;
    std::vector<std::vector<std::size_t>> in_, out_;
    std::vector<std::int64_t> tail_;
};

/// One generated schedule, with the step that each step waited for.
struct Draft {
    std::vector<detail::Slot> slots;
    std::vector<int> cause;          ///< step that held it back, -1 for none
    std::vector<std::string> words;
    Minute end = 0;
};

class Generator {
public:
    Generator(const WorkPlan& plan, const Shop& shop, Date start) : plan_(plan), shop_(shop), start_(minute_of(start)), net_(plan) {}

    /// Serial schedule generation: of the steps whose predecessors are placed, the one with the longest way to the
    /// end is placed next, as early as it fits. `noise` shakes the priorities.
    Draft draft(RandomStream* random) const {
        detail::CrewTime crew(shop_);
        Draft d;
        const std::size_t n = plan_.steps.size();
        d.slots.resize(n);
        d.cause.assign(n, -1);
        d.words.resize(n);
        std::vector<double> priority(n);
        for (std::size_t s = 0; s < n; ++s)
            priority[s] = static_cast<double>(net_.tail(s)) * (random ? 0.6 + 0.8 * random->uniform() : 1.0);
        std::vector<std::size_t> open(n);
        const auto later = [&](std::size_t a, std::size_t b) { return priority[a] != priority[b] ? priority[a] > priority[b] : a < b; };
        std::set<std::size_t, decltype(later)> ready(later);
        for (std::size_t s = 0; s < n; ++s)
            if ((open[s] = net_.in(s).size()) == 0) ready.insert(s);
        while (!ready.empty()) {
            const std::size_t s = *ready.begin();
            ready.erase(ready.begin());
            place(s, crew, d);
            for (const std::size_t e : net_.out(s)) {
                const auto to = static_cast<std::size_t>(plan_.edges[e].to);
                if (--open[to] == 0) ready.insert(to);
            }
        }
        for (const auto& slot : d.slots) d.end = std::max(d.end, slot.end);
        return d;
    }

    /// No schedule ends earlier: the longest chain with everybody free, and all the work shared out evenly.
    Minute lower_bound() const {
        detail::CrewTime crew(shop_);
        std::vector<Minute> end(plan_.steps.size());
        Minute bound = start_;
        std::int64_t work = 0;
        for (const int i : plan_.order) {
            const auto s = static_cast<std::size_t>(i);
            Minute earliest = start_;
            for (const std::size_t e : net_.in(s))
                earliest = std::max(earliest, end[static_cast<std::size_t>(plan_.edges[e].from)] + lag_of(plan_.edges[e]));
            const Step& step = plan_.steps[s];
            end[s] = is_mark(step) ? earliest : crew.find_free(earliest, work_of(step), step.people, step.unbroken).end;
            if (!is_mark(step)) work += work_of(step) * step.people;
            bound = std::max(bound, end[s]);
        }
        return std::max(bound, shared_work_end(work));
    }

private:
    /// When people together can have done `work` person-minutes at the earliest.
    Minute shared_work_end(std::int64_t work) const {
        if (work == 0) return start_;
        for (Date day = day_of(start_);; day = day + 1) {
            std::vector<std::pair<Minute, int>> events;
            for (const auto& person : shop_.people)
                for (const TimeSpan& span : working_spans(shop_, person, day)) {
                    events.push_back({span.from, 1});
                    events.push_back({span.to, -1});
                }
            std::sort(events.begin(), events.end());
            int at_work = 0;
            for (std::size_t i = 0; i < events.size(); ++i) {
                at_work += events[i].second;
                const Minute until = i + 1 < events.size() ? events[i + 1].first : events[i].first;
                const std::int64_t done = (until - events[i].first) * at_work;
                if (done >= work) return events[i].first + (work + at_work - 1) / at_work;
                work -= done;
            }
            if (day - day_of(start_) > 3 * 366)
                throw_value_error("shop", "somebody at work within three years", "nobody", "check working days, shifts and holidays");
        }
    }

    void place(std::size_t s, detail::CrewTime& crew, Draft& d) const {
        const Step& step = plan_.steps[s];
        Minute earliest = start_;
        const Edge* binding = nullptr;
        for (const std::size_t e : net_.in(s)) {
            const Edge& edge = plan_.edges[e];
            const Minute free_from = d.slots[static_cast<std::size_t>(edge.from)].end + lag_of(edge);
            if (free_from > earliest) {
                earliest = free_from;
                binding = &edge;
            }
        }
        detail::Slot& slot = d.slots[s];
        if (is_mark(step)) {
            slot.start = slot.end = earliest;
        } else {
            slot = crew.find(earliest, work_of(step), step.people, step.unbroken);
            crew.book(slot, static_cast<int>(s));
        }
        explain(s, earliest, binding, crew, d);
    }

    void explain(std::size_t s, Minute earliest, const Edge* binding, const detail::CrewTime& crew, Draft& d) const {
        const detail::Slot& slot = d.slots[s];
        if (slot.start > earliest) {
            for (const int p : slot.people) {
                const int before = crew.last_step(p, slot.start);
                if (before < 0 || d.slots[static_cast<std::size_t>(before)].end <= earliest) continue;
                d.cause[s] = before;
                d.words[s] = shop_.people[static_cast<std::size_t>(p)].id + " was at " + plan_.steps[static_cast<std::size_t>(before)].id;
                return;
            }
            if (binding) d.cause[s] = binding->from;
            d.words[s] = "working hours from " + time_text(slot.start);
            return;
        }
        if (!binding) {
            d.words[s] = "the first day";
            return;
        }
        d.cause[s] = binding->from;
        d.words[s] = plan_.steps[static_cast<std::size_t>(binding->from)].id + ": " + binding->reason;
    }

    const WorkPlan& plan_;
    const Shop& shop_;
    Minute start_;
    Network net_;
};

/// People that steps ask for and the shop does not have; empty if it has them.
void find_obstacles(const WorkPlan& plan, const Shop& shop, Schedule& result) {
    const int have = static_cast<int>(shop.people.size());
    int need = 0;
    for (const Step& step : plan.steps) {
        if (step.people <= have) continue;
        result.obstacles.push_back(step.id + " needs " + std::to_string(step.people) + " people at once; the shop has " + std::to_string(have));
        need = std::max(need, step.people);
    }
    if (need > 0)
        result.relaxations.push_back(std::to_string(need - have) + " more " + (need - have == 1 ? "person" : "people") + " for these steps");
}

void fill(Schedule& result, const Draft& draft, Date start) {
    std::set<std::int32_t> days;
    result.begin = draft.end;
    std::size_t last = 0;
    for (std::size_t s = 0; s < draft.slots.size(); ++s) {
        const detail::Slot& slot = draft.slots[s];
        result.steps.push_back({static_cast<int>(s), slot.start, slot.end, slot.pieces, slot.people, draft.words[s], false});
        for (const TimeSpan& piece : slot.pieces) days.insert(day_of(piece.from).days);
        if (!slot.pieces.empty()) result.begin = std::min(result.begin, slot.start);
        if (slot.end > draft.slots[last].end) last = s;
    }
    for (int s = static_cast<int>(last); s >= 0; s = draft.cause[static_cast<std::size_t>(s)]) {
        if (result.steps[static_cast<std::size_t>(s)].critical) break;
        result.steps[static_cast<std::size_t>(s)].critical = true;
    }
    if (days.empty()) result.begin = minute_of(start);
    for (const auto day : days) result.days.push_back({day});
    result.end = draft.end;
}

}  // namespace

std::string to_text(Outcome outcome) {
    switch (outcome) {
        case Outcome::optimal: return "optimal";
        case Outcome::feasible: return "feasible";
        case Outcome::infeasible: return "infeasible";
        case Outcome::none_found: return "none_found";
        case Outcome::cancelled: return "cancelled";
    }
    return "none_found";
}

Schedule schedule(const WorkPlan& plan, const Shop& shop, Date start, const ScheduleOptions& options) {
    check_shop(shop);
    if (options.work_limit < 1)
        throw_value_error("work_limit", "a number of schedules, at least 1", std::to_string(options.work_limit));
    Schedule result;
    find_obstacles(plan, shop, result);
    if (!result.obstacles.empty()) {
        result.outcome = Outcome::infeasible;
        result.stopped = "a step that no shift can hold";
        return result;
    }
    const Generator generator(plan, shop, start);
    result.lower_bound = generator.lower_bound();
    Draft best = generator.draft(nullptr);
    result.tried = 1;
    RandomStream random(options.seed);
    result.stopped = "the work limit";
    ProgressReporter reporter(Watch{options.watch.progress, {}}, "schedule");
    bool cancelled = false;
    while (best.end > result.lower_bound && result.tried < options.work_limit && !plan.steps.empty()) {
        // A stop keeps the best so far: it is a valid schedule.
        if ((cancelled = options.watch.stop.stop_requested())) break;
        reporter.tick(static_cast<double>(result.tried) / options.work_limit);
        Draft other = generator.draft(&random);
        ++result.tried;
        if (other.end < best.end) best = std::move(other);
    }
    const bool proved = best.end <= result.lower_bound;
    result.outcome = proved ? Outcome::optimal : cancelled ? Outcome::cancelled : Outcome::feasible;
    if (proved) result.stopped = "it ends at the lower bound";
    if (cancelled) result.stopped = "a request to stop";
    fill(result, best, start);
    if (const auto faults = verify(result, plan, shop, start); !faults.empty()) {
        Problem problem;
        problem.field = "schedule of " + plan.coach;
        problem.expected = "a schedule that the verifier accepts";
        problem.got = faults.front();
        problem.hint = "this is a fault of the library: please report it with the plan";
        throw StateError(problem);
    }
    return result;
}

}  // namespace libseal
