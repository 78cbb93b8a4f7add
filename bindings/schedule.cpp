// Schedules in Python.

#include "libseal/schedule/schedule.hpp"

#include "bind.hpp"
#include "docs/schedule.hpp"
#include "libseal/schedule/verify.hpp"

namespace libseal::python {
namespace {

/// datetime64[m] of the shop's clock.
py::object minute_out(Minute minute) { return py::module_::import("numpy").attr("datetime64")(minute, "m"); }

template <class T>
void minute_field(py::class_<T>& type, const char* name, Minute T::*member, const char* text) {
    type.def_property_readonly(
        name, [member](const T& self) { return minute_out(self.*member); }, text);
}

void define_types() {
    auto span = known<TimeSpan>();
    minute_field(span, "from_", &TimeSpan::from, doc::TimeSpan_from);
    minute_field(span, LIBSEAL_FIELD(TimeSpan, to));

    auto step = known<StepTime>();
    field(step, LIBSEAL_FIELD(StepTime, step));
    minute_field(step, LIBSEAL_FIELD(StepTime, start));
    minute_field(step, LIBSEAL_FIELD(StepTime, end));
    field(step, LIBSEAL_FIELD(StepTime, pieces));
    field(step, LIBSEAL_FIELD(StepTime, people));
    field(step, LIBSEAL_FIELD(StepTime, waited_for));
    field(step, LIBSEAL_FIELD(StepTime, critical));

    auto type = known<Schedule>();
    type.def_property_readonly(
        "outcome", [](const Schedule& self) { return to_text(self.outcome); }, doc::Outcome);
    field(type, LIBSEAL_FIELD(Schedule, stopped));
    field(type, LIBSEAL_FIELD(Schedule, steps));
    minute_field(type, LIBSEAL_FIELD(Schedule, begin));
    minute_field(type, LIBSEAL_FIELD(Schedule, end));
    minute_field(type, LIBSEAL_FIELD(Schedule, lower_bound));
    field(type, LIBSEAL_FIELD(Schedule, days));
    field(type, LIBSEAL_FIELD(Schedule, tried));
    field(type, LIBSEAL_FIELD(Schedule, obstacles));
    field(type, LIBSEAL_FIELD(Schedule, relaxations));
    type.def("__repr__", [](const Schedule& self) {
        return "Schedule(" + to_text(self.outcome) + ", " + time_text(self.begin) + " to " +
               time_text(self.end) + ")";
    });
}

Schedule schedule_of(const WorkPlan& plan, const Shop& shop, Date start, int work_limit, std::uint64_t seed,
                     const py::object& progress, const StopToken* stop) {
    ScheduleOptions options;
    options.work_limit = work_limit;
    options.seed = seed;
    options.watch = watch_of(progress, stop);
    const py::gil_scoped_release free;
    return schedule(plan, shop, start, options);
}

}  // namespace

void declare_schedule(py::module_& m) {
    py::class_<TimeSpan>(m, "TimeSpan", doc::TimeSpan);
    py::class_<StepTime>(m, "StepTime", doc::StepTime);
    py::class_<Schedule>(m, "Schedule", doc::Schedule);
}

void define_schedule(py::module_& m) {
    define_types();
    const ScheduleOptions d;
    m.def("schedule", &schedule_of, "plan"_a, "shop"_a, "start"_a, py::kw_only(),
          "work_limit"_a = d.work_limit, "seed"_a = d.seed, "progress"_a = py::none(), "stop"_a = py::none(),
          doc::schedule);
    m.def("schedule_json", &schedule_json, "schedule"_a, "plan"_a, "shop"_a, doc::schedule_json);
    m.def("verify", &verify, "schedule"_a, "plan"_a, "shop"_a, "start"_a, doc::verify);
}

}  // namespace libseal::python
