#pragma once
// Forecasts of layers as columns, for module.cpp.

#include "bind.hpp"

namespace libseal::python {

void declare_layer_columns(py::module_& m);
void define_layer_columns(py::module_& m);

}  // namespace libseal::python
