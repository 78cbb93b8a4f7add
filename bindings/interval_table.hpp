#pragma once
// The table of intervals in Python, beside what past inspections teach.

#include "bind.hpp"

namespace libseal::python {

void declare_interval_table(py::module_& m);
void define_interval_table(py::module_& m);

}  // namespace libseal::python
