#pragma once
// Declared here alone, so that a change of fits does not compile every other folder anew.

#include <pybind11/pybind11.h>

namespace libseal::python {

void declare_life_fit(pybind11::module_& m);
void define_life_fit(pybind11::module_& m);

}  // namespace libseal::python
