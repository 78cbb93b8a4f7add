// Forecasts in Python.

#include "libseal/forecast/ahead.hpp"
#include "libseal/forecast/forecast.hpp"
#include "libseal/forecast/shared_effects.hpp"
#include "libseal/forecast/what_if.hpp"

#include <optional>

#include "bind.hpp"
#include "docs/forecast.hpp"
#include "inputs.hpp"

namespace libseal::python {
namespace {

/// The keywords that forecast, what_if and sensitivity have in common.
struct Keywords {
    std::optional<std::vector<Finding>> findings;
    std::optional<std::vector<WorkDone>> work_done;
    py::object weather;
    const Catalogue* catalogue;
    std::optional<std::map<std::string, double>> look_noise;
    const SharedEffects* shared;
    int warranty_days;
    std::shared_ptr<Session> session;
    std::uint64_t seed;
    int threads;
    py::object progress;
    const StopToken* stop;

    ForecastOptions options() const {
        ForecastOptions chosen;
        if (findings) chosen.findings = *findings;
        if (work_done) chosen.work_done = *work_done;
        chosen.weather = weather_by_place(weather);
        if (catalogue) chosen.catalogue = *catalogue;
        if (look_noise) chosen.look_noise = *look_noise;
        if (shared) chosen.shared = std::make_shared<const SharedEffects>(*shared);
        chosen.warranty_days = warranty_days;
        chosen.session = session;
        chosen.seed = seed;
        chosen.threads = threads;
        chosen.watch = watch_of(progress, stop);
        return chosen;
    }
};

template <class FleetOrCoach>
Forecast forecast_of(const FleetOrCoach& fleet, Date as_of, double years,
                     const std::optional<std::vector<Finding>>& findings,
                     const std::optional<std::vector<WorkDone>>& work_done, const py::object& weather,
                     const Catalogue* catalogue, const std::optional<std::map<std::string, double>>& look_noise,
                     const SharedEffects* shared, int warranty_days, const std::shared_ptr<Session>& session,
                     std::uint64_t seed, int threads,
                     const py::object& progress, const StopToken* stop) {
    const ForecastOptions options = Keywords{findings, work_done, weather, catalogue, look_noise, shared,
                                             warranty_days, session, seed, threads, progress, stop}.options();
    const py::gil_scoped_release free;
    return forecast(fleet, as_of, years, options);
}

template <class FleetOrCoach>
Comparison what_if_of(const FleetOrCoach& fleet, Date as_of, double years, const std::map<std::string, std::string>& changes,
                      const std::optional<std::vector<Finding>>& findings,
                      const std::optional<std::vector<WorkDone>>& work_done, const py::object& weather,
                      const Catalogue* catalogue, const std::optional<std::map<std::string, double>>& look_noise,
                      const SharedEffects* shared, int warranty_days, const std::shared_ptr<Session>& session,
                     std::uint64_t seed, int threads,
                      const py::object& progress, const StopToken* stop) {
    const ForecastOptions options = Keywords{findings, work_done, weather, catalogue, look_noise, shared,
                                             warranty_days, session, seed, threads, progress, stop}.options();
    std::vector<Change> list;
    for (const auto& [target, value] : changes) list.push_back({target, value});
    const py::gil_scoped_release free;
    return what_if(fleet, as_of, years, list, options);
}

Sensitivity sensitivity_of(const Coach& coach, Date as_of, double years,
                           const std::optional<std::vector<Finding>>& findings,
                           const std::optional<std::vector<WorkDone>>& work_done, const py::object& weather,
                           const Catalogue* catalogue, const std::optional<std::map<std::string, double>>& look_noise,
                           const SharedEffects* shared, int warranty_days, const std::shared_ptr<Session>& session,
                     std::uint64_t seed, int threads,
                           const py::object& progress, const StopToken* stop) {
    const ForecastOptions options = Keywords{findings, work_done, weather, catalogue, look_noise, shared,
                                             warranty_days, session, seed, threads, progress, stop}.options();
    const py::gil_scoped_release free;
    return sensitivity(coach, as_of, years, options);
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
    field(type, LIBSEAL_FIELD(Forecast, open_now));
    field(type, LIBSEAL_FIELD(Forecast, open_1_year));
    field(type, LIBSEAL_FIELD(Forecast, appearance));
    field(type, LIBSEAL_FIELD(Forecast, share_light));
    field(type, LIBSEAL_FIELD(Forecast, share_heat));
    field(type, LIBSEAL_FIELD(Forecast, share_moisture));
    field(type, LIBSEAL_FIELD(Forecast, share_movement));
    field(type, LIBSEAL_FIELD(Forecast, share_workmanship));
    field(type, LIBSEAL_FIELD(Forecast, share_shared));
    field(type, LIBSEAL_FIELD(Forecast, movement_factor));
    field(type, LIBSEAL_FIELD(Forecast, shared_factor));
    field(type, LIBSEAL_FIELD(Forecast, utilisation));
    field(type, LIBSEAL_FIELD(Forecast, generation));
    field(type, LIBSEAL_FIELD(Forecast, early_defect));
    field(type, LIBSEAL_FIELD(Forecast, flag));
    field(type, LIBSEAL_FIELD(Forecast, warnings));
    type.def("row", &Forecast::row, "coach_id"_a, "joint_id"_a, "layer_kind"_a, doc::Forecast_row)
        .def("rows_of", &Forecast::rows_of, "coach_id"_a, doc::Forecast_rows_of)
        .def("monthly", &Forecast::monthly, "rows"_a, doc::Forecast_monthly, Free())
        .def("states", &Forecast::states, "rows"_a, doc::Forecast_states, Free())
        .def("posterior", &Forecast::posterior, "row_number"_a, doc::Forecast_posterior, Free())
        .def("posteriors_json", &Forecast::posteriors_json, doc::Forecast_posteriors_json, Free())
        .def("shared_effects", &Forecast::shared_effects, py::return_value_policy::copy, doc::Forecast_shared_effects)
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

void declare_forecast(py::module_& m) {
    py::class_<Forecast>(m, "Forecast", doc::Forecast);
    py::class_<ForecastCurves>(m, "ForecastCurves", doc::ForecastCurves);
    py::class_<ForecastAhead>(m, "ForecastAhead", doc::ForecastAhead);
    py::class_<LayerStates>(m, "LayerStates", doc::LayerStates);
    py::class_<LayerPosterior>(m, "LayerPosterior", doc::LayerPosterior);
    py::class_<EffectMoments>(m, "EffectMoments", doc::EffectMoments);
    py::class_<SharedEffects>(m, "SharedEffects", doc::SharedEffects);
    py::class_<Comparison>(m, "Comparison", doc::Comparison);
    py::class_<Sensitivity>(m, "Sensitivity", doc::Sensitivity);
}

namespace {

void define_answers() {
    auto curves = known<ForecastCurves>();
    field(curves, LIBSEAL_FIELD(ForecastCurves, day));
    field(curves, LIBSEAL_FIELD(ForecastCurves, due));
    field(curves, LIBSEAL_FIELD(ForecastCurves, condition));
    field(curves, LIBSEAL_FIELD(ForecastCurves, open));
    auto ahead = known<ForecastAhead>();
    field(ahead, LIBSEAL_FIELD(ForecastAhead, day));
    field(ahead, LIBSEAL_FIELD(ForecastAhead, due));
    field(ahead, LIBSEAL_FIELD(ForecastAhead, open));
    field(ahead, LIBSEAL_FIELD(ForecastAhead, condition_10));
    field(ahead, LIBSEAL_FIELD(ForecastAhead, condition_50));
    field(ahead, LIBSEAL_FIELD(ForecastAhead, condition_90));
    auto states = known<LayerStates>();
    field(states, LIBSEAL_FIELD(LayerStates, crack_rating));
    field(states, LIBSEAL_FIELD(LayerStates, capability_left));
    field(states, LIBSEAL_FIELD(LayerStates, utilisation));
    field(states, LIBSEAL_FIELD(LayerStates, bond_left));
    field(states, LIBSEAL_FIELD(LayerStates, compression_set));
    field(states, LIBSEAL_FIELD(LayerStates, shrinkage));
    field(states, LIBSEAL_FIELD(LayerStates, squeezed_out));
    auto posterior = known<LayerPosterior>();
    field(posterior, LIBSEAL_FIELD(LayerPosterior, coach));
    field(posterior, LIBSEAL_FIELD(LayerPosterior, joint));
    field(posterior, LIBSEAL_FIELD(LayerPosterior, layer));
    field(posterior, LIBSEAL_FIELD(LayerPosterior, life));
    field(posterior, LIBSEAL_FIELD(LayerPosterior, probability));
    field(posterior, LIBSEAL_FIELD(LayerPosterior, effect));
    field(posterior, LIBSEAL_FIELD(LayerPosterior, effect_probability));
    field(posterior, LIBSEAL_FIELD(LayerPosterior, mean_log));
    field(posterior, LIBSEAL_FIELD(LayerPosterior, sd_log));
    auto comparison = known<Comparison>();
    field(comparison, LIBSEAL_FIELD(Comparison, before));
    field(comparison, LIBSEAL_FIELD(Comparison, after));
    field(comparison, LIBSEAL_FIELD(Comparison, days));
    auto moves = known<Sensitivity>();
    field(moves, LIBSEAL_FIELD(Sensitivity, assumption));
    field(moves, LIBSEAL_FIELD(Sensitivity, low));
    field(moves, LIBSEAL_FIELD(Sensitivity, high));
    field(moves, LIBSEAL_FIELD(Sensitivity, days_low));
    field(moves, LIBSEAL_FIELD(Sensitivity, days_high));
    field(moves, LIBSEAL_FIELD(Sensitivity, most));
    field(moves, LIBSEAL_FIELD(Sensitivity, most_days));
}

void define_shared_effects() {
    auto moments = known<EffectMoments>();
    field(moments, LIBSEAL_FIELD(EffectMoments, mean));
    field(moments, LIBSEAL_FIELD(EffectMoments, variance));
    known<SharedEffects>()
        .def("family", &SharedEffects::family, "family"_a, doc::SharedEffects_family)
        .def("model_line", &SharedEffects::model_line, "family"_a, "model_line"_a)
        .def("to_json", &SharedEffects::to_json, doc::SharedEffects_to_json)
        .def_static("from_json", &SharedEffects::from_json, "text"_a, "name"_a = "shared effects", doc::SharedEffects_from_json)
        .def("__len__", &SharedEffects::size);
}

}  // namespace

void define_forecast(py::module_& m) {
    define_forecast_type();
    define_answers();
    define_shared_effects();
    m.def("look_ahead", &look_ahead, "forecast"_a, "rows"_a, "days"_a, "spread"_a = true, doc::look_ahead, Free());
    const ForecastOptions d;
    const auto none = py::none();
    const auto define = [&](const char* name, auto function, const auto&... arguments) {
        m.def(name, function, arguments..., py::kw_only(), "findings"_a = none, "work_done"_a = none, "weather"_a = none,
              "catalogue"_a = none, "look_noise"_a = none, "shared"_a = none, "warranty_days"_a = d.warranty_days,
              "session"_a = none, "seed"_a = d.seed, "threads"_a = d.threads, "progress"_a = none, "stop"_a = none);
    };
    define("forecast", &forecast_of<Fleet>, "fleet"_a, "as_of"_a, "years"_a, doc::forecast);
    define("forecast", &forecast_of<Coach>, "coach"_a, "as_of"_a, "years"_a);
    define("what_if", &what_if_of<Fleet>, "fleet"_a, "as_of"_a, "years"_a, "changes"_a, doc::what_if);
    define("what_if", &what_if_of<Coach>, "coach"_a, "as_of"_a, "years"_a, "changes"_a);
    define("sensitivity", &sensitivity_of, "coach"_a, "as_of"_a, "years"_a, doc::sensitivity);
}

}  // namespace libseal::python
