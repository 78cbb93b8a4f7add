// Calendars back from JSON, so that the next run knows what was sent out.

#include <set>

#include "core/json.hpp"
#include "libseal/calendar/tables.hpp"
#include "libseal/core/text.hpp"
#include "work/billing.hpp"

namespace libseal {
namespace {

using detail::JsonView;

std::vector<std::string> texts(const JsonView& list) {
    std::vector<std::string> result;
    for (const JsonView& view : list.items()) result.push_back(view.text());
    return result;
}

VisitTask task(const JsonView& view) {
    view.check_keys({"joint", "layer", "generation", "action", "family", "due", "urgency", "reason", "late",
                     "best_date", "moved"});
    VisitTask result;
    result.joint = view.required("joint").text();
    result.layer = view.member("layer").text();
    result.generation = static_cast<int>(view.member("generation").integer(1, 1000000, 1));
    result.action = view.required("action").text();
    result.family = view.member("family").text();
    result.due = view.required("due").date(Date{});
    result.urgency = view.member("urgency").text();
    result.reason = view.member("reason").text();
    result.late = view.member("late").boolean(false);
    result.best_date = view.member("best_date").date(Date{});
    result.moved = view.member("moved").text();
    return result;
}

Visit visit(const JsonView& view, const std::string& currency) {
    view.check_keys({"uid",         "sequence",     "cancelled",    "kind",     "coach",       "label",
                     "owner",       "first",        "last",         "bay",      "window_from", "window_to",
                     "minutes_low", "minutes_mode", "minutes_high", "cost_low", "cost_mode",   "cost_high",
                     "why",         "flags",        "cautions",     "tasks",    "day_minutes"});
    Visit result;
    result.uid = view.required("uid").text();
    result.sequence = static_cast<int>(view.required("sequence").integer(0, 1000000000, 0));
    result.cancelled = view.member("cancelled").boolean(false);
    result.kind = view.required("kind").word({"work", "inspection"}, "work");
    result.coach = view.required("coach").text();
    result.label = view.member("label").text();
    result.owner = view.member("owner").text();
    result.first = view.required("first").date(Date{});
    result.last = view.required("last").date(result.first);
    if (result.last < result.first)
        view.member("last").fail("a day not before " + to_text(result.first), view.member("last").shown());
    result.bay = static_cast<int>(view.member("bay").integer(0, 1000, 0));
    result.window = {view.member("window_from").date(result.first),
                     view.member("window_to").date(result.last)};
    result.minutes = {view.member("minutes_low").number(0, 1e9, 0),
                      view.member("minutes_mode").number(0, 1e9, 0),
                      view.member("minutes_high").number(0, 1e9, 0)};
    for (const JsonView& item : view.member("day_minutes").items())
        result.day_minutes.push_back(item.number(0, 1e9, 0));
    if (view.member("cost_low").present())
        result.cost = {detail::money(view.member("cost_low"), 0, currency), detail::money(view.member("cost_mode"), 0, currency),
                       detail::money(view.member("cost_high"), 0, currency)};
    result.why = view.member("why").text();
    result.flags = texts(view.member("flags"));
    result.cautions = texts(view.member("cautions"));
    for (const JsonView& item : view.member("tasks").items()) result.tasks.push_back(task(item));
    return result;
}

Week week(const JsonView& view) {
    view.check_keys({"start", "booked_h", "capacity_h", "overtime_h", "overtime_limit_h"});
    Week result;
    result.start = view.required("start").date(Date{});
    result.booked = view.member("booked_h").number(0, 1e9, 0);
    result.capacity = view.member("capacity_h").number(0, 1e9, 0);
    result.overtime = view.member("overtime_h").number(0, 1e9, 0);
    result.overtime_limit = view.member("overtime_limit_h").number(0, 1e9, 0);
    return result;
}

Unplaced unplaced(const JsonView& view) {
    view.check_keys({"coach", "joint", "action", "due", "constraint", "relaxation"});
    return {view.required("coach").text(),    view.member("joint").text(),
            view.member("action").text(),     view.required("due").date(Date{}),
            view.member("constraint").text(), view.member("relaxation").text()};
}

}  // namespace

Calendar read_calendar_text(std::string_view text, const std::string& name) {
    const detail::JsonDocument document{std::string(text), name};
    detail::Problems problems;
    const JsonView root = JsonView::root(document, problems);
    Calendar calendar;
    if (root.check_schema("libseal/calendar/1")) {
        root.check_keys(
            {"schema", "year", "as_of", "shop", "currency", "visits", "unplaced", "changes", "weeks",
             "moving_cost", "bound", "gap", "closing"});
        calendar.year = static_cast<int>(root.required("year").integer(1970, 2200, 1970));
        calendar.as_of = root.required("as_of").date(Date{});
        calendar.shop = root.member("shop").text();
        calendar.currency = root.member("currency").text();
        std::set<std::string> uids;
        for (const JsonView& view : root.required("visits").items()) {
            calendar.visits.push_back(visit(view, calendar.currency));
            const std::string& uid = calendar.visits.back().uid;
            if (const JsonView own = view.member("uid"); own.present() && (uid.empty() || !uids.insert(uid).second))
                own.fail("a uid of its own", uid.empty() ? "none" : own.shown() + " again");
        }
        for (const JsonView& view : root.member("unplaced").items())
            calendar.unplaced.push_back(unplaced(view));
        calendar.changes = texts(root.member("changes"));
        for (const JsonView& view : root.member("weeks").items()) calendar.weeks.push_back(week(view));
        calendar.moving_cost = root.member("moving_cost").number(0, 1e15, 0);
        calendar.bound = root.member("bound").number(0, 1e15, 0);
        calendar.gap = root.member("gap").number(0, 1, 0);
        calendar.closing = root.member("closing").text();
    }
    problems.throw_if_any();
    return calendar;
}

Calendar read_calendar(const std::string& path) { return read_calendar_text(read_text_file(path), path); }

}  // namespace libseal
