#include "libseal/calendar/tables.hpp"

#include "core/json.hpp"
#include "libseal/core/csv.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

using detail::JsonWriter;

double amount(Money cents) { return static_cast<double>(cents) / 100; }

std::string joined(const std::vector<std::string>& list) {
    std::string text;
    for (const auto& item : list) text += (text.empty() ? "" : "; ") + item;
    return text;
}

std::string csv_line(const std::vector<std::string>& fields) {
    std::string line;
    for (std::size_t i = 0; i < fields.size(); ++i) line += (i ? "," : "") + csv_field(fields[i]);
    return line + "\r\n";
}

/// Money without its currency, which has a column of its own.
std::string amount_text(Money cents) { return number_text(amount(cents), 2); }

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
                                 number_text(visit.minutes.high, 0), amount_text(visit.cost.low),
                                 amount_text(visit.cost.mode), amount_text(visit.cost.high),
                                 calendar.currency, visit.why, joined(visit.flags)});
    return csv_line(fields);
}

void write(JsonWriter& out, const char* key, const std::vector<std::string>& list) {
    out.key(key);
    out.begin_list();
    for (const auto& item : list) out.value(item);
    out.end_list();
}

void write(JsonWriter& out, const VisitTask& task) {
    out.begin_object();
    out.key("joint"), out.value(task.joint);
    out.key("layer"), out.value(task.layer);
    out.key("generation"), out.value(task.generation);
    out.key("action"), out.value(task.action);
    out.key("family"), out.value(task.family);
    out.key("due"), out.value(to_text(task.due));
    out.key("urgency"), out.value(task.urgency);
    out.key("reason"), out.value(task.reason);
    out.key("late"), out.value(task.late);
    out.end_object();
}

void write(JsonWriter& out, const Visit& visit) {
    out.begin_object();
    out.key("uid"), out.value(visit.uid);
    out.key("sequence"), out.value(visit.sequence);
    out.key("cancelled"), out.value(visit.cancelled);
    out.key("kind"), out.value(visit.kind);
    out.key("coach"), out.value(visit.coach);
    out.key("label"), out.value(visit.label);
    out.key("owner"), out.value(visit.owner);
    out.key("first"), out.value(to_text(visit.first));
    out.key("last"), out.value(to_text(visit.last));
    out.key("bay"), out.value(visit.bay);
    out.key("window_from"), out.value(to_text(visit.window.earliest));
    out.key("window_to"), out.value(to_text(visit.window.latest));
    out.key("minutes_low"), out.value(visit.minutes.low);
    out.key("minutes_mode"), out.value(visit.minutes.mode);
    out.key("minutes_high"), out.value(visit.minutes.high);
    out.key("cost_low"), out.value(amount(visit.cost.low));
    out.key("cost_mode"), out.value(amount(visit.cost.mode));
    out.key("cost_high"), out.value(amount(visit.cost.high));
    out.key("why"), out.value(visit.why);
    write(out, "flags", visit.flags);
    write(out, "cautions", visit.cautions);
    out.key("tasks");
    out.begin_list();
    for (const VisitTask& task : visit.tasks) write(out, task);
    out.end_list();
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
    out.key("schema"), out.value("libseal/calendar/1");
    out.key("year"), out.value(calendar.year);
    out.key("as_of"), out.value(to_text(calendar.as_of));
    out.key("shop"), out.value(calendar.shop);
    out.key("currency"), out.value(calendar.currency);
    out.key("visits");
    out.begin_list();
    for (const Visit& visit : calendar.visits) write(out, visit);
    out.end_list();
    out.key("unplaced");
    out.begin_list();
    for (const Unplaced& left : calendar.unplaced) {
        out.begin_object();
        out.key("coach"), out.value(left.coach);
        out.key("joint"), out.value(left.joint);
        out.key("action"), out.value(left.action);
        out.key("due"), out.value(to_text(left.due));
        out.key("constraint"), out.value(left.constraint);
        out.key("relaxation"), out.value(left.relaxation);
        out.end_object();
    }
    out.end_list();
    write(out, "changes", calendar.changes);
    out.key("closing"), out.value(calendar.closing);
    out.end_object();
    return out.take();
}

}  // namespace libseal
