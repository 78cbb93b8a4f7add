// The Python module: all classes first, then all that uses them.

#include "bind.hpp"
#include "evidence.hpp"
#include "layer_columns.hpp"
#include "libseal/version.hpp"
#include "lives.hpp"
#include "life_fit.hpp"
#include "rate_sweep.hpp"

namespace lp = libseal::python;

PYBIND11_MODULE(_libseal, m) {
    m.doc() = "Compiled part of libseal: ageing, forecast and maintenance planning of exterior seals.";
    m.attr("__version__") = libseal::version;

    lp::declare_core(m);
    lp::declare_climate(m);
    lp::declare_exposure(m);
    lp::declare_catalogue(m);
    lp::declare_coach(m);
    lp::declare_drainage(m);
    lp::declare_survey(m);
    lp::declare_ageing_laws(m);
    lp::declare_life(m);
    lp::declare_intervals(m);
    lp::declare_survival(m);
    lp::declare_shared_rates(m);
    lp::declare_life_fit(m);
    lp::declare_ageing(m);
    lp::declare_rate_sweep(m);
    lp::declare_forecast(m);
    lp::declare_layer_columns(m);
    lp::declare_evidence(m);
    lp::declare_calibration(m);
    lp::declare_leak(m);
    lp::declare_inspection(m);
    lp::declare_tuning(m);
    lp::declare_weak_spots(m);
    lp::declare_work(m);
    lp::declare_order(m);
    lp::declare_schedule(m);
    lp::declare_project(m);
    lp::declare_calendar(m);

    lp::define_core(m);
    lp::define_climate(m);
    lp::define_exposure(m);
    lp::define_catalogue(m);
    lp::define_coach(m);
    lp::define_drainage(m);
    lp::define_survey(m);
    lp::define_ageing_laws(m);
    lp::define_life(m);
    lp::define_intervals(m);
    lp::define_survival(m);
    lp::define_shared_rates(m);
    lp::define_life_fit(m);
    lp::define_ageing(m);
    lp::define_rate_sweep(m);
    lp::define_forecast(m);
    lp::define_layer_columns(m);
    lp::define_evidence(m);
    lp::define_calibration(m);
    lp::define_leak(m);
    lp::define_inspection(m);
    lp::define_tuning(m);
    lp::define_weak_spots(m);
    lp::define_work(m);
    lp::define_order(m);
    lp::define_schedule(m);
    lp::define_project(m);
    lp::define_calendar(m);
}
