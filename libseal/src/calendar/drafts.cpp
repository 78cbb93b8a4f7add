// From the work of a coach to visits: windows, penalties, the visits that cost least.

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>

#include "calendar/draft.hpp"
#include "calendar/penalty.hpp"
#include "libseal/core/text.hpp"
#include "work/planning.hpp"

namespace libseal::detail {
namespace {

constexpr double never = std::numeric_limits<double>::infinity();
/// Days by which a visit begins before what was seen must be done, so that cures end in time. Judgement of
/// this project.
constexpr int margin_days = 3;
/// Days within which work that the forecast says is overdue is caught up. Judgement of this project.
constexpr int catch_up_days = 30;
/// Share of a set-up by which a day that was given out before is cheaper, so that plans change little. Judgement of
/// this project.
constexpr double kept_day_share = 0.25;

bool is_urgent(const Task& task) { return task.urgency >= Urgency::within_30_days; }

Window window_of(const Task& task, const YearFrame& frame) {
    const bool urgent = is_urgent(task);
    Date latest = task.due;
    if (!task.observed && latest <= frame.first)
        latest = frame.first + catch_up_days;
    else if (!task.observed && !urgent)
        latest = latest + std::min(frame.options.latest_days, std::max(0, frame.last - latest));  // any number of days may be asked for
    latest = std::min(latest, frame.last);
    // Work that can wait for the year does; work that cannot begins at once.
    const Date begin = urgent || latest < make_date(frame.year, 1, 1) ? frame.as_of + 1 : frame.first;
    Date earliest = std::max(begin, urgent ? begin : std::min(task.due, latest) - frame.options.earliest_days);
    latest = std::max(latest - margin_days, std::min(latest, earliest));
    earliest = std::min(earliest, std::max(latest, begin));
    return {earliest, std::max(latest, earliest)};
}

/// Row of the layer that is due first, by joint.
std::map<std::string, Eigen::Index> first_rows(const Forecast& forecast) {
    std::map<std::string, Eigen::Index> rows;
    for (Eigen::Index i = 0; i < forecast.size(); ++i) {
        const auto [at, fresh] = rows.emplace(forecast.joint[static_cast<std::size_t>(i)], i);
        if (!fresh && forecast.due_50(i) < forecast.due_50(at->second)) at->second = i;
    }
    return rows;
}

/// A task with its windows and prices by day, from `from` on.
struct Wish {
    std::size_t number = 0;  ///< of the task in all work of the coach
    const Task* task = nullptr;
    Window window;
    Date best{};
    std::vector<double> price;
};

/// All work of the year, whatever the day; visits are grouped by their prices instead of doing work early.
PlanOptions plan_options(const Coach& coach, const YearFrame& frame) {
    PlanOptions options;
    options.opportunistic_days = 0;
    options.catalogue = frame.options.catalogue;
    options.due_before = frame.last;
    options.longest_cure_wait = frame.options.longest_cure_wait;
    if (const auto own = frame.work_done.find(coach.id); own != frame.work_done.end()) options.work_done = own->second;
    return options;
}

const std::vector<Finding>& findings_of(const Coach& coach, const YearFrame& frame) {
    static const std::vector<Finding> none;
    const auto own = frame.findings.find(coach.id);
    return own == frame.findings.end() ? none : own->second;
}

class Planner {
public:
    Planner(const Coach& coach, const Forecast& forecast, const YearFrame& frame, std::vector<Unplaced>& unplaced)
        : coach_(coach), forecast_(forecast), frame_(frame), dates_(frame.dates_of(coach.id)), unplaced_(unplaced),
          options_(plan_options(coach, frame)),
          work_(coach, findings_of(coach, frame), forecast, frame.open, frame.as_of, options_), first_rows_(first_rows(forecast)) {}

    std::vector<VisitDraft> drafts() {
        for (std::size_t i = 0; i < work_.all().tasks.size(); ++i) add_wish(i);
        if (wishes_.empty()) return {};
        from_ = wishes_.front().window.earliest;
        Date to = wishes_.front().window.latest;
        for (const Wish& wish : wishes_) from_ = std::min(from_, wish.window.earliest), to = std::max(to, wish.window.latest);
        std::vector<double> set_up;
        for (Date day = from_; day <= to; day = day + 1) set_up.push_back(set_up_on(day));
        std::vector<VisitWork> works;
        for (Wish& wish : wishes_) works.push_back(work_of(wish, set_up.size()));
        VisitOptions options;
        options.most_hours = frame_.options.most_visit_hours;
        std::vector<DayGroup> groups = standing_visits(works);
        if (groups.empty()) {
            const VisitPlan plan = best_visits(works, set_up, options);
            for (const int day : plan.days) groups.push_back({from_ + day, {}});
            for (std::size_t i = 0; i < wishes_.size(); ++i)
                if (plan.visit_of[i] >= 0) groups[static_cast<std::size_t>(plan.visit_of[i])].members.push_back(i);
            note_left_over(plan);
        }
        std::vector<VisitDraft> result;
        for (const DayGroup& group : groups)
            result.push_back(draft(group.members, works, set_up.size(), group.day));
        return result;
    }

private:
    /// Tasks of one visit, by their place in `wishes_`.
    struct DayGroup {
        Date day{};
        std::vector<std::size_t> members;
    };

