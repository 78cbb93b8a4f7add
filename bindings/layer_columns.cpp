// Forecasts of layers as columns, in Python.

#include "libseal/forecast/layer_columns.hpp"

#include <limits>
#include <optional>

#include "bind.hpp"
#include "docs/forecast.hpp"
#include "layer_columns.hpp"
#include "record.hpp"

namespace libseal::python {
namespace {

using Whole = py::array_t<std::int64_t, py::array::c_style | py::array::forcecast>;

std::string place_of(const char* argument, py::ssize_t i) { return std::string(argument) + "[" + std::to_string(i) + "]"; }

IndexColumn narrow(const Whole& values, const char* argument, const char* expected) {
    if (values.ndim() != 1) throw_value_error(argument, "a one-dimensional array", std::to_string(values.ndim()) + " dimensions");
    IndexColumn column(values.size());
    for (py::ssize_t i = 0; i < values.size(); ++i) {
        const std::int64_t value = values.data()[i];
        if (value < std::numeric_limits<std::int32_t>::min() || value > std::numeric_limits<std::int32_t>::max())
            throw_value_error(place_of(argument, i), expected, std::to_string(value));
        column[i] = static_cast<std::int32_t>(value);
    }
    return column;
}

/// Whole numbers; numbers with a fraction are refused.
IndexColumn whole_in(const py::object& values, const char* argument) {
    if (values.is_none()) return {};
    const py::array array = py::module_::import("numpy").attr("asarray")(values);
    const char kind = array.dtype().kind();
    if (kind != 'i' && kind != 'u' && kind != 'b' && array.size() > 0)
        throw_value_error(argument, "whole numbers", std::string(py::str(py::object(array.dtype()))), "use astype(int) or the codes of factorize");
    return narrow(array, argument, "a whole number of 32 bits");
}

/// Days from dates of any kind that NumPy turns into datetime64[D].
DateColumn days_in(const py::object& values, const char* argument) {
    if (values.is_none()) return {};
    const py::array days = py::module_::import("numpy").attr("asarray")(values, "datetime64[D]");
    return narrow(days.attr("astype")("int64"), argument, "a date");
}

Column numbers_in(const std::optional<Doubles>& values, const char* argument) {
    return values ? Column(column_in(*values, argument)) : Column();
}

py::array whole_out(const IndexColumn& column, const py::object& owner) {
    py::array_t<std::int32_t> view({column.size()}, {static_cast<py::ssize_t>(sizeof(std::int32_t))}, column.data(), owner);
    make_read_only(view);
    return view;
}

void define_columns() {
    Record<LayerKey>()
        .field(LIBSEAL_FIELD(LayerKey, station))
        .field(LIBSEAL_FIELD(LayerKey, tilt))
        .field(LIBSEAL_FIELD(LayerKey, azimuth))
        .field(LIBSEAL_FIELD(LayerKey, absorptance))
        .field(LIBSEAL_FIELD(LayerKey, emittance))
        .field(LIBSEAL_FIELD(LayerKey, cover))
        .field(LIBSEAL_FIELD(LayerKey, family))
        .field(LIBSEAL_FIELD(LayerKey, layer))
        .finish();
    auto type = known<LayerColumns>();
    type.def(py::init([](std::vector<Station> stations, std::vector<LayerKey> keys, const py::object& key, const py::object& installed,
                         const std::optional<Doubles>& movement_factor, const std::optional<Doubles>& length, const py::object& look_row,
                         const py::object& look_date, const py::object& look_grade, const py::object& look_measured) {
                 return LayerColumns{std::move(stations), std::move(keys), whole_in(key, "key"), days_in(installed, "installed"),
                                     numbers_in(movement_factor, "movement_factor"), numbers_in(length, "length"), whole_in(look_row, "look_row"),
                                     days_in(look_date, "look_date"), whole_in(look_grade, "look_grade"), whole_in(look_measured, "look_measured")};
             }),
             "stations"_a, "keys"_a, "key"_a, "installed"_a, py::kw_only(), "movement_factor"_a = py::none(), "length"_a = py::none(),
             "look_row"_a = py::none(), "look_date"_a = py::none(), "look_grade"_a = py::none(), "look_measured"_a = py::none());
    field(type, LIBSEAL_FIELD(LayerColumns, stations));
    field(type, LIBSEAL_FIELD(LayerColumns, keys));
    field(type, LIBSEAL_FIELD(LayerColumns, installed));
    field(type, LIBSEAL_FIELD(LayerColumns, movement_factor));
    field(type, LIBSEAL_FIELD(LayerColumns, length));
    field(type, LIBSEAL_FIELD(LayerColumns, look_date));
    const auto whole = [&](const char* name, IndexColumn LayerColumns::*member, const char* text) {
        type.def_property_readonly(name, [member](const py::object& self) { return whole_out(self.cast<const LayerColumns&>().*member, self); }, text);
    };
    whole(LIBSEAL_FIELD(LayerColumns, key));
    whole(LIBSEAL_FIELD(LayerColumns, look_row));
    whole(LIBSEAL_FIELD(LayerColumns, look_grade));
    whole(LIBSEAL_FIELD(LayerColumns, look_measured));
    type.def("__len__", [](const LayerColumns& self) { return self.key.size(); });
    type.def("__repr__", [](const LayerColumns& self) {
        return "LayerColumns(" + std::to_string(self.key.size()) + " layers, " + std::to_string(self.keys.size()) + " keys, " +
               std::to_string(self.look_row.size()) + " looks)";
    });
}

void define_result() {
    auto type = known<LayerForecast>();
    field(type, LIBSEAL_FIELD(LayerForecast, as_of));
    field(type, LIBSEAL_FIELD(LayerForecast, age));
    field(type, LIBSEAL_FIELD(LayerForecast, effective_age));
    field(type, LIBSEAL_FIELD(LayerForecast, condition));
    field(type, LIBSEAL_FIELD(LayerForecast, due_now));
    field(type, LIBSEAL_FIELD(LayerForecast, due_90_days));
    field(type, LIBSEAL_FIELD(LayerForecast, due_1_year));
    field(type, LIBSEAL_FIELD(LayerForecast, due_2_years));
    field(type, LIBSEAL_FIELD(LayerForecast, due_5_years));
    field(type, LIBSEAL_FIELD(LayerForecast, due_10));
    field(type, LIBSEAL_FIELD(LayerForecast, due_50));
    field(type, LIBSEAL_FIELD(LayerForecast, due_90));
    type.def("__len__", &LayerForecast::size);
    type.def("__repr__", [](const LayerForecast& self) {
        return "LayerForecast(as_of=" + to_text(self.as_of) + ", " + std::to_string(self.size()) + " layers)";
    });
}

}  // namespace

void declare_layer_columns(py::module_& m) {
    py::class_<LayerKey>(m, "LayerKey", doc::LayerKey);
    py::class_<LayerColumns>(m, "LayerColumns", doc::LayerColumns);
    py::class_<LayerForecast>(m, "LayerForecast", doc::LayerForecast);
}

void define_layer_columns(py::module_& m) {
    define_columns();
    define_result();
    const LayerOptions d;
    m.def(
        "forecast_layers",
        [](const LayerColumns& layers, Date as_of, const Catalogue* catalogue, const std::shared_ptr<Session>& session, std::uint64_t seed, int threads,
           const py::object& progress, const StopToken* stop) {
            LayerOptions options;
            if (catalogue) options.catalogue = *catalogue;
            options.session = session;
            options.seed = seed;
            options.threads = threads;
            options.watch = watch_of(progress, stop);
            const py::gil_scoped_release free;
            return forecast_layers(layers, as_of, options);
        },
        "layers"_a, "as_of"_a, py::kw_only(), "catalogue"_a = py::none(), "session"_a = py::none(), "seed"_a = d.seed, "threads"_a = d.threads,
        "progress"_a = py::none(), "stop"_a = py::none(), doc::forecast_layers);
}

}  // namespace libseal::python
