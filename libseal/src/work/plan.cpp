#include "libseal/work/plan.hpp"

#include <algorithm>
#include <numeric>
#include <tuple>

#include "libseal/core/error.hpp"
#include "work/planning.hpp"

namespace libseal {
namespace {

using detail::Found;
using detail::Job;

/// Most urgent first, then by due date and place.
bool comes_first(const Task& a, const Task& b) {
    if (a.urgency != b.urgency) return a.urgency > b.urgency;
    if (a.due != b.due) return a.due < b.due;
    return std::tie(a.joint, a.part) < std::tie(b.joint, b.part);
}

/// Sorts by moving each task once. @return  For each place in the new order the one in the old.
std::vector<std::size_t> sort_tasks(std::vector<Found>& found) {
    std::vector<std::size_t> order(found.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return comes_first(found[a].task, found[b].task); });
    std::vector<Found> sorted;
    sorted.reserve(found.size());
    for (const std::size_t i : order) sorted.push_back(std::move(found[i]));
    found = std::move(sorted);
    return order;
}

/// Index of a task's step of a kind, -1 for none.
int step_of(const WorkPlan& plan, const Task& task, const char* kind) {
    for (const int i : task.steps)
        if (plan.steps[static_cast<std::size_t>(i)].kind == kind) return i;
    return -1;
}

/// What is stripped while a part is off waits until it is off.
std::vector<Edge> wait_for_parts(const WorkPlan& plan) {
    std::vector<Edge> edges;
    for (const Task& task : plan.tasks)
        for (const Task& other : plan.tasks)
            if (!task.with_joint.empty() && other.joint == task.with_joint && other.part.empty()) {
                const int off = step_of(plan, other, "remove_part"), strip = step_of(plan, task, "strip");
                if (off >= 0 && strip >= 0)
                    edges.push_back({off, strip, "batch_same_place", Strength::hard, 0, "the part comes off for both joints"});
            }
    return edges;
}

void order(Job& job) {
    WorkPlan& plan = job.plan;
    OrderOptions options = job.options.order;
    if (options.work_day.days == 0) options.work_day = job.work_day();
    const std::size_t before = plan.steps.size();
    StepOrder found = step_order(plan.steps, job.coach, job.options.catalogue, wait_for_parts(plan), options);
    for (std::size_t i = before; i < plan.steps.size(); ++i) detail::equip(plan.steps[i], job);
    plan.edges = without_dropped(std::move(found.edges), plan.steps, job.options.dropped);
    plan.order = ordered_steps(plan.steps, plan.edges);
    plan.drawn_edges = reduced_edges(plan.steps, plan.edges);
    plan.warnings.insert(plan.warnings.end(), found.warnings.begin(), found.warnings.end());
    plan.notes.insert(plan.notes.end(), found.notes.begin(), found.notes.end());
    for (const DroppedEdge& drop : job.options.dropped)
        plan.notes.push_back("dropped " + drop.rule + ": " + drop.reason);
}

void cautions(Job& job) {
    WorkPlan& plan = job.plan;
    std::vector<std::string> ids;
    for (const Step& step : plan.steps)
        for (const auto& id : step.cautions)
            if (std::find(ids.begin(), ids.end(), id) == ids.end()) ids.push_back(id);
    plan.cautions = caution_texts(ids, job.options.catalogue);
    for (const Task& task : plan.tasks)
        if (task.cover_now)
            plan.notes.push_back(task.joint + (task.cover_expires == Date{} ? " is open: cover it today, whatever the day of the work"
                                                                            : " is open: its temporary cover holds until " + to_text(task.cover_expires) +
                                                                                  "; renew it until the work is done"));
}

void check_options(const PlanOptions& options) {
    if (!(options.opportunistic_days >= 0 && options.opportunistic_days <= 3660))
        throw_value_error("opportunistic_days", "0 to 3660", std::to_string(options.opportunistic_days));
    if (!(options.longest_cure_wait >= 0))
        throw_value_error("longest_cure_wait", "0 or more hours", std::to_string(options.longest_cure_wait));
    if (!(options.roof_slope >= 0 && options.roof_slope <= 90))
        throw_value_error("roof_slope", "0 to 90 degrees", std::to_string(options.roof_slope));
}

Job started(const Coach& coach, const Forecast& forecast, const Shop& shop, Date as_of, const PlanOptions& options) {
    Job job{coach, forecast, shop, options};
    job.plan.coach = coach.id;
    job.plan.as_of = as_of;
    job.plan.currency = shop.currency;
    return job;
}

/// All work that is seen or due, in the order in which it is found.
std::vector<Found> found_in(Job& job, const std::vector<Finding>& findings) {
    job.seen = detail::sort_findings(job.coach, findings, job.plan.as_of, job.options.catalogue);
    for (const Eigen::Index row : job.forecast.rows_of(job.coach.id))
        job.rows[job.forecast.joint[static_cast<std::size_t>(row)]].push_back(row);
    return detail::find_tasks(job);
}

/// What follows when the steps are there.
void finish(Job& job) {
    if (!job.plan.tasks.empty()) {
        if (!job.quick) order(job);
        detail::check_crew(job);  // the order brings steps of its own
        detail::add_money(job);
        cautions(job);
    }
    job.plan.closing = closing_line(job.options.catalogue);
}

void append(std::vector<std::string>& all, const std::vector<std::string>& more) { all.insert(all.end(), more.begin(), more.end()); }

}  // namespace