    /// The visits that were given out before, if they hold exactly this work, can still begin on their days and are not too
    /// long by now: an unchanged coach keeps its visits. Else none.
    std::vector<DayGroup> standing_visits(const std::vector<VisitWork>& works) const {
        const auto before = frame_.previous.find(coach_.id);
        if (before == frame_.previous.end()) return {};
        std::vector<DayGroup> groups;
        std::size_t found = 0;
        for (const Visit* visit : before->second) {
            if (visit->kind != "work") continue;
            if (visit->first <= frame_.as_of || visit->first > frame_.last || !(frame_.set_up_on(dates_, visit->first) < never)) return {};
            groups.push_back({visit->first, {}});
            for (std::size_t i = 0; i < wishes_.size(); ++i)
                if (std::any_of(visit->tasks.begin(), visit->tasks.end(), [&](const VisitTask& task) { return is_task(task, *wishes_[i].task); }))
                    groups.back().members.push_back(i);
            if (groups.back().members.size() != visit->tasks.size() || is_too_long(groups.back().members, works)) return {};
            found += visit->tasks.size();
        }
        return found == wishes_.size() ? groups : std::vector<DayGroup>();
    }

    /// Work that is too long by itself has a visit of its own.
    bool is_too_long(const std::vector<std::size_t>& members, const std::vector<VisitWork>& works) const {
        const double most = frame_.options.most_visit_hours;
        double hours = 0;
        for (const std::size_t i : members) hours += works[i].hours;
        return most > 0 && members.size() > 1 && hours > most;
    }

    static bool is_task(const VisitTask& entry, const Task& task) {
        return entry.joint == place_of_task(task) && entry.layer == task.layer && entry.generation == task.generation &&
               entry.action == task.action && entry.family == task.family && entry.due == task.due && entry.urgency == to_text(task.urgency);
    }

    double set_up_on(Date day) const {
        double price = frame_.set_up_on(dates_, day);
        if (const auto before = frame_.previous.find(coach_.id); before != frame_.previous.end())
            for (const Visit* visit : before->second)
                if (visit->kind == "work" && visit->first == day) price *= 1 - kept_day_share;
        return price;
    }

    /// Work on some tasks on a day, step by step and in order.
    WorkPlan ordered(const std::vector<std::size_t>& members, Date day) const {
        PlanOptions options = options_;
        options.work_day = day;
        for (const std::size_t i : members) {
            const Task& task = *wishes_[i].task;
            (task.part.empty() ? options.joints : options.parts).push_back(place_of_task(task));
        }
        return plan_work(coach_, findings_of(coach_, frame_), forecast_, frame_.open_on(day), frame_.as_of, options);
    }

    /// Is all work of the coach done on one day, at the usual price of labour? Then the plan of all of it serves.
    bool is_whole(const std::vector<std::size_t>& members, Date day) const {
        return !frame_.detailed && members.size() == work_.all().tasks.size() && frame_.season(day) == 1;
    }

    /// Work on some tasks on a day; in order if its steps are to be scheduled.
    std::shared_ptr<const WorkPlan> planned(const std::vector<std::size_t>& members, Date day) const {
        if (frame_.detailed) return std::make_shared<const WorkPlan>(ordered(members, day));
        std::vector<std::size_t> tasks;
        for (const std::size_t i : members) tasks.push_back(wishes_[i].number);
        return std::make_shared<const WorkPlan>(work_.part(tasks, frame_.open_on(day)));
    }

    void add_wish(std::size_t number) {
        const Task& task = work_.all().tasks[number];
        Window window = window_of(task, frame_);
        // Where the window has no open day, the first one after it: late is better than never.
        bool open = false;
        for (Date day = window.earliest; day <= window.latest && !open; day = day + 1) open = frame_.set_up_on(dates_, day) < never;
        if (!open) {
            const Date end = window.latest;
            while (window.latest <= frame_.last && !(frame_.set_up_on(dates_, window.latest) < never)) window.latest = window.latest + 1;
            if (window.latest > frame_.last) return note_closed(task, std::min(window.earliest, frame_.last), end);
        }
        wishes_.push_back({number, &task, window, {}, {}});
    }

