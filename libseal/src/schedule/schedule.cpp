#include "libseal/schedule/schedule.hpp"

#include <algorithm>
#include <set>

#include "core/json.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/schedule/verify.hpp"
#include "schedule/generate.hpp"

namespace libseal {
namespace {

/// What no schedule can meet: more people than there are, or people who never work at the same time.
void find_obstacles(Schedule& result, const WorkPlan& plan, detail::Teams& teams, const Shop& shop) {
    int most = 0, count = 0, tests = 0;
    for (const Step& step : plan.steps) {
        if (step.people == 0) continue;
        const auto& choices = teams.of(step.people);
        const bool meet = std::any_of(choices.begin(), choices.end(), [&](const std::vector<int>& team) {
            return teams.longest(team, !step.gate.empty()) > 0;
        });
        if (meet) continue;
        ++count;
        tests += step.kind == "water_test" ? 1 : 0;
        most = std::max(most, step.people);
        if (result.obstacles.size() < 20)
            result.obstacles.push_back(step.id + " needs " + std::to_string(step.people) + " people at once" +
                                       (choices.empty()
                                            ? "; the shop has " + std::to_string(shop.people.size())
                                            : "; no such team has common working time" +
                                                  std::string(!step.gate.empty() ? " on a day with sealing" : "")));
    }
    if (count == 0) return;
    const int missing = most - static_cast<int>(shop.people.size());
    result.outcome = Outcome::infeasible;
    result.stopped = std::to_string(count) + " steps cannot be done by this shop";
    if (missing > 0)
        result.relaxations.push_back(std::to_string(missing) + " more " +
                                     (missing == 1 ? "person" : "people") + " for the " +
                                     std::to_string(count) + " steps that need " + std::to_string(most));
    else
        result.relaxations.push_back("shifts or sealing days that " + std::to_string(most) + " people share");
    if (tests == count)
        result.relaxations.push_back("water tests left to the next inspection (longest_cure_wait 0)");
}

bool shorter(const std::vector<StepTime>& a, const std::vector<StepTime>& b) {
    const auto end = [](const std::vector<StepTime>& times) {
        Minute last = 0;
        for (const StepTime& time : times) last = std::max(last, time.end);
        return last;
    };
    return b.empty() || end(a) < end(b);
}

Minute end_of(const std::vector<StepTime>& times) {
    Minute last = times.front().end;
    for (const StepTime& time : times) last = std::max(last, time.end);
    return last;
}

void search(Schedule& result, const detail::Network& network, const WorkPlan& plan, Minute start,
            detail::Teams& teams, const ScheduleOptions& options) {
    ProgressReporter reporter(options.watch, "schedule");
    std::vector<double> key(plan.steps.size());
    for (int run = 0; run < options.work_limit; ++run) {
        RandomStream random(options.seed, static_cast<std::uint64_t>(run));
        // The first run takes the longest way to the end as it is; the others shake it.
        for (std::size_t i = 0; i < key.size(); ++i)
            key[i] = static_cast<double>(network.tail[i]) * (run == 0 ? 1.0 : 0.6 + 0.8 * random.uniform());
        auto times = detail::generate(network, plan, key, start, teams);
        ++result.tried;
        if (!times.empty() && shorter(times, result.steps)) result.steps = std::move(times);
        if (!result.steps.empty() && end_of(result.steps) <= result.lower_bound) {
            result.outcome = Outcome::optimal;
            result.stopped = "as short as the lower bound";
            return;
        }
        reporter.tick(static_cast<double>(run + 1) / options.work_limit);
    }
    result.outcome = result.steps.empty() ? Outcome::none_found : Outcome::feasible;
    result.stopped =
        result.steps.empty() ? "no working time for some step within three years" : "work limit reached";
}

void finish(Schedule& result, const WorkPlan& plan, Minute start, const Shop& shop, Date first) {
    detail::explain(result.steps, plan, start);
    result.begin = result.end = result.steps.front().start;
    std::set<Date> days;
    for (const StepTime& time : result.steps) {
        result.begin = std::min(result.begin, time.start);
        result.end = std::max(result.end, time.end);
        for (const TimeSpan& piece : time.pieces)
            for (Date day = day_of(piece.from); day <= day_of(piece.to - 1); day = day + 1) days.insert(day);
    }
    result.days.assign(days.begin(), days.end());
    // A mark before the first stroke of work belongs to it.
    if (!result.days.empty()) {
        Minute first_piece = result.end;
        for (const StepTime& time : result.steps)
            if (!time.pieces.empty()) first_piece = std::min(first_piece, time.pieces.front().from);
        result.begin = std::max(result.begin, first_piece);
    }
    const auto wrong = verify(result, plan, shop, first);
    if (!wrong.empty()) {
        Problem problem;
        problem.field = "schedule";
        problem.expected = "a schedule that keeps every rule";
        problem.got = wrong.front();
        problem.hint = "this is a fault of the library";
        throw StateError(problem);
    }
}

}  // namespace

std::string to_text(Outcome outcome) {
    static const char* names[] = {"optimal", "feasible", "infeasible", "none_found", "cancelled"};
    return names[static_cast<int>(outcome)];
}

Schedule schedule(const WorkPlan& plan, const Shop& shop, Date start, const ScheduleOptions& options) {
    check_shop(shop);
    if (options.work_limit < 1)
        throw_value_error("work_limit", "at least 1", std::to_string(options.work_limit));
    Schedule result;
    const Minute from = minute_of(start);
    result.begin = result.end = result.lower_bound = from;
    if (plan.steps.empty()) {
        result.outcome = Outcome::optimal;
        result.stopped = "nothing to do";
        return result;
    }
    detail::Teams teams(shop, start);
    find_obstacles(result, plan, teams, shop);
    if (result.outcome == Outcome::infeasible) return result;
    const detail::Network network = detail::network_of(plan);
    result.lower_bound = detail::lower_bound(network, plan, shop, from);
    try {
        search(result, network, plan, from, teams, options);
    } catch (const Cancelled&) {
        result.outcome = Outcome::cancelled;
        result.stopped = "a stop was asked for";
    }
    if (!result.steps.empty()) finish(result, plan, from, shop, start);
    return result;
}

std::string schedule_json(const Schedule& schedule, const WorkPlan& plan, const Shop& shop) {
    detail::JsonWriter out;
    const auto list = [&](const char* key, const std::vector<std::string>& items) {
        out.key(key);
        out.begin_list();
        for (const auto& item : items) out.value(item);
        out.end_list();
    };
    out.begin_object();
    out.member("schema", "libseal/schedule/1");
    out.member("coach", plan.coach);
    out.member("outcome", to_text(schedule.outcome));
    out.member("stopped", schedule.stopped);
    out.member("begin", time_text(schedule.begin));
    out.member("end", time_text(schedule.end));
    out.member("lower_bound", time_text(schedule.lower_bound));
    out.member("tried", schedule.tried);
    out.key("steps");
    out.begin_list();
    for (const StepTime& time : schedule.steps) {
        out.begin_object();
        out.member("step", plan.steps[static_cast<std::size_t>(time.step)].id);
        out.member("start", time_text(time.start));
        out.member("end", time_text(time.end));
        std::vector<std::string> people, pieces;
        for (const int person : time.people)
            people.push_back(shop.people[static_cast<std::size_t>(person)].id);
        for (const TimeSpan& piece : time.pieces)
            pieces.push_back(time_text(piece.from) + " to " + time_text(piece.to));
        list("people", people);
        list("pieces", pieces);
        out.member("waited_for", time.waited_for);
        out.member("critical", time.critical);
        out.end_object();
    }
    out.end_list();
    list("obstacles", schedule.obstacles);
    list("relaxations", schedule.relaxations);
    out.end_object();
    return out.take();
}

}  // namespace libseal
