#pragma once
// Lives of any kind, and columns that may be absent, as arguments; what defines intervals, survival and shared rates.

#include <pybind11/functional.h>

#include <optional>
#include <string>
#include <vector>

#include "bind.hpp"
#include "libseal/life/life_law.hpp"

namespace libseal::python {

void declare_intervals(py::module_& m);
void declare_survival(py::module_& m);
void declare_shared_rates(py::module_& m);
void define_intervals(py::module_& m);
void define_survival(py::module_& m);
void define_shared_rates(py::module_& m);

/// A life as Python gives it: a Weibull, a Lognormal, a LifeLaw, or a function of time.
struct AnyLife {
    LifeLaw law = LifeLaw::exponential(1);
    operator const LifeLaw&() const { return law; }  // NOLINT(google-explicit-constructor)
};

using OptionalDoubles = std::optional<Doubles>;

inline Column column_or_none(const OptionalDoubles& values, const char* argument) {
    return values ? Column(column_in(*values, argument)) : Column(0);
}

/// Numbers 0 and 1, or truths, as truths.
inline std::vector<bool> truths_in(const Doubles& values, const char* argument) {
    const auto column = column_in(values, argument);
    std::vector<bool> result;
    for (Eigen::Index i = 0; i < column.size(); ++i) {
        if (column[i] != 0 && column[i] != 1)
            throw_value_error(std::string(argument) + "[" + std::to_string(i) + "]", "True or False, or 1 or 0", std::to_string(column[i]));
        result.push_back(column[i] == 1);
    }
    return result;
}

}  // namespace libseal::python

template <>
struct pybind11::detail::type_caster<libseal::python::AnyLife> {
    PYBIND11_TYPE_CASTER(libseal::python::AnyLife, const_name("Weibull | Lognormal | LifeLaw | collections.abc.Callable[[float], float]"));

    bool load(handle source, bool) {
        if (!source || source.is_none()) return false;
        if (isinstance<libseal::LifeLaw>(source))
            value.law = source.cast<const libseal::LifeLaw&>();
        else if (isinstance<libseal::Weibull>(source))
            value.law = source.cast<const libseal::Weibull&>();
        else if (isinstance<libseal::Lognormal>(source))
            value.law = source.cast<const libseal::Lognormal&>();
        else if (PyCallable_Check(source.ptr()) != 0)
            value.law = libseal::LifeLaw(source.cast<std::function<double(double)>>());
        else
            return false;
        return true;
    }

    static handle cast(const libseal::python::AnyLife& life, return_value_policy, handle) {
        return pybind11::cast(life.law).release();
    }
};
