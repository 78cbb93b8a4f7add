"""Defaults of all functions, and arguments and defaults of all methods, are those of C++.

`stubs_test.py` compares names and order of functions, and the stubs with the module; the front door has its own test.
"""

import ast
import math
import re

import pytest
from bound_module import CLASSES, ERRORS, FUNCTIONS, core, printed
from signatures import REQUIRED, literal

# One Python function for two of C++.
OVERLOADS = {"work_order.slots"}
# A tracer was made with its catalogue; C++ takes the options of the free function and does not look at theirs.
NOT_IN_PYTHON = {"LeakTracer.trace.catalogue"}
# What must be said comes first in Python, names and rare columns last.
ORDER_OF_THEIR_OWN = {"Site", "Weather"}
ANY = object()  # a default that is worked out


def value_of_cpp(text):
    """Of a default as the header has it; None for "the usual" and for what Python cannot spell."""
    if text is None:
        return REQUIRED
    if "infinity()" in text:
        return math.inf
    if "quiet_NaN()" in text:
        return math.nan
    if word := re.fullmatch(r"\w+::(\w+)", text):  # a word of an enumeration
        return word[1]
    return literal(text)


def value_of_python(text):
    if not text:
        return REQUIRED
    try:
        return ast.literal_eval(text)
    except (ValueError, SyntaxError):
        return {"inf": math.inf, "nan": math.nan}.get(text)


def usual(value):
    return value is None or (isinstance(value, (str, list, dict, tuple)) and not value)


def same(cpp, python):
    if cpp is ANY:
        return python is not REQUIRED
    if cpp is REQUIRED or python is REQUIRED:
        return cpp is python
    if usual(cpp) or (usual(python) and not isinstance(cpp, float)):
        return usual(cpp) and usual(python)
    if isinstance(cpp, float) and math.isnan(cpp):  # not given, which Python also writes as None
        return python is None or (isinstance(python, float) and math.isnan(python))
    return cpp == python


@pytest.fixture(scope="module")
def options(headers):
    """Fields of each struct, with their defaults as text; the two of Watch in its place."""
    found = {}
    for entry in headers:
        if entry.kind == "field":
            watch = [("progress", "{}"), ("stop", "{}")]
            found.setdefault(entry.owner, []).extend(watch if entry.result == "Watch" else [(entry.name, entry.default)])
    return found


def arguments(entry, options):
    found = []
    for argument in entry.arguments:
        kind = re.sub(r"const|&", "", argument.type).strip()
        if kind.endswith("Options"):
            own = argument.default in (None, "{}")
            found += [(name, value_of_cpp(text or "{}") if own else ANY) for name, text in options[kind]]
        elif kind == "Watch":
            found += [("progress", value_of_cpp(argument.default)), ("stop", value_of_cpp(argument.default))]
        else:
            found.append((argument.name, value_of_cpp(argument.default)))
    return found


def difference(where, python, candidates):
    """Why no C++ signature is that of Python; "" if one is."""
    reasons = []
    for cpp in candidates:
        cpp = [(name, default) for name, default in cpp if f"{where}.{name}" not in NOT_IN_PYTHON]
        if [name for name, _ in cpp] != [name.rstrip("_") for name, _ in python]:
            reasons.append(f"{[name for name, _ in cpp]}")
            continue
        wrong = [name for (name, ours), (_, theirs) in zip(cpp, python)
                 if not same(ours, theirs) and f"{where}.{name}" not in OVERLOADS]
        if not wrong:
            return ""
        reasons.append(f"defaults of {wrong}")
    return f"{where}{[name for name, _ in python]}: C++ has " + "; ".join(reasons or ["nothing of that name"])


def shapes(thing, name):
    return [[(label, value_of_python(default)) for label, default, _ in shape] for shape in printed(thing, name)]


@pytest.mark.parametrize("name", FUNCTIONS)
def test_a_function_has_the_defaults_of_its_cpp_namesake(headers, options, name):
    candidates = [arguments(e, options) for e in headers if e.kind == "function" and not e.owner and e.name == name]
    assert [d for shape in shapes(getattr(core, name), name) if (d := difference(name, shape, candidates))] == []


@pytest.mark.parametrize("name", [n for n in CLASSES if n not in ERRORS])
def test_a_method_has_the_arguments_and_defaults_of_its_cpp_namesake(headers, options, name):
    kind, wrong = getattr(core, name), []
    for method, value in vars(kind).items():
        if isinstance(value, property) or method.startswith("_"):
            continue
        candidates = [arguments(e, options) for e in headers if e.kind == "function" and e.owner == name and e.name == method.rstrip("_")]
        made = shapes(getattr(kind, method), method)
        if method != "replace":  # of records, with their fields; stubs_test.py compares them
            assert made, f"{name}.{method} prints no signature"
            wrong += [d for shape in made if (d := difference(f"{name}.{method}", shape, candidates))]
    assert wrong == []


@pytest.mark.parametrize("name", [n for n in CLASSES if n not in ERRORS])
def test_a_class_is_made_as_in_cpp(headers, options, name):
    """By the arguments of a constructor; a plain struct by its fields in their order, of which the last may be left out."""
    kind = getattr(core, name)
    made = [s for s in shapes(kind.__init__, "__init__") if not any(label.startswith("*") for label, _ in s)]
    constructors = [arguments(e, options) for e in headers if e.kind == "function" and e.owner == name and e.name == name]
    fields = [field for field, _ in options.get(name, [])]
    for shape in made:
        names = [label.rstrip("_") for label, _ in shape]
        if names == [] or name == "LifeLaw":  # from anything that has a survival: three constructors of C++
            continue
        if constructors:
            assert difference(f"{name}.__init__", shape, constructors) == ""
        else:
            found = [field for field in fields if field in names]
            assert found == names or (name in ORDER_OF_THEIR_OWN and sorted(found) == sorted(names)), fields


def test_the_comparison_itself_sees_differences():
    said = [[("a", REQUIRED), ("from", "open"), ("b", 0.5), ("c", None), ("d", math.nan)]]
    right = [("a", REQUIRED), ("from_", "open"), ("b", 0.5), ("c", []), ("d", math.nan)]
    assert difference("f", right, said) == ""
    for place, other in [(0, ("x", REQUIRED)), (0, ("a", None)), (1, ("from_", "shut")), (2, ("b", 0.6)), (3, ("c", 1)), (4, ("d", 0.0)), (2, ("b", None))]:
        assert difference("f", [*right[:place], other, *right[place + 1:]], said) != "", other
    assert difference("f", right[:-1], said) and difference("f", right, [])
    assert value_of_cpp("Law::surface") == "surface" and value_of_cpp("std::numeric_limits<double>::infinity()") == math.inf
    assert value_of_cpp(None) is REQUIRED and value_of_cpp("2.44") == 2.44 and value_of_cpp("true") is True and value_of_cpp("Catalogue::built_in()") is None
