"""Writes python/libseal/_libseal.pyi from the signatures that the compiled module carries.

Run it after a change of the bindings and read the difference before it is committed:
PYTHONPATH=build/dev/python python bindings/stubs_from_module.py
tests/python/stubs_test.py compares names, arguments and defaults of the committed file with the module.
"""

import pathlib
import re

from libseal import _libseal as core

HEAD = '''"""Types of the compiled part of libseal. What each name means stands in its docstring.

Written by bindings/stubs_from_module.py, read by people, compared with the module by the tests.
"""

import builtins
import datetime
import os
from collections.abc import Callable, Mapping, Sequence
from math import inf, nan
from typing import Any, TypeAlias, overload

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats: TypeAlias = NDArray[np.float64]
Times: TypeAlias = NDArray[np.datetime64]
Numbers: TypeAlias = Any  # a float for numbers, an array of float64 for arrays
TimesLike: TypeAlias = Any  # datetime64 or datetime values: array, list, Series, index
Path: TypeAlias = str | bytes | os.PathLike[str] | os.PathLike[bytes]

__version__: str

class Error(Exception):
    problems: list[Problem]

class ValueError(Error, builtins.ValueError): ...
class FileError(Error, OSError): ...
class StateError(Error, RuntimeError): ...
class Cancelled(StateError): ...
'''

# What pybind11 prints, and what a reader of types wants; in this order.
TYPES = [
    ("libseal._libseal.", ""),
    ("collections.abc.", ""),
    ("typing.Annotated[numpy.typing.ArrayLike, numpy.float64]", "ArrayLike"),
    ("typing.Annotated[numpy.typing.ArrayLike, numpy.int32]", "ArrayLike"),
    ("numpy.typing.NDArray[numpy.float64]", "Floats"),
    ("numpy.typing.NDArray[numpy.int32]", "NDArray[np.int32]"),
    ("numpy.ndarray", "Times"),
    ("typing.SupportsFloat | typing.SupportsIndex", "float"),
    ("typing.SupportsInt | typing.SupportsIndex", "int"),
    ("os.PathLike | str | bytes", "Path"),
    # Arguments that the bindings take as any object, or that may be None.
    ("catalogue: Catalogue = None", "catalogue: Catalogue | None = None"),
    ("shared: SharedEffects = None", "shared: SharedEffects | None = None"),
    ("session: Session = None", "session: Session | None = None"),
    ("stop: StopToken = None", "stop: StopToken | None = None"),
    ("previous: Calendar = None", "previous: Calendar | None = None"),
    ("progress: object = None", "progress: Callable[[Progress], object] | None = None"),
    ("weather: object = None", "weather: Weather | Sequence[Weather] | Mapping[str, Weather | Sequence[Weather]] | None = None"),
    ("catalogues: dict |", "catalogues: dict[str, Catalogue] |"),
    ("ranges: Sequence[SweepRange] | dict", "ranges: Sequence[SweepRange] | dict[str, tuple[float, float]]"),
    ("weather: object, name", "weather: Weather, name"),
    ("time_utc: object", "time_utc: TimesLike"),
    ("-> object", "-> Numbers"),
]
# What the type alone does not say: a pointer that may be null, an instant that may be absent.
RESULTS = {"layer_of": "Layer | None", "SunTimes.rise": "np.datetime64 | None", "SunTimes.set": "np.datetime64 | None"}
WIDTH = 110


def tidy(signature: str) -> str:
    for printed, wanted in TYPES:
        signature = signature.replace(printed, wanted)
    signature = re.sub(r'typing\.Annotated\[(.*?), "FixedSize\(\d+\)"\]', r"\1", signature)
    return re.sub(r"self: \w+", "self", signature)


def signatures(function: object, name: str) -> list[str]:
    pattern = rf"(?:\d+\. )?{re.escape(name)}(\(.*\) -> .*)$"
    found = [re.match(pattern, line) for line in (function.__doc__ or "").splitlines()]
    return [tidy(match[1]) for match in found if match and "*args" not in match[1]]


def definition(name: str, signature: str, indent: str = "") -> str:
    """One def, an argument a line where it would be too long."""
    text = f"{indent}def {name}{signature}: ..."
    if len(text) <= WIDTH:
        return text
    inside, _, result = signature[1:].rpartition(") -> ")
    arguments, depth, start = [], 0, 0
    for i, c in enumerate(inside + ","):
        depth += (c in "([{") - (c in ")]}")
        if c == "," and depth == 0:
            arguments.append(inside[start:i].strip())
            start = i + 1
    lines = "".join(f"{indent}    {argument},\n" for argument in arguments)
    return f"{indent}def {name}(\n{lines}{indent}) -> {result}: ..."


def overloads(name: str, found: list[str], indent: str = "", *, static: bool = False) -> list[str]:
    marks = [f"{indent}@overload"] * (len(found) > 1) + [f"{indent}@staticmethod"] * static
    return ["\n".join([*marks, definition(name, signature, indent)]) for signature in found]


def property_type(kind: type, name: str) -> str:
    if f"{kind.__name__}.{name}" in RESULTS:
        return RESULTS[f"{kind.__name__}.{name}"]
    first = (vars(kind)[name].fget.__doc__ or "").splitlines()[0]
    result = tidy(first).rpartition("-> ")[2]
    return "np.datetime64" if result == "Numbers" else result  # the only objects that getters give


def class_text(kind: type) -> str:
    name = kind.__name__
    lines = [f"class {name}:"]
    properties = [n for n, value in vars(kind).items() if isinstance(value, property)]
    for n in properties:
        lines += ["    @property", f"    def {n}(self) -> {property_type(kind, n)}: ..."]
    made = signatures(kind.__init__, "__init__")
    if any("**" in s for s in made):  # a record
        fields = ", ".join(f"{n}: {property_type(kind, n)} = ..." for n in properties)
        fields = fields.replace("list[", "Sequence[").replace("dict[", "Mapping[")
        lines += [definition("__init__", f"(self, *, {fields}) -> None", "    "),
                  definition("replace", f"(self, *, {fields}) -> {name}", "    ")]
        properties.append("replace")
    else:
        lines += overloads("__init__", made, "    ")
    for n in vars(kind):
        if n in properties or (n.startswith("_") and n not in ("__len__", "__contains__", "__lt__")):
            continue
        lines += overloads(n, signatures(getattr(kind, n), n), "    ", static=isinstance(vars(kind)[n], staticmethod))
    return "\n".join(lines if len(lines) > 1 else [lines[0] + " ..."])


def function_text(name: str) -> str:
    found = signatures(getattr(core, name), name)
    if name in RESULTS:
        found = [s.rpartition("-> ")[0] + "-> " + RESULTS[name] for s in found]
    return "\n".join(overloads(name, found))


def main() -> None:
    names = sorted(n for n in dir(core) if not n.startswith("_"))
    kinds = [getattr(core, n) for n in names if isinstance(getattr(core, n), type)]
    classes = [class_text(k) for k in kinds if not issubclass(k, BaseException)]
    functions = [function_text(n) for n in names if not isinstance(getattr(core, n), type)]
    text = HEAD + "\n" + "\n\n".join(classes) + "\n\n" + "\n".join(functions) + "\n"
    target = pathlib.Path(__file__).parent / "python" / "libseal" / "_libseal.pyi"
    target.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
