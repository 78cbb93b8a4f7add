#pragma once
// How days and columns cross between C++ and Python.

#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>

#include <memory>
#include <string>
#include <utility>

#include "libseal/core/columns.hpp"
#include "libseal/core/date.hpp"
#include "libseal/core/error.hpp"

/// datetime.date and back; numpy.datetime64 and datetime.datetime are taken as the day they name.
template <>
struct pybind11::detail::type_caster<libseal::Date> {
    PYBIND11_TYPE_CASTER(libseal::Date, const_name("datetime.date"));

    bool load(handle source, bool) {
        if (!source || source.is_none()) return false;
        object day = reinterpret_borrow<object>(source);
        if (hasattr(day, "astype") && hasattr(day, "item") && !hasattr(day, "__len__"))
            day = day.attr("astype")("datetime64[D]").attr("item")();
        const object date = module_::import("datetime").attr("date");
        if (!isinstance(day, date)) return false;  // text, numbers, NaT
        if (hasattr(day, "nanosecond") && day.attr("value").cast<long long>() == -9223372036854775807LL - 1)
            return false;  // the NaT of pandas is a datetime by type
        value = libseal::make_date(day.attr("year").cast<int>(), day.attr("month").cast<int>(),
                                   day.attr("day").cast<int>());
        return true;
    }

    static handle cast(libseal::Date day, return_value_policy, handle) {
        const auto parts = libseal::year_month_day(day);
        return module_::import("datetime").attr("date")(parts.year, parts.month, parts.day).release();
    }
};

namespace libseal::python {

namespace py = pybind11;

using Doubles = py::array_t<double, py::array::c_style | py::array::forcecast>;

inline void make_read_only(py::array& array) {
    py::detail::array_proxy(array.ptr())->flags &= ~py::detail::npy_api::NPY_ARRAY_WRITEABLE_;
}

/// Read-only view of a column that lives in `owner`, which is kept alive.
inline py::array_t<double> view_of(const Column& column, py::handle owner) {
    py::array_t<double> view({column.size()}, {static_cast<py::ssize_t>(sizeof(double))}, column.data(),
                             owner);
    make_read_only(view);
    return view;
}

/// Read-only datetime64[s] view of instants that live in `owner`.
inline py::array view_of(const InstantColumn& column, py::handle owner) {
    const py::array_t<std::int64_t> seconds({column.size()}, {static_cast<py::ssize_t>(sizeof(std::int64_t))},
                                            column.data(), owner);
    py::array view = seconds.attr("view")("datetime64[s]");
    make_read_only(view);
    return view;
}

/// Read-only view of a table that lives in `owner`: rows and columns as in C++.
inline py::array_t<double> view_of(const Eigen::ArrayXXd& table, py::handle owner) {
    constexpr auto size = static_cast<py::ssize_t>(sizeof(double));
    py::array_t<double> view({table.rows(), table.cols()}, {size, size * table.rows()}, table.data(), owner);
    make_read_only(view);
    return view;
}

/// Read-only datetime64[D] copy of days: NumPy wants them in 64 bits.
inline py::array days_of(const Eigen::Array<std::int32_t, Eigen::Dynamic, 1>& column) {
    py::array_t<std::int64_t> days(column.size());
    for (Eigen::Index i = 0; i < column.size(); ++i) days.mutable_at(i) = column[i];
    py::array view = days.attr("view")("datetime64[D]");
    make_read_only(view);
    return view;
}

/// A result column handed over to Python without a copy.
inline py::array_t<double> give(Column column) {
    auto held = std::make_unique<Column>(std::move(column));
    const Column* raw = held.get();
    py::capsule owner(held.release(), [](void* p) { delete static_cast<Column*>(p); });
    return py::array_t<double>({raw->size()}, {static_cast<py::ssize_t>(sizeof(double))}, raw->data(), owner);
}

/// One-dimensional numbers as a column; no copy if they are contiguous float64.
inline Eigen::Map<const Column> column_in(const Doubles& values, const char* argument) {
    if (values.ndim() != 1)
        throw_value_error(argument, "a one-dimensional array", std::to_string(values.ndim()) + " dimensions");
    return {values.data(), values.size()};
}

/// Instants from datetime64 of any unit, datetime objects or pandas; times with a zone are turned to UTC.
InstantColumn instants_in(const py::object& times, const char* argument);

/// A member as a read-only property: columns as views, all else as pybind11 does it.
template <class T, class... Extra>
void field(py::class_<T, Extra...>& type, const char* name, Column T::*member, const char* text) {
    type.def_property_readonly(
        name, [member](const py::object& self) { return view_of(self.cast<const T&>().*member, self); },
        text);
}
template <class T, class... Extra>
void field(py::class_<T, Extra...>& type, const char* name, InstantColumn T::*member, const char* text) {
    type.def_property_readonly(
        name, [member](const py::object& self) { return view_of(self.cast<const T&>().*member, self); },
        text);
}
template <class T, class... Extra>
void field(py::class_<T, Extra...>& type, const char* name,
           Eigen::Array<std::int32_t, Eigen::Dynamic, 1> T::*member, const char* text) {
    type.def_property_readonly(
        name, [member](const T& self) { return days_of(self.*member); }, text);
}
template <class T, class... Extra>
void field(py::class_<T, Extra...>& type, const char* name, Eigen::ArrayXXd T::*member, const char* text) {
    type.def_property_readonly(
        name, [member](const py::object& self) { return view_of(self.cast<const T&>().*member, self); }, text);
}
template <class T, class M, class... Extra>
void field(py::class_<T, Extra...>& type, const char* name, M T::*member, const char* text) {
    type.def_readonly(name, member, text);
}

}  // namespace libseal::python

/// Name, member and text of a field, for `field`.
#define LIBSEAL_FIELD(Type, name) #name, &Type::name, doc::Type##_##name
