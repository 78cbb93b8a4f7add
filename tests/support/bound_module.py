"""What the compiled module says of itself: its names, and the signatures in the first lines of its docstrings."""

import re

from libseal import _libseal as core
from signatures import split_outside_brackets

FUNCTIONS = sorted(n for n in dir(core) if callable(getattr(core, n)) and not isinstance(getattr(core, n), type))
CLASSES = sorted(n for n in dir(core) if isinstance(getattr(core, n), type))
ERRORS = [n for n in CLASSES if issubclass(getattr(core, n), BaseException)]


def printed(thing: object, name: str) -> list[list[tuple[str, str, bool]]]:
    """Shapes of the overloads of a compiled function, from its docstring."""
    shapes = []
    for line in (thing.__doc__ or "").splitlines():
        match = re.match(rf"(?:\d+\. )?{re.escape(name)}\((.*)\) -> .*$", line)
        if not match or match[1].startswith("*args"):
            continue
        only, found = False, []
        for part in split_outside_brackets(match[1]):
            if part == "*":
                only = True
                continue
            label = part.split(":")[0].split("=")[0].strip()
            if label != "self":
                found.append((label, part.partition(" = ")[2], only))
        shapes.append(found)
    return shapes
