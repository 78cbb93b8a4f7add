// Forecasts in Python.

#include "libseal/forecast/forecast.hpp"

#include <optional>

#include "bind.hpp"
#include "docs/forecast.hpp"
#include "inputs.hpp"

namespace libseal::python {
namespace {

template <class FleetOrCoach>
Forecast forecast_of(const FleetOrCoach& fleet, Date as_of, double years,
                     const std::optional<std::vector<Finding>>& findings,
                     const std::optional<std::vector<WorkDone>>& work_done, const py::object& weather,
                     const Catalogue* catalogue, const std::shared_ptr<Session>& session, std::uint64_t seed, int threads, const py::object& progress,
                     const StopToken* stop) {
    ForecastOptions options;
    if (findings) options.findings = *findings;
    if (work_done) options.work_done = *work_done;
    options.weather = weather_by_place(weather);
    if (catalogue) options.catalogue = *catalogue;
    options.session = session;
    options.seed = seed;
    options.threads = threads;
    options.watch = watch_of(progress, stop);
    const py::gil_scoped_release free;
    return forecast(fleet, as_of, years, options);
}

void define_forecast_type() {
    auto type = known<Forecast>();
    field(type, LIBSEAL_FIELD(Forecast, as_of));
    field(type, LIBSEAL_FIELD(Forecast, years));
    field(type, LIBSEAL_FIELD(Forecast, coach));
    field(type, LIBSEAL_FIELD(Forecast, joint));
    field(type, LIBSEAL_FIELD(Forecast, layer));
    field(type, LIBSEAL_FIELD(Forecast, family));
    field(type, LIBSEAL_FIELD(Forecast, age));
    field(type, LIBSEAL_FIELD(Forecast, effective_age));
    field(type, LIBSEAL_FIELD(Forecast, condition));
    field(type, LIBSEAL_FIELD(Forecast, due_10));
    field(type, LIBSEAL_FIELD(Forecast, due_50));
    field(type, LIBSEAL_FIELD(Forecast, due_90));
    field(type, LIBSEAL_FIELD(Forecast, inspect_by));
    field(type, LIBSEAL_FIELD(Forecast, due_now));
    field(type, LIBSEAL_FIELD(Forecast, due_90_days));
    field(type, LIBSEAL_FIELD(Forecast, due_1_year));
    field(type, LIBSEAL_FIELD(Forecast, due_2_years));
    field(type, LIBSEAL_FIELD(Forecast, due_5_years));
    field(type, LIBSEAL_FIELD(Forecast, share_light));
    field(type, LIBSEAL_FIELD(Forecast, share_heat));
    field(type, LIBSEAL_FIELD(Forecast, share_moisture));
    field(type, LIBSEAL_FIELD(Forecast, early_defect));
    field(type, LIBSEAL_FIELD(Forecast, flag));
    type.def("row", &Forecast::row, "coach_id"_a, "joint_id"_a, "layer_kind"_a, doc::Forecast_row)
        .def("rows_of", &Forecast::rows_of, "coach_id"_a, doc::Forecast_rows_of)
        .def("__len__", &Forecast::size)
        .def("__repr__", [](const Forecast& self) {
            return "Forecast(as_of=" + to_text(self.as_of) + ", " + std::to_string(self.size()) + " layers)";
        });
}

}  // namespace

namespace {

/// One Weather, or several in a list or tuple. False if it is neither.
bool place_weather_in(const py::handle& source, PlaceWeather& weather) {
    if (py::isinstance<Weather>(source)) {
        weather = source.cast<const Weather&>();
        return true;
    }
    if (!py::isinstance<py::list>(source) && !py::isinstance<py::tuple>(source)) return false;
    for (const py::handle part : source) {
        if (!py::isinstance<Weather>(part)) return false;
        weather.parts.push_back(part.cast<const Weather&>());
    }
    return true;
}

}  // namespace

std::map<std::string, PlaceWeather> weather_by_place(const py::object& weather) {
    if (weather.is_none()) return {};
    std::map<std::string, PlaceWeather> by_place;
    if (place_weather_in(weather, by_place[""])) return by_place;
    by_place.clear();
    const auto refuse = [](const py::handle& got) {
        throw py::type_error("weather: expected a Weather, a list of Weather, a dict of either by place, or None, got " +
                             std::string(py::str(py::repr(got))));
    };
    if (!py::isinstance<py::dict>(weather)) refuse(weather);
    for (const auto& [place, parts] : weather.cast<py::dict>()) {
        if (!py::isinstance<py::str>(place)) refuse(place);
        if (!place_weather_in(parts, by_place[place.cast<std::string>()])) refuse(parts);
    }
    return by_place;
}

void declare_forecast(py::module_& m) { py::class_<Forecast>(m, "Forecast", doc::Forecast); }

void define_forecast(py::module_& m) {
    define_forecast_type();
    const ForecastOptions d;
    const auto none = py::none();
    m.def("forecast", &forecast_of<Fleet>, "fleet"_a, "as_of"_a, "years"_a, py::kw_only(),
          "findings"_a = none, "work_done"_a = none, "weather"_a = none, "catalogue"_a = none, "session"_a = none,
          "seed"_a = d.seed, "threads"_a = d.threads, "progress"_a = none, "stop"_a = none, doc::forecast);
    m.def("forecast", &forecast_of<Coach>, "coach"_a, "as_of"_a, "years"_a, py::kw_only(),
          "findings"_a = none, "work_done"_a = none, "weather"_a = none, "catalogue"_a = none, "session"_a = none,
          "seed"_a = d.seed, "threads"_a = d.threads, "progress"_a = none, "stop"_a = none);
}

}  // namespace libseal::python
