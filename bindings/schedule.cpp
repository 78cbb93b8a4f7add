// Schedules in Python.

#include "libseal/schedule/schedule.hpp"

#include "bind.hpp"
#include "docs/schedule.hpp"
#include "libseal/schedule/explain.hpp"
#include "libseal/schedule/gates.hpp"
#include "libseal/schedule/verify.hpp"
#include "record.hpp"

namespace libseal::python {
namespace {

/// datetime64[m] of the shop's clock.
py::object minute_out(Minute minute) { return py::module_::import("numpy").attr("datetime64")(minute, "m"); }

/// A datetime, datetime64 or date of the shop's clock; None is 0.
Minute minute_in(const py::handle& value) {
    if (value.is_none()) return 0;
    const py::object time = py::module_::import("numpy").attr("datetime64")(value, "m");
    return time.attr("astype")("int64").attr("item")().cast<Minute>();
}

template <class T>
void minute_field(py::class_<T>& type, const char* name, Minute T::*member, const char* text) {
    type.def_property_readonly(
        name, [member](const T& self) { return minute_out(self.*member); }, text);
}

void define_times() {
    auto span = known<TimeSpan>();
    span.def(py::init([](const py::object& from, const py::object& to) { return TimeSpan{minute_in(from), minute_in(to)}; }), "from_"_a, "to"_a);
    minute_field(span, "from_", &TimeSpan::from, doc::TimeSpan_from);
    minute_field(span, LIBSEAL_FIELD(TimeSpan, to));
    span.def("__repr__", [](const TimeSpan& self) { return "TimeSpan(" + time_text(self.from) + " to " + time_text(self.to) + ")"; });

    auto booking = known<Booking>();
    booking.def(py::init([](const WorkPlan& plan, const py::object& arrival, const py::object& promised, const py::object& latest, int bay) {
                    return Booking{plan, minute_in(arrival), minute_in(promised), minute_in(latest), bay};
                }),
                "plan"_a, "arrival"_a = py::none(), "promised"_a = py::none(), "latest"_a = py::none(), "bay"_a = -1);
    field(booking, LIBSEAL_FIELD(Booking, plan));
    minute_field(booking, LIBSEAL_FIELD(Booking, arrival));
    minute_field(booking, LIBSEAL_FIELD(Booking, promised));
    minute_field(booking, LIBSEAL_FIELD(Booking, latest));
    field(booking, LIBSEAL_FIELD(Booking, bay));
    booking.def("__repr__", [](const Booking& self) { return "Booking(" + self.plan.coach + ")"; });

    auto running = known<RunningStep>();
    running.def(py::init([](const std::string& coach, const std::string& step, const py::object& start, const py::object& end,
                            const std::vector<std::string>& people, const std::string& bay, const std::string& state) {
                    for (const StepState known : {StepState::planned, StepState::started, StepState::done})
                        if (to_text(known) == state) return RunningStep{coach, step, minute_in(start), minute_in(end), people, bay, known};
                    throw py::value_error("state: expected \"planned\", \"started\" or \"done\", got \"" + state + "\"");
                }),
                "coach"_a, "step"_a, "start"_a, "end"_a, "people"_a = std::vector<std::string>{}, "bay"_a = "", "state"_a = "planned");
    field(running, LIBSEAL_FIELD(RunningStep, coach));
    field(running, LIBSEAL_FIELD(RunningStep, step));
    minute_field(running, LIBSEAL_FIELD(RunningStep, start));
    minute_field(running, LIBSEAL_FIELD(RunningStep, end));
    field(running, LIBSEAL_FIELD(RunningStep, people));
    field(running, LIBSEAL_FIELD(RunningStep, bay));
    running.def_property_readonly("state", [](const RunningStep& self) { return to_text(self.state); }, "\"planned\", \"started\" or \"done\"");
    running.def("__repr__", [](const RunningStep& self) {
        return "RunningStep(" + self.coach + " " + self.step + ", " + time_text(self.start) + ", " + to_text(self.state) + ")";
    });
}

void define_results() {
    auto step = known<StepTime>();
    field(step, LIBSEAL_FIELD(StepTime, booking));
    field(step, LIBSEAL_FIELD(StepTime, step));
    minute_field(step, LIBSEAL_FIELD(StepTime, start));
    minute_field(step, LIBSEAL_FIELD(StepTime, end));
    field(step, LIBSEAL_FIELD(StepTime, pieces));
    field(step, LIBSEAL_FIELD(StepTime, people));
    field(step, LIBSEAL_FIELD(StepTime, waited_for));
    field(step, LIBSEAL_FIELD(StepTime, critical));
    field(step, LIBSEAL_FIELD(StepTime, moved));

    auto stay = known<BayStay>();
    field(stay, LIBSEAL_FIELD(BayStay, booking));
    field(stay, LIBSEAL_FIELD(BayStay, coach));
    field(stay, LIBSEAL_FIELD(BayStay, bay));
    minute_field(stay, LIBSEAL_FIELD(BayStay, begin));
    minute_field(stay, LIBSEAL_FIELD(BayStay, end));
    field(stay, LIBSEAL_FIELD(BayStay, late));
    minute_field(stay, LIBSEAL_FIELD(BayStay, lower_bound));

    auto score = known<ScheduleScore>();
    field(score, LIBSEAL_FIELD(ScheduleScore, broken));
    field(score, LIBSEAL_FIELD(ScheduleScore, urgent));
    field(score, LIBSEAL_FIELD(ScheduleScore, late));
    field(score, LIBSEAL_FIELD(ScheduleScore, moved));
    field(score, LIBSEAL_FIELD(ScheduleScore, stay));
    field(score, LIBSEAL_FIELD(ScheduleScore, changes));
    score.def("__eq__", [](const ScheduleScore& a, const ScheduleScore& b) { return a == b; });
    score.def("__lt__", [](const ScheduleScore& a, const ScheduleScore& b) { return a < b; });
    score.def("__repr__", [](const ScheduleScore& self) {
        return "ScheduleScore(urgent=" + std::to_string(self.urgent) + ", late=" + std::to_string(self.late) + ", moved=" +
               std::to_string(self.moved) + ", stay=" + std::to_string(self.stay) + ")";
    });

    auto type = known<Schedule>();
    type.def_property_readonly(
        "outcome", [](const Schedule& self) { return to_text(self.outcome); }, doc::Outcome);
    field(type, LIBSEAL_FIELD(Schedule, stopped));
    field(type, LIBSEAL_FIELD(Schedule, steps));
    field(type, LIBSEAL_FIELD(Schedule, stays));
    minute_field(type, LIBSEAL_FIELD(Schedule, begin));
    minute_field(type, LIBSEAL_FIELD(Schedule, end));
    minute_field(type, LIBSEAL_FIELD(Schedule, lower_bound));
    field(type, LIBSEAL_FIELD(Schedule, score));
    field(type, LIBSEAL_FIELD(Schedule, bound));
    field(type, LIBSEAL_FIELD(Schedule, days));
    field(type, LIBSEAL_FIELD(Schedule, tried));
    field(type, LIBSEAL_FIELD(Schedule, obstacles));
    field(type, LIBSEAL_FIELD(Schedule, relaxations));
    type.def("__repr__", [](const Schedule& self) {
        return "Schedule(" + to_text(self.outcome) + ", " + time_text(self.begin) + " to " +
               time_text(self.end) + ")";
    });
}

void define_answers() {
    auto violation = known<Violation>();
    field(violation, LIBSEAL_FIELD(Violation, booking));
    field(violation, LIBSEAL_FIELD(Violation, step));
    field(violation, LIBSEAL_FIELD(Violation, kind));
    field(violation, LIBSEAL_FIELD(Violation, amount));
    field(violation, LIBSEAL_FIELD(Violation, unit));
    field(violation, LIBSEAL_FIELD(Violation, text));
    violation.def("__repr__", [](const Violation& self) { return "Violation(" + self.text + ")"; });
    auto evaluation = known<ScheduleEvaluation>();
    field(evaluation, LIBSEAL_FIELD(ScheduleEvaluation, score));
    field(evaluation, LIBSEAL_FIELD(ScheduleEvaluation, violations));
    auto cause = known<Cause>();
    field(cause, LIBSEAL_FIELD(Cause, booking));
    field(cause, LIBSEAL_FIELD(Cause, step));
    field(cause, LIBSEAL_FIELD(Cause, kind));
    field(cause, LIBSEAL_FIELD(Cause, by_booking));
    field(cause, LIBSEAL_FIELD(Cause, by_step));
    minute_field(cause, "from_", &Cause::from, doc::Cause_from);
    minute_field(cause, LIBSEAL_FIELD(Cause, to));
    field(cause, LIBSEAL_FIELD(Cause, text));
    cause.def("__repr__", [](const Cause& self) { return "Cause(" + self.kind + ": " + self.text + ")"; });
    auto conflict = known<Conflict>();
    field(conflict, LIBSEAL_FIELD(Conflict, members));
    field(conflict, LIBSEAL_FIELD(Conflict, relaxations));
    field(conflict, LIBSEAL_FIELD(Conflict, schedules));
    field(conflict, LIBSEAL_FIELD(Conflict, feasible));
}

/// A plan, a booking, or a list of either.
std::vector<Booking> bookings_in(const py::handle& plan) {
    if (py::isinstance<WorkPlan>(plan)) return {{plan.cast<const WorkPlan&>()}};
    if (py::isinstance<Booking>(plan)) return {plan.cast<const Booking&>()};
    if (!py::isinstance<py::list>(plan) && !py::isinstance<py::tuple>(plan))
        throw py::type_error("plan: expected a WorkPlan, a Booking or a list of them, got " + std::string(py::str(py::type::of(plan).attr("__name__"))));
    std::vector<Booking> bookings;
    for (const py::handle one : plan)
        for (Booking& booking : bookings_in(one)) bookings.push_back(std::move(booking));
    return bookings;
}

std::vector<Weather> series_in(const py::handle& weather) {
    if (weather.is_none()) return {};
    if (py::isinstance<Weather>(weather)) return {weather.cast<const Weather&>()};
    return weather.cast<std::vector<Weather>>();
}

using OpenHours = std::optional<std::map<std::string, std::vector<TimeSpan>>>;
using Running = std::optional<std::vector<RunningStep>>;

/// The options of a schedule as they come from Python, in the order of the struct.
struct Keywords {
    int work_limit;
    std::uint64_t seed;
    const py::object& weather;
    const Catalogue* catalogue;
    const OpenHours& open_hours;
    const Running& running;
    const py::object& now;
    const py::object& progress;
    const StopToken* stop;

