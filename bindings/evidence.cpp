// The phases of a fleet forecast in Python.

#include "libseal/forecast/evidence.hpp"

#include <optional>

#include "docs/forecast.hpp"
#include "evidence.hpp"
#include "inputs.hpp"

namespace libseal::python {
namespace {

Evidence collect(const Fleet& fleet, Date as_of, const std::optional<std::vector<Finding>>& findings,
                 const std::optional<std::vector<WorkDone>>& work_done, const py::object& weather, const Catalogue* catalogue,
                 const std::optional<std::map<std::string, double>>& look_noise, const SharedEffects* shared, int warranty_days,
                 const std::shared_ptr<Session>& session, std::uint64_t seed, int threads, const py::object& progress,
                 const StopToken* stop) {
    ForecastOptions options;
    if (findings) options.findings = *findings;
    if (work_done) options.work_done = *work_done;
    options.weather = weather_by_place(weather);
    if (catalogue) options.catalogue = *catalogue;
    if (look_noise) options.look_noise = *look_noise;
    if (shared) options.shared = std::make_shared<const SharedEffects>(*shared);
    options.warranty_days = warranty_days;
    options.session = session;
    options.seed = seed;
    options.threads = threads;
    options.watch = watch_of(progress, stop);
    const py::gil_scoped_release free;
    return collect_evidence(fleet, as_of, options);
}

SharedEffects combine(const std::vector<Evidence>& batches, const Catalogue* catalogue) {
    const py::gil_scoped_release free;
    return combine_evidence(batches, catalogue ? *catalogue : Catalogue::built_in());
}

}  // namespace

void declare_evidence(py::module_& m) { py::class_<Evidence>(m, "Evidence", doc::Evidence); }

void define_evidence(py::module_& m) {
    known<Evidence>()
        .def("to_json", &Evidence::to_json, doc::Evidence_to_json)
        .def_static("from_json", &Evidence::from_json, "text"_a, "name"_a = "evidence", doc::Evidence_from_json)
        .def("__len__", &Evidence::size)
        .def("__repr__", [](const Evidence& self) { return "Evidence(" + std::to_string(self.size()) + " joints)"; });
    const ForecastOptions d;
    const auto none = py::none();
    m.def("collect_evidence", &collect, "fleet"_a, "as_of"_a, py::kw_only(), "findings"_a = none, "work_done"_a = none,
          "weather"_a = none, "catalogue"_a = none, "look_noise"_a = none, "shared"_a = none, "warranty_days"_a = d.warranty_days,
          "session"_a = none, "seed"_a = d.seed, "threads"_a = d.threads, "progress"_a = none, "stop"_a = none,
          doc::collect_evidence);
    m.def("combine_evidence", &combine, "batches"_a, "catalogue"_a = none, doc::combine_evidence);
}

}  // namespace libseal::python