const std::string& place_of_task(const Task& task) { return task.part.empty() ? task.joint : task.part; }

WorkPlan plan_work(const Coach& coach, const std::vector<Finding>& findings, const Forecast& forecast,
                   const Shop& shop, Date as_of, const PlanOptions& options) {
    check_shop(shop);
    check_options(options);
    Job job = started(coach, forecast, shop, as_of, options);
    std::vector<Found> found = found_in(job, findings);
    job.plan.warnings = not_inspected(findings, coach.id, as_of);
    for (const Found& one : found) append(job.plan.warnings, one.warnings);
    for (Found& early : detail::find_early_work(job, found)) found.push_back(std::move(early));
    sort_tasks(found);
    if (!found.empty()) detail::add_steps(job, std::move(found));
    finish(job);
    return std::move(job.plan);
}

namespace detail {

CoachWork::CoachWork(const Coach& coach, const std::vector<Finding>& findings, const Forecast& forecast, const Shop& shop, Date as_of,
                     const PlanOptions& options)
    : coach_(coach), forecast_(forecast), options_(options), general_(not_inspected(findings, coach.id, as_of)) {
    check_options(options);
    Job job = started(coach, forecast, shop, as_of, options);
    job.quick = true;
    std::vector<Found> found = found_in(job, findings);
    const std::vector<std::size_t> order = sort_tasks(found);
    std::vector<std::size_t> place(order.size());
    for (std::size_t i = 0; i < order.size(); ++i) place[order[i]] = i;
    job.plan.warnings = general_;
    for (const std::size_t i : place) {
        if (found[i].warnings.empty()) continue;
        append(job.plan.warnings, found[i].warnings);
        warnings_.emplace_back(i, std::move(found[i].warnings));
    }
    if (!found.empty()) add_steps(job, std::move(found));
    finish(job);
    all_ = std::move(job.plan);
}

WorkPlan CoachWork::part(const std::vector<std::size_t>& tasks, const Shop& shop) const {
    Job job = started(coach_, forecast_, shop, all_.as_of, options_);
    job.quick = true;
    job.plan.warnings = general_;
    for (const auto& [task, texts] : warnings_)
        if (std::binary_search(tasks.begin(), tasks.end(), task)) append(job.plan.warnings, texts);
    if (!tasks.empty()) add_steps(job, all_, tasks);
    finish(job);
    return std::move(job.plan);
}

WorkPlan quick_plan(const Coach& coach, const std::vector<Finding>& findings, const Forecast& forecast, const Shop& shop, Date as_of,
                    const PlanOptions& options) {
    return CoachWork(coach, findings, forecast, shop, as_of, options).all();
}

}  // namespace detail
}  // namespace libseal
