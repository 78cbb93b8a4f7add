// Calibration tables in Python.

#include "libseal/forecast/calibration.hpp"

#include <optional>

#include "bind.hpp"
#include "docs/forecast.hpp"

namespace libseal::python {
namespace {

CalibrationTable table_of(const Catalogue* catalogue, const std::optional<std::vector<std::string>>& places, int threads,
                          const py::object& progress, const StopToken* stop) {
    CalibrationOptions options;
    if (catalogue) options.catalogue = *catalogue;
    if (places) options.places = *places;
    options.threads = threads;
    options.watch = watch_of(progress, stop);
    const py::gil_scoped_release free;
    return calibration_table(options);
}

}  // namespace

void declare_calibration(py::module_& m) {
    py::class_<CalibrationLives>(m, "CalibrationLives", doc::CalibrationLives);
    py::class_<CalibrationChecks>(m, "CalibrationChecks", doc::CalibrationChecks);
    py::class_<CalibrationTable>(m, "CalibrationTable", doc::CalibrationTable);
}

void define_calibration(py::module_& m) {
    auto lives = known<CalibrationLives>();
    field(lives, LIBSEAL_FIELD(CalibrationLives, family));
    field(lives, LIBSEAL_FIELD(CalibrationLives, layer));
    field(lives, LIBSEAL_FIELD(CalibrationLives, place));
    field(lives, LIBSEAL_FIELD(CalibrationLives, surface));
    field(lives, LIBSEAL_FIELD(CalibrationLives, rate));
    field(lives, LIBSEAL_FIELD(CalibrationLives, ratio));
    field(lives, LIBSEAL_FIELD(CalibrationLives, median));
    field(lives, LIBSEAL_FIELD(CalibrationLives, ten));
    field(lives, LIBSEAL_FIELD(CalibrationLives, ninety));
    field(lives, LIBSEAL_FIELD(CalibrationLives, trade_low));
    field(lives, LIBSEAL_FIELD(CalibrationLives, trade_high));
    field(lives, LIBSEAL_FIELD(CalibrationLives, verdict));
    lives.def("row", &CalibrationLives::row, "of_family"_a, "of_layer"_a, "at_place"_a, "on_surface"_a, doc::CalibrationLives_row)
        .def("__len__", &CalibrationLives::size);

    auto checks = known<CalibrationChecks>();
    field(checks, LIBSEAL_FIELD(CalibrationChecks, rule));
    field(checks, LIBSEAL_FIELD(CalibrationChecks, subject));
    field(checks, LIBSEAL_FIELD(CalibrationChecks, value));
    field(checks, LIBSEAL_FIELD(CalibrationChecks, low));
    field(checks, LIBSEAL_FIELD(CalibrationChecks, high));
    field(checks, LIBSEAL_FIELD(CalibrationChecks, unit));
    field(checks, LIBSEAL_FIELD(CalibrationChecks, source));
    field(checks, LIBSEAL_FIELD(CalibrationChecks, verdict));
    checks.def("__len__", &CalibrationChecks::size);

    auto table = known<CalibrationTable>();
    field(table, LIBSEAL_FIELD(CalibrationTable, reference));
    field(table, LIBSEAL_FIELD(CalibrationTable, lives));
    field(table, LIBSEAL_FIELD(CalibrationTable, checks));
    table.def("__repr__", [](const CalibrationTable& self) {
        return "CalibrationTable(" + std::to_string(self.lives.size()) + " lives, " + std::to_string(self.checks.size()) +
               " checks)";
    });

    const auto none = py::none();
    m.def("calibration_table", &table_of, py::kw_only(), "catalogue"_a = none, "places"_a = none,
          "threads"_a = CalibrationOptions{}.threads, "progress"_a = none, "stop"_a = none, doc::calibration_table);
    m.def("unexplained", &unexplained, "table"_a, doc::unexplained);
    m.def("calibration_text", &calibration_text, "table"_a, doc::calibration_text);
    m.def("calibration_csv", &calibration_csv, "table"_a, doc::calibration_csv);
    m.def("calibration_checks_csv", &calibration_checks_csv, "table"_a, doc::calibration_checks_csv);
}

}  // namespace libseal::python
