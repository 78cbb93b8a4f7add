// Schedules back from JSON, so that a running plan outlives the program.

#include <algorithm>
#include <limits>
#include <set>

#include "core/json.hpp"
#include "libseal/core/text.hpp"
#include "libseal/schedule/schedule.hpp"

namespace libseal {
namespace {

using detail::JsonView;

constexpr long long most = 1'000'000'000'000;  ///< minutes of a score

ScheduleScore score(const JsonView& view) {
    view.check_keys({"minutes_broken", "urgent_days_late", "minutes_late", "steps_moved", "minutes_of_stay", "changes"});
    ScheduleScore result;
    result.broken = view.member("minutes_broken").integer(0, most, 0);
    result.urgent = view.required("urgent_days_late").integer(0, most, 0);
    result.late = view.required("minutes_late").integer(0, most, 0);
    result.moved = static_cast<int>(view.required("steps_moved").integer(0, std::numeric_limits<int>::max(), 0));
    result.stay = view.required("minutes_of_stay").integer(0, most, 0);
    result.changes = static_cast<int>(view.required("changes").integer(0, std::numeric_limits<int>::max(), 0));
    return result;
}

/// Index of the item with this id, -1 with a problem if there is none.
template <class Items, class Id>
int index_of(const JsonView& view, const Items& items, const char* what, Id&& id) {
    const std::string wanted = view.text();
    for (std::size_t i = 0; i < items.size(); ++i)
        if (id(items[i]) == wanted) return static_cast<int>(i);
    std::vector<std::string> names;
    for (const auto& item : items) names.push_back(id(item));
    const std::string near = nearest_name(wanted, names);
    if (view.present()) view.fail(what, view.shown(), near.empty() ? "" : "perhaps \"" + near + "\"");
    return -1;
}

std::vector<std::string> texts(const JsonView& list) {
    std::vector<std::string> result;
    for (const JsonView& view : list.items()) result.push_back(view.text());
    return result;
}

/// "2027-03-01 08:00 to 2027-03-01 12:00".
TimeSpan piece(const JsonView& view) {
    const std::string text = view.text();
    constexpr std::size_t moment = 16;
    TimeSpan span;
    if (text.size() == 2 * moment + 4 && text.substr(moment, 4) == " to " &&
        detail::try_parse_moment(std::string_view(text).substr(0, moment), span.from) &&
        detail::try_parse_moment(std::string_view(text).substr(moment + 4), span.to) && span.from < span.to) {
        if (span.to - span.from <= Minute{limits::piece_days} * 1440) return span;
        view.fail("a piece of working time of at most " + std::to_string(limits::piece_days) + " days", view.shown(), "nobody works for longer without a break");
        return {};
    }
    view.fail("two times such as \"2027-03-01 08:00 to 2027-03-01 12:00\", the second later", view.shown());
    return {};
}

class Reader {
public:
    Reader(const std::vector<Booking>& bookings, const Shop& shop) : bookings_(bookings), shop_(shop), bays_(bays_of(shop)) {}

    Schedule read(const JsonView& root) {
        root.check_keys({"schema", "coach", "outcome", "stopped", "begin", "end", "lower_bound", "tried", "score", "bound", "stays", "steps",
                         "obstacles", "relaxations"});
        if (const JsonView coach = root.member("coach"); coach.present()) booking(coach);
        Schedule result;
        result.outcome = outcome(root.required("outcome"));
        result.stopped = root.member("stopped").text();
        result.begin = root.required("begin").moment(0);
        result.end = root.required("end").moment(0);
        result.lower_bound = root.required("lower_bound").moment(0);
        result.tried = static_cast<int>(root.member("tried").integer(0, std::numeric_limits<int>::max(), 0));
        result.score = score(root.required("score"));
        result.bound = score(root.required("bound"));
        for (const JsonView& view : root.required("stays").items()) result.stays.push_back(stay(view));
        for (const JsonView& view : root.required("steps").items()) result.steps.push_back(step(view));
        check_span(root.member("steps"), result);
        std::set<Date> days;
        for (const StepTime& time : result.steps)
            for (const TimeSpan& span : time.pieces)
                for (Date day = day_of(span.from); day <= day_of(span.to - 1); day = day + 1) days.insert(day);
        result.days.assign(days.begin(), days.end());
        result.obstacles = texts(root.member("obstacles"));
        result.relaxations = texts(root.member("relaxations"));
        return result;
    }

private:
    /// What judges a schedule goes through its minutes.
    static void check_span(const JsonView& steps, const Schedule& schedule) {
        if (schedule.steps.empty()) return;
        Minute first = schedule.steps.front().start, last = first;
        for (const StepTime& time : schedule.steps) {
            first = std::min(first, time.start);
            last = std::max(last, time.end);
            for (const TimeSpan& span : time.pieces)
                if (span.from < time.start || span.to > time.end) steps.fail("pieces within the start and end of their step", time_text(span.from) + " to " + time_text(span.to));
        }
        if (last - first > Minute{limits::schedule_days} * 1440)
            steps.fail("steps within " + std::to_string(limits::schedule_days) + " days", time_text(first) + " to " + time_text(last), "is a year mistyped?");
    }

