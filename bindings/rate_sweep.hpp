#pragma once
// Sweeps of ageing rates in Python.

#include "bind.hpp"

namespace libseal::python {

void declare_rate_sweep(py::module_& m);
void define_rate_sweep(py::module_& m);

}  // namespace libseal::python
