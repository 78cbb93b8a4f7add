// The Python module: all classes first, then all that uses them.

#include "bind.hpp"
#include "evidence.hpp"
#include "layer_columns.hpp"
#include "libseal/version.hpp"
#include "lives.hpp"
#include "life_fit.hpp"
#include "rate_sweep.hpp"

namespace lp = libseal::python;

namespace {

struct Part {
    void (*declare)(pybind11::module_&);
    void (*define)(pybind11::module_&);
};

constexpr Part parts[] = {
    {lp::declare_core, lp::define_core},
    {lp::declare_climate, lp::define_climate},
    {lp::declare_exposure, lp::define_exposure},
    {lp::declare_catalogue, lp::define_catalogue},
    {lp::declare_coach, lp::define_coach},
    {lp::declare_drainage, lp::define_drainage},
    {lp::declare_survey, lp::define_survey},
    {lp::declare_ageing_laws, lp::define_ageing_laws},
    {lp::declare_life, lp::define_life},
    {lp::declare_intervals, lp::define_intervals},
    {lp::declare_survival, lp::define_survival},
    {lp::declare_shared_rates, lp::define_shared_rates},
    {lp::declare_life_fit, lp::define_life_fit},
    {lp::declare_ageing, lp::define_ageing},
    {lp::declare_rate_sweep, lp::define_rate_sweep},
    {lp::declare_forecast, lp::define_forecast},
    {lp::declare_layer_columns, lp::define_layer_columns},
    {lp::declare_evidence, lp::define_evidence},
    {lp::declare_calibration, lp::define_calibration},
    {lp::declare_leak, lp::define_leak},
    {lp::declare_inspection, lp::define_inspection},
    {lp::declare_tuning, lp::define_tuning},
    {lp::declare_weak_spots, lp::define_weak_spots},
    {lp::declare_work, lp::define_work},
    {lp::declare_order, lp::define_order},
    {lp::declare_schedule, lp::define_schedule},
    {lp::declare_project, lp::define_project},
    {lp::declare_calendar, lp::define_calendar},
};

}  // namespace

// Records are read-only and the library is free of races, so Python may run without its global lock where it can.
#if PYBIND11_VERSION_HEX >= 0x020D0000
PYBIND11_MODULE(_libseal, m, pybind11::mod_gil_not_used()) {
#else
PYBIND11_MODULE(_libseal, m) {
#endif
    m.doc() = "Compiled part of libseal: ageing, forecast and maintenance planning of exterior seals.";
    m.attr("__version__") = libseal::version;
    for (const Part& part : parts) part.declare(m);
    for (const Part& part : parts) part.define(m);
}
