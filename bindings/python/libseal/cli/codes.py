"""Exit codes, and the exception that carries one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

OK, BAD_INPUT, USAGE, FILE_PROBLEM, NEEDS_PACKAGE, DEFECT, INTERRUPTED, PIPE_CLOSED = 0, 1, 2, 3, 5, 70, 130, 141

# Printed by `libseal --help` and in docs/command_line.md.
MEANINGS = {
    OK: "done",
    BAD_INPUT: "an input is wrong, or a check found something",
    USAGE: "the command was called wrongly",
    FILE_PROBLEM: "a file cannot be read or written",
    NEEDS_PACKAGE: "an optional package is missing",
    DEFECT: "a defect of this program",
    INTERRUPTED: "stopped by Ctrl-C",
    PIPE_CLOSED: "the reader of the output went away",
}

PROBLEM_FIELDS = ("file", "line", "column", "field", "expected", "got", "hint", "context")


def problem_of(problem: Any) -> dict[str, Any]:
    """A Problem of the library as plain data."""
    return {name: getattr(problem, name) for name in PROBLEM_FIELDS}


def problem(expected: str, got: str, *, file: str = "", field: str = "", hint: str = "", line: int = 0) -> dict[str, Any]:
    """One of our own, in the same form."""
    return {"file": file, "line": line, "column": 0, "field": field, "expected": expected, "got": got, "hint": hint, "context": ""}


def problem_text(p: dict[str, Any]) -> str:
    """file:line:column: field: expected ..., got ...; then the place and the hint, as the library's errors read."""
    place = p["file"] + (f":{p['line']}" if p["line"] else "") + (f":{p['column']}" if p["column"] else "")
    said = f"expected {p['expected']}, got {p['got']}" if p["expected"] else p["got"]
    text = ": ".join(part for part in (place, p["field"], said) if part)
    if p["context"]:
        text += "\n" + p["context"].rstrip("\n")
    return text + (f"\n  hint: {p['hint']}" if p["hint"] else "")


class CommandError(Exception):
    """Ends a command with an exit code and what went wrong."""

    def __init__(self, code: int, problems: Sequence[dict[str, Any]]) -> None:
        super().__init__("\n".join(problem_text(p) for p in problems))
        self.code = code
        self.problems = list(problems)
