#pragma once
// What the files of the Python module share. Every folder first declares its classes, then defines their
// members and its functions, so that no C++ type name leaks into a signature.

#include <pybind11/pybind11.h>
#include <pybind11/stl.h>
#include <pybind11/stl/filesystem.h>

#include <filesystem>
#include <string>

#include "casters.hpp"
#include "libseal/core/progress.hpp"

namespace libseal::python {

using namespace pybind11::literals;
using Path = std::filesystem::path;

/// The Python class of a C++ class that has been declared before.
template <class T>
py::class_<T> known() {
    return py::reinterpret_borrow<py::class_<T>>(py::type::of<T>());
}

/// A call without arguments that need the interpreter runs while other Python threads run too.
using Free = py::call_guard<py::gil_scoped_release>;

/// Progress to a Python callable and Ctrl-C from Python. `progress` must outlive the call: arguments of a
/// call do.
Watch watch_of(const py::object& progress, const StopToken* stop);

void declare_core(py::module_& m);
void declare_climate(py::module_& m);
void declare_exposure(py::module_& m);
void declare_catalogue(py::module_& m);
void declare_coach(py::module_& m);
void declare_drainage(py::module_& m);
void declare_survey(py::module_& m);
void declare_ageing_laws(py::module_& m);
void declare_life(py::module_& m);
void declare_ageing(py::module_& m);
void declare_forecast(py::module_& m);
void declare_calibration(py::module_& m);
void declare_leak(py::module_& m);
void declare_inspection(py::module_& m);
void declare_tuning(py::module_& m);
void declare_weak_spots(py::module_& m);
void declare_work(py::module_& m);
void declare_order(py::module_& m);
void declare_schedule(py::module_& m);
void declare_gates(py::module_& m);
void declare_project(py::module_& m);
void declare_calendar(py::module_& m);

void define_core(py::module_& m);
void define_climate(py::module_& m);
void define_exposure(py::module_& m);
void define_catalogue(py::module_& m);
void define_coach(py::module_& m);
void define_drainage(py::module_& m);
void define_survey(py::module_& m);
void define_ageing_laws(py::module_& m);
void define_life(py::module_& m);
void define_ageing(py::module_& m);
void define_forecast(py::module_& m);
void define_calibration(py::module_& m);
void define_leak(py::module_& m);
void define_inspection(py::module_& m);
void define_tuning(py::module_& m);
void define_weak_spots(py::module_& m);
void define_work(py::module_& m);
void define_order(py::module_& m);
void define_schedule(py::module_& m);
void define_gates(py::module_& m);
void define_project(py::module_& m);
void define_calendar(py::module_& m);

}  // namespace libseal::python
