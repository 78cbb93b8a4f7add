// Life distributions in Python.

#include "libseal/life/weibull.hpp"

#include "bind.hpp"
#include "docs/life.hpp"
#include "libseal/core/text.hpp"

namespace libseal::python {

void declare_life(py::module_& m) { py::class_<Weibull>(m, "Weibull", doc::Weibull); }

void define_life(py::module_&) {
    known<Weibull>()
        .def(py::init<double, double>(), "scale"_a, "shape"_a, doc::Weibull_Weibull)
        .def_property_readonly("scale", &Weibull::scale, "Characteristic life. [yr]")
        .def_property_readonly("shape", &Weibull::shape, "Shape. [-]")
        .def("survival", py::vectorize(&Weibull::survival), "t"_a, doc::Weibull_survival)
        .def("density", py::vectorize(&Weibull::density), "t"_a, doc::Weibull_density)
        .def("hazard", py::vectorize(&Weibull::hazard), "t"_a, doc::Weibull_hazard)
        .def("quantile", py::vectorize(&Weibull::quantile), "p"_a, doc::Weibull_quantile)
        .def("mean", &Weibull::mean, doc::Weibull_mean)
        .def("__repr__", [](const Weibull& self) {
            return "Weibull(scale=" + number_text(self.scale()) + ", shape=" + number_text(self.shape()) +
                   ")";
        });
}

}  // namespace libseal::python