    ScheduleOptions options() const {
        ScheduleOptions options;
        options.work_limit = work_limit;
        options.seed = seed;
        options.weather = series_in(weather);
        if (catalogue) options.catalogue = *catalogue;
        if (open_hours) options.open_hours = *open_hours;
        if (running) options.running = *running;
        options.now = minute_in(now);
        options.watch = watch_of(progress, stop);
        return options;
    }
};

/// A call with those keywords behind the arguments `A`, which are named by `names`.
template <class... A, class Call, class... Names>
void def(py::module_& m, const char* name, const char* text, const Call& call, const Names&... names) {
    const ScheduleOptions d;
    const auto none = py::none();
    m.def(
        name,
        [call](const A&... arguments, int work_limit, std::uint64_t seed, const py::object& weather, const Catalogue* catalogue,
               const OpenHours& open_hours, const Running& running, const py::object& now, const py::object& progress, const StopToken* stop) {
            return call(arguments..., Keywords{work_limit, seed, weather, catalogue, open_hours, running, now, progress, stop}.options());
        },
        names..., py::kw_only(), "work_limit"_a = d.work_limit, "seed"_a = d.seed, "weather"_a = none, "catalogue"_a = none, "open_hours"_a = none,
        "running"_a = none, "now"_a = d.now, "progress"_a = none, "stop"_a = none, text);
}

}  // namespace

void declare_schedule(py::module_& m) {
    py::class_<TimeSpan>(m, "TimeSpan", doc::TimeSpan);
    py::class_<Booking>(m, "Booking", doc::Booking);
    py::class_<RunningStep>(m, "RunningStep", doc::RunningStep);
    py::class_<StepTime>(m, "StepTime", doc::StepTime);
    py::class_<BayStay>(m, "BayStay", doc::BayStay);
    py::class_<ScheduleScore>(m, "ScheduleScore", doc::ScheduleScore);
    py::class_<Schedule>(m, "Schedule", doc::Schedule);
    py::class_<Violation>(m, "Violation", doc::Violation);
    py::class_<ScheduleEvaluation>(m, "ScheduleEvaluation", doc::ScheduleEvaluation);
    py::class_<Cause>(m, "Cause", doc::Cause);
    py::class_<Conflict>(m, "Conflict", doc::Conflict);
    declare_gates(m);
}

namespace {

using Any = py::object;

void define_search(py::module_& m) {
    def<Any, Shop, Date>(
        m, "schedule", doc::schedule,
        [](const Any& plan, const Shop& shop, Date start, const ScheduleOptions& options) {
            const std::vector<Booking> bookings = bookings_in(plan);
            const py::gil_scoped_release free;
            return schedule(bookings, shop, start, options);
        },
        "plan"_a, "shop"_a, "start"_a);
    def<Schedule, Any, Shop, Date>(
        m, "verify", doc::verify,
        [](const Schedule& found, const Any& plan, const Shop& shop, Date start, const ScheduleOptions& options) {
            return verify(found, bookings_in(plan), shop, start, options);
        },
        "schedule"_a, "plan"_a, "shop"_a, "start"_a);
    def<Schedule, Any, Shop, Date>(
        m, "evaluate_schedule", doc::evaluate_schedule,
        [](const Schedule& found, const Any& bookings, const Shop& shop, Date start, const ScheduleOptions& options) {
            return evaluate_schedule(found, bookings_in(bookings), shop, start, options);
        },
        "schedule"_a, "bookings"_a, "shop"_a, "start"_a);
    def<Schedule, Any, Shop, Date, int, int>(
        m, "explain", doc::explain,
        [](const Schedule& found, const Any& bookings, const Shop& shop, Date start, int booking, int step, const ScheduleOptions& options) {
            return explain(found, bookings_in(bookings), shop, start, booking, step, options);
        },
        "schedule"_a, "bookings"_a, "shop"_a, "start"_a, "booking"_a, "step"_a);
    def<Any, Shop, Date>(
        m, "explain_conflict", doc::explain_conflict,
        [](const Any& plan, const Shop& shop, Date start, const ScheduleOptions& options) {
            const std::vector<Booking> bookings = bookings_in(plan);
            const py::gil_scoped_release free;
            return explain_conflict(bookings, shop, start, options);
        },
        "bookings"_a, "shop"_a, "start"_a);
}

void define_files(py::module_& m) {
    m.def(
        "schedule_json", [](const Schedule& schedule, const Any& plan, const Shop& shop) { return schedule_json(schedule, bookings_in(plan), shop); },
        "schedule"_a, "plan"_a, "shop"_a, doc::schedule_json);
    m.def(
        "read_schedule",
        [](const Path& path, const Any& bookings, const Shop& shop) { return read_schedule(path.string(), bookings_in(bookings), shop); },
        "path"_a, "bookings"_a, "shop"_a, doc::read_schedule);
    m.def(
        "read_schedule_text",
        [](std::string_view text, const std::string& name, const Any& bookings, const Shop& shop) {
            return read_schedule_text(text, name, bookings_in(bookings), shop);
        },
        "text"_a, "name"_a, "bookings"_a, "shop"_a, doc::read_schedule_text);
    m.def(
        "running_steps",
        [](const Schedule& schedule, const Any& bookings, const Shop& shop, const Any& now) {
            return running_steps(schedule, bookings_in(bookings), shop, minute_in(now));
        },
        "schedule"_a, "bookings"_a, "shop"_a, "now"_a, doc::running_steps);
    m.def(
        "schedule_by_hand",
        [](const std::vector<RunningStep>& steps, const Any& bookings, const Shop& shop) { return schedule_by_hand(steps, bookings_in(bookings), shop); },
        "steps"_a, "bookings"_a, "shop"_a, doc::schedule_by_hand);
}

}  // namespace

void define_schedule(py::module_& m) {
    define_times();
    define_results();
    define_answers();
    define_gates(m);
    define_search(m);
    define_files(m);
}

}  // namespace libseal::python
