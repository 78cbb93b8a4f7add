// From the work of a coach to visits: windows, grouping, inspections.

#include <algorithm>
#include <cmath>

#include "calendar/draft.hpp"

namespace libseal::detail {
namespace {

/// Days by which a visit begins before the first of its due dates, so that cures end in time. Judgement of
/// this project.
constexpr int margin_days = 3;
/// Days within which work that the forecast says is overdue is caught up. Judgement of this project.
constexpr int catch_up_days = 30;
/// Days before its due date from which an inspection counts. Judgement of this project.
constexpr int inspection_lead_days = 60;

/// The shop with every day open to sealing: what is to be done does not depend on when.
Shop always_sealing(const Shop& shop) {
    Shop open = shop;
    open.closed.clear();
    open.heated_bay = true;
    return open;
}

Window window_of(const Task& task, const YearFrame& frame) {
    Date latest = task.due;
    if (!task.observed && latest <= frame.first) latest = frame.first + catch_up_days;
    latest = std::min(latest, frame.last);
    const bool urgent = task.urgency >= Urgency::within_30_days;
    // Work that can wait for the year does; work that cannot begins at once.
    const Date begin = urgent || latest < make_date(frame.year, 1, 1) ? frame.as_of + 1 : frame.first;
    Date earliest = std::max(begin, urgent ? begin : latest - frame.options.earliest_days);
    latest = std::max(latest - margin_days, std::min(latest, earliest));
    earliest = std::min(earliest, std::max(latest, begin));
    return {earliest, std::max(latest, earliest)};
}

/// First day from `day` on that the shop works and seals, or the day after the year.
Date next_allowed(const YearFrame& frame, Date day) {
    while (day <= frame.last && !(works_on(frame.shop, day) && seals_on(frame.shop, day))) day = day + 1;
    return day;
}

std::string reason_why(const WorkPlan& plan) {
    const Task& first = plan.tasks.front();
    std::string text = std::to_string(plan.tasks.size()) + (plan.tasks.size() == 1 ? " task" : " tasks") +
                       "; first due " + place_of_task(first) + " by " + to_text(first.due) + " (" +
                       to_text(first.urgency) + "): " + first.reason;
    return text;
}

VisitDraft draft_of(const Coach& coach, const YearFrame& frame, const std::vector<Task>& tasks,
               const Window& window, Date day) {
    VisitDraft draft;
    draft.coach = &coach;
    draft.kind = "work";
    draft.window = window;
    draft.preferred = day;
    PlanOptions options;
    options.opportunistic_days = 0;  // visits are grouped by their windows instead
    options.catalogue = frame.options.catalogue;
    options.due_before = frame.last;
    options.work_done = frame.options.work_done;
    options.longest_cure_wait = frame.options.longest_cure_wait;
    options.work_day = day;
    for (const Task& task : tasks) {
        (task.part.empty() ? options.joints : options.parts).push_back(place_of_task(task));
        draft.urgent = draft.urgent || task.urgency >= Urgency::within_30_days || task.due <= frame.as_of;
    }
    draft.plan = plan_work(coach, frame.options.findings, frame.forecast, always_sealing(frame.shop),
                           frame.as_of, options);
    draft.why = reason_why(draft.plan);
    draft.flags = draft.plan.warnings;
    draft.previous = matching_visit(frame.options.previous, "work", coach.id, draft.plan.tasks, frame.as_of);
    if (draft.previous && draft.previous->first >= window.earliest && draft.previous->first <= window.latest)
        draft.preferred = draft.previous->first;  // change as little as possible
    return draft;
}

}  // namespace

std::vector<VisitDraft> work_drafts(const Coach& coach, const YearFrame& frame, std::vector<Unplaced>& unplaced) {
    PlanOptions options;
    options.opportunistic_days = 0;  // visits are grouped by their windows instead
    options.catalogue = frame.options.catalogue;
    options.due_before = frame.last;
    options.work_done = frame.options.work_done;
    options.longest_cure_wait = frame.options.longest_cure_wait;
    const WorkPlan all = plan_work(coach, frame.options.findings, frame.forecast, always_sealing(frame.shop),
                                   frame.as_of, options);
    std::vector<Task> tasks;
    std::vector<Window> windows;
    for (const Task& task : all.tasks) {
        Window window = window_of(task, frame);
        // Where the window has no open day, the first one after it: late is better than never.
        bool open = false;
        for (Date day = window.earliest; day <= window.latest && !open; day = day + 1)
            open = works_on(frame.shop, day) && seals_on(frame.shop, day);
        if (!open) window.latest = next_allowed(frame, window.latest);
        if (window.latest > frame.last) {
            const std::string closed = no_sealing_reason(frame.shop, std::min(window.earliest, frame.last));
            unplaced.push_back(
                {coach.id, place_of_task(task), task.action, task.due,
                 closed.empty() ? "no working day is left in the year" : closed,
                 task.cover_now
                     ? "cover it now; then a heated bay or a sealing day before " + to_text(frame.last)
                     : "a heated bay or a sealing day before " + to_text(frame.last)});
            continue;
        }
        tasks.push_back(task);
        windows.push_back(window);
    }
    const Grouping groups = group_windows(
        windows, [&](Date day) { return works_on(frame.shop, day) && seals_on(frame.shop, day); });
    std::vector<VisitDraft> drafts;
    for (std::size_t g = 0; g < groups.days.size(); ++g) {
        std::vector<Task> members;
        Window common{frame.as_of + 1, frame.last};
        for (std::size_t i = 0; i < tasks.size(); ++i) {
            if (groups.day_of[i] != static_cast<int>(g)) continue;
            members.push_back(tasks[i]);
            common.earliest = std::max(common.earliest, windows[i].earliest);
            common.latest = std::min(common.latest, windows[i].latest);
        }
        drafts.push_back(draft_of(coach, frame, members, common, groups.days[g]));
    }
    return drafts;
}

VisitDraft inspection_draft(const Coach& coach, const YearFrame& frame, const std::vector<Date>& visit_days,
                       int number) {
    VisitDraft draft;
    const auto rows = frame.forecast.rows_of(coach.id);
    if (rows.empty()) return draft;
    Date due{frame.forecast.inspect_by(rows.front())};
    for (const Eigen::Index row : rows) due = std::min(due, Date{frame.forecast.inspect_by(row)});
    due = std::max(due, frame.first + 30);  // what is overdue gets a month
    const int interval = static_cast<int>(frame.options.catalogue.number("inspection/base_days"));
    // Every visit is also a look; each one in time moves the next inspection on.
    for (const Date day : visit_days)
        if (day <= due) due = std::max(due, day + interval);
    if (due > frame.last) return draft;
    const Catalogue& c = frame.options.catalogue;
    const auto sum = [&](double SourcedValue::*part) {
        double metres = 0;
        for (const Joint& joint : coach.joints) metres += joint.length;
        return c.at("labour/survey_fixed").*part + c.at("labour/survey_walk").*part * metres +
               c.at("labour/survey_item").*part * static_cast<double>(coach.parts.size());
    };
    draft.minutes = {sum(&SourcedValue::low), sum(&SourcedValue::value), sum(&SourcedValue::high)};
    const auto cost = [&](double minutes) {
        const Money labour = std::max(static_cast<Money>(std::llround(
                                          minutes * static_cast<double>(frame.shop.labour_rate_per_h) / 60)),
                                      frame.shop.minimum_charge);
        return labour +
               static_cast<Money>(std::llround(static_cast<double>(labour) * frame.shop.tax_percent / 100));
    };
    draft.cost = {cost(draft.minutes.low), cost(draft.minutes.mode), cost(draft.minutes.high)};
    draft.coach = &coach;
    draft.kind = "inspection";
    draft.number = number;
    draft.window = {std::max(frame.first, due - inspection_lead_days), due};
    draft.preferred = due;
    draft.why = "next look at all joints by " + to_text(due);
    draft.flags = not_inspected(frame.options.findings, coach.id, frame.as_of);
    if (frame.options.previous)
        for (const Visit& visit : frame.options.previous->visits)
            if (!visit.cancelled && visit.kind == "inspection" && visit.coach == coach.id &&
                visit.uid == visit_uid("inspection", coach.id, "", frame.year * 100 + number) &&
                visit.last >= frame.as_of) {
                draft.previous = &visit;
                if (visit.first >= draft.window.earliest && visit.first <= due) draft.preferred = visit.first;
            }
    return draft;
}

}  // namespace libseal::detail
