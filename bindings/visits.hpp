#pragma once
// Visits and weeks in Python, beside the calendar that is made of them.

#include "bind.hpp"

namespace libseal::python {

void declare_visits(py::module_& m);
void define_visits(py::module_& m);

}  // namespace libseal::python
