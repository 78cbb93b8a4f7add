#pragma once
// The phases of a fleet forecast, for module.cpp.

#include "bind.hpp"

namespace libseal::python {

void declare_evidence(py::module_& m);
void define_evidence(py::module_& m);

}  // namespace libseal::python
