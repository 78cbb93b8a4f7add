#pragma once
// Plain C++ structs as Python records: made with keywords, read-only, changed by `replace`.

#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "bind.hpp"

namespace libseal::python {

/// Python text of a field's value, long lists by their number.
std::string field_text(const py::handle& value);

/// Text, or a list of texts, with a lone surrogate.
bool holds_half_a_pair(const py::handle& value);

/// Defines the fields of a struct and, with `finish`, its constructor, `replace` and repr.
template <class T>
class Record {
public:
    Record() : type_(known<T>()) {}

    template <class M>
    Record& field(const char* name, M T::*member, const char* text) {
        python::field(type_, name, member, text);
        setters_.push_back(
            {name, [member](T& target, const py::handle& value) { target.*member = value.cast<M>(); }});
        return *this;
    }

    void finish() {
        const auto setters = setters_;
        const std::string type = py::str(type_.attr("__name__"));
        const auto set_all = [setters, type](T target, const py::kwargs& fields) {
            for (const auto& [key, value] : fields) set(target, setters, type, py::str(key), value);
            return target;
        };
        type_.def(py::init([set_all](const py::kwargs& fields) { return set_all(T{}, fields); }),
                  "Makes one from its fields by keyword; a field not named has its default.");
        type_.def(
            "replace", [set_all](const T& self, const py::kwargs& changes) { return set_all(self, changes); },
            "A copy with some fields changed.");
        type_.def("__repr__", [setters, type](const py::object& self) {
            const py::object plain = py::cast(T{});
            std::string text;
            for (const auto& part : setters) {
                const std::string value = field_text(self.attr(part.name));
                if (value == field_text(plain.attr(part.name))) continue;
                text += (text.empty() ? "" : ", ") + std::string(part.name) + "=" + value;
            }
            return type + "(" + text + ")";
        });
    }

private:
    struct Setter {
        const char* name;
        std::function<void(T&, const py::handle&)> set;
    };

    static void set(T& target, const std::vector<Setter>& setters, const std::string& type,
                    const std::string& name, const py::handle& value) {
        for (const auto& part : setters) {
            if (name != part.name) continue;
            try {
                return part.set(target, value);
            } catch (const py::cast_error&) {
                if (holds_half_a_pair(value))
                    throw_value_error(type + "." + name, "text that UTF-8 can hold", "half of a surrogate pair");
                throw py::type_error(type + "." + name + " cannot be " +
                                     std::string(py::str(py::repr(value))));
            }
        }
        throw py::type_error(type + " has no field '" + name + "'");
    }

    py::class_<T> type_;
    std::vector<Setter> setters_;
};

}  // namespace libseal::python
