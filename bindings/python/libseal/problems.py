"""Errors that the Python part raises itself, in the form of those of the library: classes, `problems`, text."""

from __future__ import annotations

import dataclasses
from typing import TypeVar

from . import _libseal as core

__all__ = ["Problem", "arrived", "failure", "travelling"]

Kind = TypeVar("Kind", bound=core.Error)


@dataclasses.dataclass(frozen=True)
class Problem:
    """As a Problem of the library."""

    expected: str
    got: str
    file: str = ""
    field: str = ""
    hint: str = ""
    line: int = 0
    column: int = 0
    context: str = ""

    def __str__(self) -> str:
        said = ": ".join(part for part in (self.file, self.field, f"expected {self.expected}, got {self.got}") if part)
        return said + (f"\n  hint: {self.hint}" if self.hint else "")


def failure(kind: type[Kind], problem: Problem) -> Kind:
    """The error of one problem."""
    error = kind(str(problem))
    error.problems = [problem]  # type: ignore[list-item]
    if isinstance(error, core.FileError):
        error.filename = problem.file
    return error


def travelling(error: core.Error) -> tuple[type[core.Error], str, list[Problem]]:
    """What is left of an error on its way to another process: class, text and problems as plain data."""
    fields = [field.name for field in dataclasses.fields(Problem)]
    return type(error), str(error), [Problem(**{name: getattr(p, name) for name in fields}) for p in getattr(error, "problems", ())]


def arrived(kind: type[core.Error], text: str, problems: list[Problem]) -> core.Error:
    """The error again."""
    error = kind(text)
    error.problems = list(problems)  # type: ignore[arg-type]
    if isinstance(error, core.FileError) and problems:
        error.filename = problems[0].file
    return error
