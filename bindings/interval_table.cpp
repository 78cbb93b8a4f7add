// The table of intervals, in Python.

#include "interval_table.hpp"

#include <optional>

#include "bind.hpp"
#include "docs/tuning.hpp"
#include "libseal/tuning/interval_table.hpp"

namespace libseal::python {
namespace {

using Names = std::optional<std::vector<std::string>>;

IntervalTable interval_table_of(const Names& stations, const Names& joint_types, const Names& families, const std::string& cover, double heading,
                                const std::string& finish, double reseal_cost, double look_cost, const std::optional<std::vector<double>>& failure_cost,
                                double detection, int found_grade, double years, int layers, const Catalogue* catalogue,
                                const std::shared_ptr<Session>& session, std::uint64_t seed, int threads, const py::object& progress, const StopToken* stop) {
    IntervalTableOptions options;
    if (stations) options.stations = *stations;
    if (joint_types) options.joint_types = *joint_types;
    if (families) options.families = *families;
    options.cover = cover;
    options.heading = heading;
    options.finish = finish;
    options.reseal_cost = reseal_cost;
    options.look_cost = look_cost;
    if (failure_cost) options.failure_cost = *failure_cost;
    options.detection = detection;
    options.found_grade = found_grade;
    options.years = years;
    options.layers = layers;
    if (catalogue) options.catalogue = *catalogue;
    options.session = session;
    options.seed = seed;
    options.threads = threads;
    options.watch = watch_of(progress, stop);
    const py::gil_scoped_release free;
    return interval_table(options);
}

}  // namespace

void declare_interval_table(py::module_& m) { py::class_<IntervalTable>(m, "IntervalTable", doc::IntervalTable); }

void define_interval_table(py::module_& m) {
    auto type = known<IntervalTable>();
    field(type, LIBSEAL_FIELD(IntervalTable, cost_unit));
    field(type, LIBSEAL_FIELD(IntervalTable, years));
    field(type, LIBSEAL_FIELD(IntervalTable, layers));
    field(type, LIBSEAL_FIELD(IntervalTable, station));
    field(type, LIBSEAL_FIELD(IntervalTable, climate));
    field(type, LIBSEAL_FIELD(IntervalTable, joint_type));
    field(type, LIBSEAL_FIELD(IntervalTable, family));
    field(type, LIBSEAL_FIELD(IntervalTable, layer));
    field(type, LIBSEAL_FIELD(IntervalTable, surface));
    field(type, LIBSEAL_FIELD(IntervalTable, consequence));
    field(type, LIBSEAL_FIELD(IntervalTable, rate));
    field(type, LIBSEAL_FIELD(IntervalTable, life));
    field(type, LIBSEAL_FIELD(IntervalTable, open_life));
    field(type, LIBSEAL_FIELD(IntervalTable, reseal_cost));
    field(type, LIBSEAL_FIELD(IntervalTable, look_cost));
    field(type, LIBSEAL_FIELD(IntervalTable, failure_cost));
    field(type, LIBSEAL_FIELD(IntervalTable, formula_age));
    field(type, LIBSEAL_FIELD(IntervalTable, formula_age_cost));
    field(type, LIBSEAL_FIELD(IntervalTable, formula_interval));
    field(type, LIBSEAL_FIELD(IntervalTable, formula_interval_cost));
    field(type, LIBSEAL_FIELD(IntervalTable, best_interval));
    field(type, LIBSEAL_FIELD(IntervalTable, best));
    field(type, LIBSEAL_FIELD(IntervalTable, policies));
    field(type, LIBSEAL_FIELD(IntervalTable, cost));
    field(type, LIBSEAL_FIELD(IntervalTable, cost_error));
    field(type, LIBSEAL_FIELD(IntervalTable, failures));
    field(type, LIBSEAL_FIELD(IntervalTable, failures_error));
    field(type, LIBSEAL_FIELD(IntervalTable, found));
    field(type, LIBSEAL_FIELD(IntervalTable, looks));
    field(type, LIBSEAL_FIELD(IntervalTable, reseals));
    field(type, LIBSEAL_FIELD(IntervalTable, saving));
    field(type, LIBSEAL_FIELD(IntervalTable, saving_error));
    field(type, LIBSEAL_FIELD(IntervalTable, more_failures));
    field(type, LIBSEAL_FIELD(IntervalTable, more_failures_error));
    field(type, LIBSEAL_FIELD(IntervalTable, intervals));
    field(type, LIBSEAL_FIELD(IntervalTable, interval_cost));
    field(type, LIBSEAL_FIELD(IntervalTable, interval_cost_error));
    field(type, LIBSEAL_FIELD(IntervalTable, interval_failures));
    type.def("row", &IntervalTable::row, "at_station"_a, "of_type"_a, "of_family"_a = "", doc::IntervalTable_row)
        .def("policy", &IntervalTable::policy, "name"_a, doc::IntervalTable_policy)
        .def("__len__", &IntervalTable::size)
        .def("__repr__", [](const IntervalTable& self) { return "IntervalTable(" + std::to_string(self.size()) + " rows)"; });
    const auto none = py::none();
    const IntervalTableOptions d;
    m.def("interval_table", &interval_table_of, py::kw_only(), "stations"_a = none, "joint_types"_a = none, "families"_a = none, "cover"_a = d.cover,
          "heading"_a = d.heading, "finish"_a = d.finish, "reseal_cost"_a = d.reseal_cost, "look_cost"_a = d.look_cost, "failure_cost"_a = none,
          "detection"_a = d.detection, "found_grade"_a = d.found_grade, "years"_a = d.years, "layers"_a = d.layers, "catalogue"_a = none,
          "session"_a = none, "seed"_a = d.seed, "threads"_a = d.threads, "progress"_a = none, "stop"_a = none, doc::interval_table);
    m.def("interval_table_text", &interval_table_text, "table"_a, doc::interval_table_text);
}

}  // namespace libseal::python
