// Errors, instants, progress and stop tokens in Python.

#include "docs/core.hpp"
#include "libseal/core/sourced.hpp"
#include "record.hpp"

namespace libseal::python {
namespace {

/// The Python classes of the library's errors; they live as long as the interpreter.
struct ErrorTypes {
    PyObject* error = nullptr;
    PyObject* value = nullptr;
    PyObject* file = nullptr;
    PyObject* state = nullptr;
    PyObject* cancelled = nullptr;
};

ErrorTypes& error_types() {
    static ErrorTypes types;
    return types;
}

PyObject* new_error(py::module_& m, const char* name, const char* text, const py::tuple& bases) {
    PyObject* type =
        PyErr_NewExceptionWithDoc((std::string("libseal.") + name).c_str(), text, bases.ptr(), nullptr);
    if (!type) throw py::error_already_set();
    m.attr(name) = py::handle(type);
    return type;
}

void raise(PyObject* type, const Error& error) {
    const py::object instance = py::handle(type)(error.what());
    instance.attr("problems") = py::cast(error.problems());
    if (type == error_types().file && !error.problems().empty() && !error.problems().front().file.empty())
        instance.attr("filename") = error.problems().front().file;
    PyErr_SetObject(type, instance.ptr());
}

void translate(std::exception_ptr thrown) {
    try {
        if (thrown) std::rethrow_exception(thrown);
    } catch (const Cancelled& e) {
        raise(error_types().cancelled, e);
    } catch (const ValueError& e) {
        raise(error_types().value, e);
    } catch (const FileError& e) {
        raise(error_types().file, e);
    } catch (const StateError& e) {
        raise(error_types().state, e);
    } catch (const Error& e) {
        raise(error_types().error, e);
    }
}

std::string repr_of(const Problem& problem) { return "Problem(" + to_text(problem) + ")"; }

}  // namespace

bool holds_half_a_pair(const py::handle& value) {
    if (py::isinstance<py::str>(value)) {
        if (PyUnicode_AsUTF8(value.ptr())) return false;
        PyErr_Clear();
        return true;
    }
    if (!py::isinstance<py::list>(value) && !py::isinstance<py::tuple>(value)) return false;
    for (const py::handle one : value)
        if (holds_half_a_pair(one)) return true;
    return false;
}

std::string field_text(const py::handle& value) {
    if (py::isinstance<py::list>(value) && py::len(value) > 3)
        return "[" + std::to_string(py::len(value)) + " items]";
    return py::str(py::repr(value));
}

InstantColumn instants_in(const py::object& times, const char* argument) {
    const py::module_ numpy = py::module_::import("numpy");
    const char* expected = "datetime64 or datetime values";
    py::object array = times;
    if (py::hasattr(times, "to_numpy")) {
        const std::string kind = py::str(times.attr("dtype").attr("kind"));
        if (kind == "M")
            array = times.attr("to_numpy")("datetime64[s]");  // with a zone: as UTC
        else
            array = times.attr("to_numpy")();
    }
    array = numpy.attr("atleast_1d")(numpy.attr("asarray")(array));
    std::string kind = py::str(array.attr("dtype").attr("kind"));
    if (kind == "O") {
        const py::module_ datetime = py::module_::import("datetime");
        const py::object utc = datetime.attr("timezone").attr("utc");
        py::list naive;
        for (const auto& time : array.attr("ravel")().attr("tolist")()) {
            if (!py::isinstance(time, datetime.attr("datetime")))
                throw_value_error(argument, expected, py::str(py::repr(time)));
            const bool zoned = !time.attr("tzinfo").is_none();
            naive.append(zoned ? time.attr("astimezone")(utc).attr("replace")("tzinfo"_a = py::none())
                               : py::object(py::reinterpret_borrow<py::object>(time)));
        }
        array = numpy.attr("array")(naive, "datetime64[us]").attr("reshape")(array.attr("shape"));
        kind = "M";
    }
    if (kind != "M")
        throw_value_error(argument, expected, "an array of " + std::string(py::str(array.attr("dtype"))));
    if (numpy.attr("isnat")(array).attr("any")().cast<bool>()) throw_value_error(argument, expected, "NaT");
    const py::array_t<std::int64_t, py::array::c_style> seconds =
        array.attr("astype")("datetime64[s]").attr("astype")("int64");
    if (seconds.ndim() != 1)
        throw_value_error(argument, "a one-dimensional array",
                          std::to_string(seconds.ndim()) + " dimensions");
    return Eigen::Map<const InstantColumn>(seconds.data(), seconds.size());
}

Watch watch_of(const py::object& progress, const StopToken* stop) {
    Watch watch;
    if (stop) watch.stop = *stop;
    const py::handle callable =
        progress;  // a handle: copies of the watch are made without the interpreter's lock
    watch.progress = [callable](const Progress& state) {
        const py::gil_scoped_acquire lock;
        if (PyErr_CheckSignals() != 0) throw py::error_already_set();
        if (!callable.is_none()) callable(state);
    };
    return watch;
}

void declare_core(py::module_& m) {
    py::class_<Problem>(m, "Problem", doc::Problem);
    py::class_<Progress>(m, "Progress", doc::Progress);
    py::class_<StopToken>(m, "StopToken", doc::StopToken);
    py::class_<SourcedValue>(m, "SourcedValue", doc::SourcedValue);
}

void define_core(py::module_& m) {
    auto& types = error_types();
    const auto bases = [](auto... base) { return py::make_tuple(py::handle(base)...); };
    types.error = new_error(m, "Error", doc::Error, bases(PyExc_Exception));
    types.value = new_error(m, "ValueError", doc::ValueError, bases(types.error, PyExc_ValueError));
    types.file = new_error(m, "FileError", doc::FileError, bases(types.error, PyExc_OSError));
    // An OSError with a file name prints its number instead of our text.
    py::handle(types.file).attr("__str__") = py::handle(PyExc_BaseException).attr("__str__");
    types.state = new_error(m, "StateError", doc::StateError, bases(types.error, PyExc_RuntimeError));
    types.cancelled = new_error(m, "Cancelled", doc::Cancelled, bases(types.state));
    py::register_exception_translator(&translate);

    auto problem = known<Problem>();
    field(problem, LIBSEAL_FIELD(Problem, file));
    field(problem, LIBSEAL_FIELD(Problem, line));
    field(problem, LIBSEAL_FIELD(Problem, column));
    field(problem, LIBSEAL_FIELD(Problem, field));
    field(problem, LIBSEAL_FIELD(Problem, expected));
    field(problem, LIBSEAL_FIELD(Problem, got));
    field(problem, LIBSEAL_FIELD(Problem, hint));
    field(problem, LIBSEAL_FIELD(Problem, context));
    problem.def("__repr__", &repr_of);

    auto progress = known<Progress>();
    field(progress, LIBSEAL_FIELD(Progress, stage));
    field(progress, LIBSEAL_FIELD(Progress, fraction));

    known<StopToken>()
        .def(py::init<>())
        .def("stop", &StopToken::stop, "Asks the calls that hold this token to stop.")
        .def_property_readonly("stop_requested", &StopToken::stop_requested,
                               "True once `stop` has been called.");

    auto sourced = known<SourcedValue>();
    field(sourced, LIBSEAL_FIELD(SourcedValue, value));
    field(sourced, LIBSEAL_FIELD(SourcedValue, text));
    field(sourced, LIBSEAL_FIELD(SourcedValue, unit));
    field(sourced, LIBSEAL_FIELD(SourcedValue, low));
    field(sourced, LIBSEAL_FIELD(SourcedValue, high));
    field(sourced, LIBSEAL_FIELD(SourcedValue, source));
    sourced.def_property_readonly(
        "mark", [](const SourcedValue& self) { return std::string(to_text(self.mark)); }, doc::Mark);
}

}  // namespace libseal::python
