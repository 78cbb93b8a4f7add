// Weather gates in Python.

#include "libseal/schedule/gates.hpp"

#include "bind.hpp"
#include "docs/schedule.hpp"
#include "libseal/schedule/working_time.hpp"
#include "record.hpp"

namespace libseal::python {
namespace {

Minute minute_of_time(const py::handle& value) {
    const py::object time = py::module_::import("numpy").attr("datetime64")(value, "m");
    return time.attr("astype")("int64").attr("item")().cast<Minute>();
}

py::object time_of_minute(Minute t) { return py::module_::import("numpy").attr("datetime64")(t, "m"); }

void define_working_time() {
    known<WorkingTime>()
        .def(py::init([](const Shop& shop, const Person& person, const py::object& from, const py::object& to) {
                 return WorkingTime(shop, person, minute_of_time(from), minute_of_time(to));
             }),
             "shop"_a, "person"_a, "from_"_a, "to"_a)
        .def("spans", &WorkingTime::spans, doc::WorkingTime_spans)
        .def(
            "work_between",
            [](const WorkingTime& self, const py::object& a, const py::object& b) {
                return self.work_between(minute_of_time(a), minute_of_time(b));
            },
            "a"_a, "b"_a, doc::WorkingTime_work_between)
        .def(
            "next",
            [](const WorkingTime& self, const py::object& t) { return time_of_minute(self.next(minute_of_time(t))); },
            "t"_a, doc::WorkingTime_next)
        .def(
            "add_work",
            [](const WorkingTime& self, const py::object& t, std::int64_t work) {
                return time_of_minute(self.add_work(minute_of_time(t), work));
            },
            "t"_a, "work"_a, doc::WorkingTime_add_work)
        .def(
            "subtract_work",
            [](const WorkingTime& self, const py::object& t, std::int64_t work) {
                return time_of_minute(self.subtract_work(minute_of_time(t), work));
            },
            "t"_a, "work"_a, doc::WorkingTime_subtract_work);
}

}  // namespace

void declare_gates(py::module_& m) {
    py::class_<Gate>(m, "Gate", doc::Gate);
    py::class_<GateWeather>(m, "GateWeather", doc::GateWeather);
    py::class_<CureClock>(m, "CureClock", doc::CureClock);
    py::class_<WorkingClock>(m, "WorkingClock", doc::WorkingClock);
    py::class_<WorkingTime>(m, "WorkingTime", doc::WorkingTime);
}

void define_gates(py::module_& m) {
    Record<Gate>()
        .field(LIBSEAL_FIELD(Gate, lowest_temperature))
        .field(LIBSEAL_FIELD(Gate, highest_temperature))
        .field(LIBSEAL_FIELD(Gate, dew_margin))
        .field(LIBSEAL_FIELD(Gate, highest_humidity))
        .field(LIBSEAL_FIELD(Gate, highest_wind))
        .field(LIBSEAL_FIELD(Gate, dry_before))
        .field(LIBSEAL_FIELD(Gate, dry_after))
        .field(LIBSEAL_FIELD(Gate, no_dew_after))
        .field(LIBSEAL_FIELD(Gate, daylight))
        .finish();
    known<GateWeather>().def(py::init([](const std::vector<Weather>& series) { return GateWeather(series); }), "series"_a);
    known<CureClock>()
        .def(py::init([](const GateWeather& weather, const Bay& bay, double bay_temperature, const Catalogue& catalogue, const py::object& from, const py::object& to) {
                 return CureClock(weather, bay, bay_temperature, catalogue, minute_of_time(from), minute_of_time(to));
             }),
             "weather"_a, "bay"_a, "bay_temperature"_a, "catalogue"_a, "from_"_a, "to"_a)
        .def(
            "ready", [](const CureClock& self, const py::object& finish, double lag) { return time_of_minute(self.ready(minute_of_time(finish), lag)); },
            "finish"_a, "lag"_a, doc::CureClock_ready);
    known<WorkingClock>()
        .def(py::init([](const Shop& shop, const py::object& from, const py::object& to) { return WorkingClock(shop, minute_of_time(from), minute_of_time(to)); }),
             "shop"_a, "from_"_a, "to"_a)
        .def(
            "ready", [](const WorkingClock& self, const py::object& finish, double lag) { return time_of_minute(self.ready(minute_of_time(finish), lag)); },
            "finish"_a, "lag"_a, doc::WorkingClock_ready);
    define_working_time();
    m.def("gate_names", &gate_names, doc::gate_names);
    m.def("gate_for", &gate_for, "gate"_a, "family"_a, "catalogue"_a, doc::gate_for);
    m.def(
        "gate_open", [](const Gate& gate, const GateWeather& weather, const Bay& bay, const py::object& t) { return gate_open(gate, weather, bay, minute_of_time(t)); },
        "gate"_a, "weather"_a, "bay"_a, "t"_a, doc::gate_open);
    m.def(
        "open_spans",
        [](const Gate& gate, const GateWeather& weather, const Bay& bay, const py::object& from, const py::object& to) {
            return open_spans(gate, weather, bay, minute_of_time(from), minute_of_time(to));
        },
        "gate"_a, "weather"_a, "bay"_a, "begin"_a, "end"_a, doc::open_spans);
    m.def(
        "why_closed", [](const Gate& gate, const GateWeather& weather, const Bay& bay, const py::object& t) { return why_closed(gate, weather, bay, minute_of_time(t)); },
        "gate"_a, "weather"_a, "bay"_a, "t"_a, doc::why_closed);
}

}  // namespace libseal::python
