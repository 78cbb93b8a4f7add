#include "libseal/calendar/tables.hpp"

#include "core/json.hpp"
#include "libseal/core/csv.hpp"
#include "libseal/core/text.hpp"
#include "work/billing.hpp"

namespace libseal {
namespace {

using detail::in_units;
using detail::JsonWriter;

std::string joined(const std::vector<std::string>& list) {
    std::string text;
    for (const auto& item : list) text += (text.empty() ? "" : "; ") + item;
    return text;
}

/// Money without its currency, which has a column of its own.
std::string amount_text(Money minor, const std::string& currency) { return number_text(in_units(minor, currency), minor_digits(currency)); }

std::string csv_row(const Calendar& calendar, const Visit& visit, const VisitTask* task) {
    std::vector<std::string> fields{visit.uid,
                                    visit.cancelled ? "cancelled" : "planned",
                                    visit.kind,
                                    visit.coach,
                                    visit.label,
                                    visit.owner,
                                    to_text(visit.first),
                                    to_text(visit.last),
                                    std::to_string(visit.bay + 1)};
    if (task)
        fields.insert(fields.end(), {task->joint, task->layer, task->action, task->family, to_text(task->due),
                                     task->urgency, task->late ? "yes" : "no", task->reason});
    else
        fields.insert(fields.end(), 8, "");
    fields.insert(fields.end(), {number_text(visit.minutes.low, 0), number_text(visit.minutes.mode, 0),
                                 number_text(visit.minutes.high, 0), amount_text(visit.cost.low, calendar.currency),
                                 amount_text(visit.cost.mode, calendar.currency), amount_text(visit.cost.high, calendar.currency),
                                 calendar.currency, visit.why, joined(visit.flags)});
    return csv_line(fields);
}

void write(JsonWriter& out, const VisitTask& task) {
    out.begin_object();
    out.member("joint", task.joint);
    out.member("layer", task.layer);
    out.member("generation", task.generation);
    out.member("action", task.action);
    out.member("family", task.family);
    out.member("due", to_text(task.due));
    out.member("urgency", task.urgency);
    out.member("reason", task.reason);
    out.member("late", task.late);
    if (task.best_date != Date{}) out.member("best_date", to_text(task.best_date));
    if (!task.moved.empty()) out.member("moved", task.moved);
    out.end_object();
}

void write(JsonWriter& out, const Visit& visit, const Calendar& calendar) {
    out.begin_object();
    out.member("uid", visit.uid);
    out.member("sequence", visit.sequence);
    out.member("cancelled", visit.cancelled);
    out.member("kind", visit.kind);
    out.member("coach", visit.coach);
    out.member("label", visit.label);
    out.member("owner", visit.owner);
    out.member("first", to_text(visit.first));
    out.member("last", to_text(visit.last));
    out.member("bay", visit.bay);
    out.member("window_from", to_text(visit.window.earliest));
    out.member("window_to", to_text(visit.window.latest));
    out.member("minutes_low", visit.minutes.low);
    out.member("minutes_mode", visit.minutes.mode);
    out.member("minutes_high", visit.minutes.high);
    out.list("day_minutes", visit.day_minutes, [&](double minutes) { out.value(minutes); });
    out.member("cost_low", in_units(visit.cost.low, calendar.currency));
    out.member("cost_mode", in_units(visit.cost.mode, calendar.currency));
    out.member("cost_high", in_units(visit.cost.high, calendar.currency));
    out.member("why", visit.why);
    out.member("flags", visit.flags);
    out.member("cautions", visit.cautions);
    out.list("tasks", visit.tasks, [&](const VisitTask& task) { write(out, task); });
    out.end_object();
}

}  // namespace

std::string calendar_csv(const Calendar& calendar) {
    std::string text = csv_line({"uid",
                                 "status",
                                 "kind",
                                 "coach",
                                 "label",
                                 "owner",
                                 "first_day",
                                 "last_day",
                                 "bay",
                                 "joint",
                                 "layer",
                                 "action",
                                 "family",
                                 "due",
                                 "urgency",
                                 "late",
                                 "reason",
                                 "visit_minutes_low",
                                 "visit_minutes_mode",
                                 "visit_minutes_high",
                                 "visit_cost_low",
                                 "visit_cost_mode",
                                 "visit_cost_high",
                                 "currency",
                                 "why",
                                 "flags"});
    for (const Visit& visit : calendar.visits) {
        for (const VisitTask& task : visit.tasks) text += csv_row(calendar, visit, &task);
        if (visit.tasks.empty()) text += csv_row(calendar, visit, nullptr);
    }
    return text;
}

std::string calendar_json(const Calendar& calendar) {
    JsonWriter out;
    out.begin_object();
    out.member("schema", "libseal/calendar/1");
    out.member("year", calendar.year);
    out.member("as_of", to_text(calendar.as_of));
    out.member("shop", calendar.shop);
    out.member("currency", calendar.currency);
    out.list("visits", calendar.visits, [&](const Visit& visit) { write(out, visit, calendar); });
    out.list("unplaced", calendar.unplaced, [&](const Unplaced& left) {
        out.begin_object();
        out.member("coach", left.coach);
        out.member("joint", left.joint);
        out.member("action", left.action);
        out.member("due", to_text(left.due));
        out.member("constraint", left.constraint);
        out.member("relaxation", left.relaxation);
        out.end_object();
    });
    out.member("changes", calendar.changes);
    out.list("weeks", calendar.weeks, [&](const Week& week) {
        out.begin_object();
        out.member("start", to_text(week.start));
        out.member("booked_h", week.booked);
        out.member("capacity_h", week.capacity);
        out.member("overtime_h", week.overtime);
        out.member("overtime_limit_h", week.overtime_limit);
        out.end_object();
    });
    out.member("moving_cost", calendar.moving_cost);
    out.member("bound", calendar.bound);
    out.member("gap", calendar.gap);
    out.member("closing", calendar.closing);
    out.end_object();
    return out.take();
}

}  // namespace libseal