    void note_closed(const Task& task, Date day, Date end) {
        const OwnerDates* trip = trip_on(dates_, std::min(end, frame_.last));
        const std::string closed = no_sealing_reason(frame_.shop, day);
        const std::string relaxation = trip ? "a day at the shop " + (trip->from > frame_.as_of + 1 ? "before " + to_text(trip->from) : "before the trip ends")
                                            : "a heated bay or a sealing day before " + to_text(frame_.last);
        unplaced_.push_back({coach_.id, place_of_task(task), task.action, task.due,
                             !closed.empty() ? closed
                             : trip          ? "the coach is away from " + to_text(trip->from) + " to " + to_text(trip->to - 1)
                                             : "no working day is left in the year",
                             task.cover_now ? "cover it now; then " + relaxation : relaxation});
    }

    VisitWork work_of(Wish& wish, std::size_t days) {
        const Task& task = *wish.task;
        const Date to = from_ + static_cast<int>(days) - 1;
        const auto first = first_rows_.find(task.joint);
        const Eigen::Index row = task.joint.empty() || first == first_rows_.end() ? -1 : first->second;
        std::vector<double> chance(days, 0.0);
        if (row >= 0) chance = chance_due(forecast_, row, from_, to);
        // What was seen must be done by its day, the more so what is urgent: each day counts.
        for (std::size_t d = 0; d < days; ++d)
            if (is_urgent(task) || ((task.observed || row < 0) && from_ + static_cast<int>(d) >= task.due)) chance[d] = 1;
        const double life = std::max(1.0, life_days(task, row));
        const int consequence = task.joint_type.empty() ? 3 : joint_type(frame_.options.catalogue, task.joint_type).consequence;
        wish.price = day_penalty(chance, static_cast<double>(task.cost.mode) / life,
                                 frame_.risk_a_day[static_cast<std::size_t>(std::clamp(consequence, 1, 4))]);
        const double labour = task.minutes.mode / 60 * static_cast<double>(frame_.shop.labour_rate_per_h);
        VisitWork work;
        work.id = place_of_task(task);
        work.hours = task.minutes.mode / 60;
        double least = never, season_least = never;
        for (std::size_t d = 0; d < days; ++d) season_least = std::min(season_least, frame_.season(from_ + static_cast<int>(d)));
        for (std::size_t d = 0; d < days; ++d) {
            const Date day = from_ + static_cast<int>(d);
            wish.price[d] += labour * (frame_.season(day) - season_least);
            const bool inside = wish.window.earliest <= day && day <= wish.window.latest;
            work.penalty.push_back(inside ? wish.price[d] : never);
            if (inside && frame_.days.works(day) && wish.price[d] <= least) least = wish.price[d], wish.best = day;
        }
        if (least == never) wish.best = wish.window.latest;
        return work;
    }

    double life_days(const Task& task, Eigen::Index row) const {
        if (row < 0) return frame_.options.catalogue.number("visit/part_life") * 365.25;
        const Layer* layer = layer_of(joint_of(coach_, task.joint), forecast_.layer[static_cast<std::size_t>(row)]);
        if (!layer) return frame_.options.catalogue.number("visit/part_life") * 365.25;
        return std::max(365.25, forecast_.due_50(row) - (layer->installed_from.days + layer->installed_to.days) / 2.0);
    }

    VisitDraft draft(const std::vector<std::size_t>& members, const std::vector<VisitWork>& works, std::size_t days, Date day) const {
        VisitDraft result;
        Visit& visit = result.visit;
        visit.kind = "work";
        visit.coach = coach_.id;
        visit.label = coach_.label;
        visit.window = {frame_.as_of + 1, frame_.last};
        result.preferred = day;
        result.dates = dates_;
        for (const std::size_t i : members) {
            const Wish& wish = wishes_[i];
            visit.window.earliest = std::max(visit.window.earliest, wish.window.earliest);
            visit.window.latest = std::min(visit.window.latest, wish.window.latest);
            result.urgent = result.urgent || is_urgent(*wish.task) || wish.task->due <= frame_.as_of;
        }
        std::shared_ptr<const WorkPlan> own = is_whole(members, day) ? nullptr : planned(members, day);
        const WorkPlan& plan = own ? *own : work_.all();
        fill_visit(visit, plan, members);
        fill_prices(result, members, works, days);
        for (const Step& step : plan.steps)
            if (step.kind == "cure") result.hold_hours = std::max(result.hold_hours, step.wait / 60);
        if (std::none_of(plan.steps.begin(), plan.steps.end(), [](const Step& s) { return s.kind == "water_test"; })) result.hold_hours = 0;
        result.previous = matching_visit(frame_, visit);
        if (result.previous && price_on(result, result.previous->first) < never && !result.urgent) result.preferred = result.previous->first;
        if (frame_.detailed) result.plan = std::move(own);
        return result;
    }

