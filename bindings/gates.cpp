// Weather gates in Python.

#include "libseal/schedule/gates.hpp"

#include "bind.hpp"
#include "docs/schedule.hpp"
#include "record.hpp"

namespace libseal::python {
namespace {

Minute minute_of_time(const py::handle& value) {
    const py::object time = py::module_::import("numpy").attr("datetime64")(value, "m");
    return time.attr("astype")("int64").attr("item")().cast<Minute>();
}

py::object time_of_minute(Minute t) { return py::module_::import("numpy").attr("datetime64")(t, "m"); }

}  // namespace

void declare_gates(py::module_& m) {
    py::class_<Gate>(m, "Gate", doc::Gate);
    py::class_<GateWeather>(m, "GateWeather", doc::GateWeather);
    py::class_<CureClock>(m, "CureClock", doc::CureClock);
    py::class_<WorkingClock>(m, "WorkingClock", doc::WorkingClock);
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
