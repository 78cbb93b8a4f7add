#include "libseal/work/plan.hpp"

#include <algorithm>
#include <tuple>

#include "libseal/core/error.hpp"
#include "work/planning.hpp"

namespace libseal {
namespace {

using detail::Found;
using detail::Job;

void sort_tasks(std::vector<Found>& found) {
    std::stable_sort(found.begin(), found.end(), [](const Found& a, const Found& b) {
        if (a.task.urgency != b.task.urgency) return a.task.urgency > b.task.urgency;
        if (a.task.due != b.task.due) return a.task.due < b.task.due;
        return std::tie(a.task.joint, a.task.part) < std::tie(b.task.joint, b.task.part);
    });
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
            plan.notes.push_back(task.joint + " is open: cover it today, whatever the day of the work");
}

void check_options(const PlanOptions& options) {
    if (!(options.opportunistic_days >= 0 && options.opportunistic_days <= 3660))
        throw_value_error("opportunistic_days", "0 to 3660", std::to_string(options.opportunistic_days));
    if (!(options.roof_slope >= 0 && options.roof_slope <= 90))
        throw_value_error("roof_slope", "0 to 90 degrees", std::to_string(options.roof_slope));
}

WorkPlan made(const Coach& coach, const std::vector<Finding>& findings, const Forecast& forecast, const Shop& shop, Date as_of,
              const PlanOptions& options, bool quick) {
    check_shop(shop);
    check_options(options);
    Job job{coach, forecast, shop, options};
    job.quick = quick;
    WorkPlan& plan = job.plan;
    plan.coach = coach.id;
    plan.as_of = as_of;
    plan.currency = shop.currency;
    job.seen = detail::sort_findings(coach, findings, as_of, options.catalogue);
    plan.warnings = not_inspected(findings, coach.id, as_of);
    for (const Eigen::Index row : forecast.rows_of(coach.id))
        job.rows[forecast.joint[static_cast<std::size_t>(row)]].push_back(row);
    std::vector<Found> found = detail::find_tasks(job);
    if (!quick)
        for (Found& early : detail::find_early_work(job, found)) found.push_back(std::move(early));
    sort_tasks(found);
    if (!found.empty()) {
        detail::add_steps(job, std::move(found));
        if (!quick) order(job);
        detail::add_money(job);
        cautions(job);
    }
    plan.closing = closing_line(options.catalogue);
    return std::move(job.plan);
}

}  // namespace

const std::string& place_of_task(const Task& task) { return task.part.empty() ? task.joint : task.part; }

WorkPlan plan_work(const Coach& coach, const std::vector<Finding>& findings, const Forecast& forecast,
                   const Shop& shop, Date as_of, const PlanOptions& options) {
    return made(coach, findings, forecast, shop, as_of, options, false);
}

namespace detail {

WorkPlan quick_plan(const Coach& coach, const std::vector<Finding>& findings, const Forecast& forecast, const Shop& shop, Date as_of,
                    const PlanOptions& options) {
    return made(coach, findings, forecast, shop, as_of, options, true);
}

}  // namespace detail
}  // namespace libseal
