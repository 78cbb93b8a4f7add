#include "core/json.hpp"
#include "libseal/schedule/schedule.hpp"
#include "schedule/of_bookings.hpp"

namespace libseal {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

void write_score(detail::JsonWriter& out, const char* key, const ScheduleScore& score) {
    out.object(key, [&] {
        if (score.broken != 0) out.member("minutes_broken", static_cast<double>(score.broken));
        out.member("urgent_days_late", static_cast<double>(score.urgent));
        out.member("minutes_late", static_cast<double>(score.late));
        out.member("steps_moved", score.moved);
        out.member("minutes_of_stay", static_cast<double>(score.stay));
        out.member("changes", score.changes);
    });
}

void write_step(detail::JsonWriter& out, const StepTime& time, const WorkPlan& plan, const Shop& shop) {
    out.begin_object();
    out.member("coach", plan.coach);
    out.member("step", plan.steps[at(time.step)].id);
    out.member("start", time_text(time.start));
    out.member("end", time_text(time.end));
    std::vector<std::string> people, pieces;
    for (const int person : time.people) people.push_back(shop.people[at(person)].id);
    for (const TimeSpan& piece : time.pieces) pieces.push_back(time_text(piece.from) + " to " + time_text(piece.to));
    out.member("people", people);
    out.member("pieces", pieces);
    out.member("waited_for", time.waited_for);
    out.member("critical", time.critical);
    out.member("moved", time.moved);
    out.end_object();
}

}  // namespace

std::string schedule_json(const Schedule& schedule, const std::vector<Booking>& bookings, const Shop& shop) {
    detail::check_steps_of(schedule, bookings, shop);
    const std::vector<Bay> bays = bays_of(shop);
    detail::JsonWriter out;
    out.begin_object();
    out.member("schema", "libseal/schedule/1");
    if (bookings.size() == 1) out.member("coach", bookings.front().plan.coach);
    out.member("outcome", to_text(schedule.outcome));
    out.member("stopped", schedule.stopped);
    out.member("begin", time_text(schedule.begin));
    out.member("end", time_text(schedule.end));
    out.member("lower_bound", time_text(schedule.lower_bound));
    out.member("tried", schedule.tried);
    write_score(out, "score", schedule.score);
    write_score(out, "bound", schedule.bound);
    out.list("stays", schedule.stays, [&](const BayStay& stay) {
        out.begin_object();
        out.member("coach", stay.coach);
        out.member("bay", at(stay.bay) < bays.size() ? bays[at(stay.bay)].id : "");
        out.member("begin", time_text(stay.begin));
        out.member("end", time_text(stay.end));
        out.member("minutes_late", static_cast<double>(stay.late));
        out.member("lower_bound", time_text(stay.lower_bound));
        out.end_object();
    });
    out.list("steps", schedule.steps, [&](const StepTime& time) { write_step(out, time, bookings[at(time.booking)].plan, shop); });
    out.member("obstacles", schedule.obstacles);
    out.member("relaxations", schedule.relaxations);
    out.end_object();
    return out.take();
}

std::string schedule_json(const Schedule& schedule, const WorkPlan& plan, const Shop& shop) {
    return schedule_json(schedule, std::vector<Booking>{{plan}}, shop);
}

}  // namespace libseal