    static Outcome outcome(const JsonView& view) {
        const std::vector<Outcome> all{Outcome::optimal, Outcome::feasible, Outcome::infeasible, Outcome::none_found, Outcome::cancelled};
        std::vector<std::string> names;
        for (const Outcome one : all) names.push_back(to_text(one));
        const std::string word = view.word(names, names[3]);
        return all[static_cast<std::size_t>(std::find(names.begin(), names.end(), word) - names.begin())];
    }

    int booking(const JsonView& view) const {
        return std::max(0, index_of(view, bookings_, "a coach of the plans", [](const Booking& one) { return one.plan.coach; }));
    }

    BayStay stay(const JsonView& view) const {
        view.check_keys({"coach", "bay", "begin", "end", "minutes_late", "lower_bound"});
        BayStay result;
        result.booking = booking(view.required("coach"));
        result.coach = view.member("coach").text();
        const JsonView bay = view.required("bay");
        result.bay = bay.text().empty() ? -1 : index_of(bay, bays_, "a bay of the shop", [](const Bay& one) { return one.id; });
        result.begin = view.required("begin").moment(0);
        result.end = view.required("end").moment(result.begin);
        result.late = view.member("minutes_late").integer(0, most, 0);
        result.lower_bound = view.member("lower_bound").moment(0);
        return result;
    }

    StepTime step(const JsonView& view) {
        view.check_keys({"coach", "step", "start", "end", "people", "pieces", "waited_for", "critical", "moved"});
        StepTime result;
        result.booking = booking(view.required("coach"));
        const JsonView id = view.required("step");
        if (!bookings_.empty()) {
            const auto& steps = bookings_[static_cast<std::size_t>(result.booking)].plan.steps;
            const int found = index_of(id, steps, "a step of the plan", [](const Step& one) { return one.id; });
            if (found >= 0 && !seen_.insert({result.booking, found}).second) id.fail("each step once", id.shown() + " again");
            result.step = std::max(0, found);
        }
        result.start = view.required("start").moment(0);
        result.end = view.required("end").moment(result.start);
        if (result.end < result.start) view.member("end").fail("not before its start", view.member("end").shown());
        for (const JsonView& person : view.member("people").items(limits::shop_people))
            result.people.push_back(std::max(0, index_of(person, shop_.people, "a person of the shop", [](const Person& one) { return one.id; })));
        for (const JsonView& span : view.member("pieces").items()) result.pieces.push_back(piece(span));
        result.waited_for = view.member("waited_for").text();
        result.critical = view.member("critical").boolean(false);
        result.moved = view.member("moved").boolean(false);
        return result;
    }

    const std::vector<Booking>& bookings_;
    const Shop& shop_;
    std::vector<Bay> bays_;
    std::set<std::pair<int, int>> seen_;
};

}  // namespace

Schedule read_schedule_text(std::string_view text, const std::string& name, const std::vector<Booking>& bookings, const Shop& shop) {
    const detail::JsonDocument document{std::string(text), name};
    detail::Problems problems;
    const JsonView root = JsonView::root(document, problems);
    Schedule result;
    if (root.check_schema("libseal/schedule/1")) result = Reader(bookings, shop).read(root);
    problems.throw_if_any();
    return result;
}

Schedule read_schedule(const std::string& path, const std::vector<Booking>& bookings, const Shop& shop) {
    return read_schedule_text(read_text_file(path), path, bookings, shop);
}

}  // namespace libseal