    static double price_on(const VisitDraft& draft, Date day) {
        const int d = day - draft.price_from;
        return d < 0 || d >= static_cast<int>(draft.price.size()) ? never : static_cast<double>(draft.price[static_cast<std::size_t>(d)]);
    }

    void fill_prices(VisitDraft& draft, const std::vector<std::size_t>& members, const std::vector<VisitWork>& works, std::size_t days) const {
        std::size_t first = days, last = 0;
        std::vector<double> price(days);
        for (std::size_t d = 0; d < days; ++d) {
            price[d] = frame_.set_up_on(dates_, from_ + static_cast<int>(d));
            for (const std::size_t i : members) price[d] += works[i].penalty[d];
            if (price[d] < never) first = std::min(first, d), last = d;
        }
        draft.price_from = from_ + static_cast<int>(first);
        for (std::size_t d = first; d <= last && d < price.size(); ++d) draft.price.push_back(static_cast<float>(price[d]));
        draft.late_rate = frame_.set_up / 7;
        for (const std::size_t i : members)
            draft.late_rate += (is_urgent(*wishes_[i].task) ? 10 : 1) * frame_.risk_a_day[4];
    }

    void fill_visit(Visit& visit, const WorkPlan& plan, const std::vector<std::size_t>& members) const {
        visit.minutes = plan.minutes;
        visit.cost = plan.total;
        visit.flags = plan.warnings;
        for (const Caution& caution : plan.cautions) visit.cautions.push_back(caution.text);
        for (const Task& task : plan.tasks) {
            VisitTask entry;
            entry.joint = place_of_task(task);
            entry.layer = task.layer;
            entry.generation = task.generation;
            entry.action = task.action;
            entry.family = task.family;
            entry.due = task.due;
            entry.urgency = to_text(task.urgency);
            entry.reason = task.reason;
            for (const std::size_t i : members)
                if (place_of_task(*wishes_[i].task) == entry.joint) entry.best_date = wishes_[i].best;
            visit.tasks.push_back(std::move(entry));
            if (task.cover_now) visit.flags.push_back(place_of_task(task) + " is open: temporary cover until this visit");
            if (!task.refused.empty()) visit.flags.push_back(place_of_task(task) + ": refused " + task.refused);
        }
        if (plan.tasks.empty()) return;
        const Task& head = plan.tasks.front();
        visit.why = std::to_string(plan.tasks.size()) + (plan.tasks.size() == 1 ? " task" : " tasks") + "; first due " +
                    place_of_task(head) + " by " + to_text(head.due) + " (" + to_text(head.urgency) + "): " + head.reason;
        const Task* first = &head;
        for (const Task& task : plan.tasks)
            if (place_of_task(task) < place_of_task(*first)) first = &task;
        visit.uid = visit_uid("work", coach_.id, place_of_task(*first), first->generation);
    }

    /// Only a limit of hours leaves work without a visit.
    void note_left_over(const VisitPlan& plan) {
        for (std::size_t i = 0; i < wishes_.size(); ++i)
            if (plan.visit_of[i] < 0)
                unplaced_.push_back({coach_.id, place_of_task(*wishes_[i].task), wishes_[i].task->action, wishes_[i].task->due,
                                     "no visit of at most " + number_text(frame_.options.most_visit_hours) + " h has room for it",
                                     "longer visits, or one more day within its window"});
    }

    const Coach& coach_;
    const Forecast& forecast_;
    const YearFrame& frame_;
    CoachDates dates_;
    std::vector<Unplaced>& unplaced_;
    PlanOptions options_;
    CoachWork work_;
    std::map<std::string, Eigen::Index> first_rows_;
    std::vector<Wish> wishes_;
    Date from_{};
};

}  // namespace

std::vector<VisitDraft> work_drafts(const Coach& coach, const Forecast& forecast, const YearFrame& frame,
                                    std::vector<Unplaced>& unplaced) {
    return Planner(coach, forecast, frame, unplaced).drafts();
}

}  // namespace libseal::detail
