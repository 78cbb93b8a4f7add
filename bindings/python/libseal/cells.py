"""Cells of tables: from whatever a table holds to typed values, with the row and column of every bad one."""

from __future__ import annotations

import csv
import dataclasses
import datetime
import difflib
import io
import math
import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import numpy as np

from . import _libseal as core
from .tables import Spec

__all__ = ["CellProblem", "bad_cells", "json_of", "text_of", "through_csv", "typed_rows", "unlike_a_formula", "value_of"]

MOST_PROBLEMS = 50
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")  # begins what a spreadsheet runs, wide forms too
NUMBER = re.compile(r"-(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?")
EXPECTED = {"text": "text", "number": "a number", "whole": "a whole number", "yes_no": "yes or no", "day": "a day as 2026-05-01",
            "texts": "texts, one a line", "numbers": 'numbers with "; " between them', "points": 'points as "u v; u v" in metres', "day_or_none": "a day as 2026-05-01, or nothing"}
EMPTY: dict[str, Any] = {"text": "", "number": math.nan, "whole": 0, "yes_no": False, "texts": (), "numbers": (), "points": (), "day_or_none": None}
YES_NO = {"yes": True, "no": False, "true": True, "false": False, "1": True, "0": False}


@dataclasses.dataclass(frozen=True)
class CellProblem:
    """As a Problem of the library, with the place in a table."""

    table: str
    row: int  # from 0; -1: of the whole table
    heading: str
    expected: str
    got: str
    hint: str = ""
    file: str = ""
    line: int = 0
    column: int = 0
    context: str = ""

    @property
    def field(self) -> str:
        place = [self.table] + ([f"row {self.row}"] if self.row >= 0 else []) + ([f'column "{self.heading}"'] if self.heading else [])
        return ", ".join(place)

    def __str__(self) -> str:
        return f"{self.field}: expected {self.expected}, got {self.got}" + (f"\n  hint: {self.hint}" if self.hint else "")


def bad_cells(problems: Sequence[CellProblem]) -> core.ValueError:
    """The error that carries them, at most 50."""
    error = core.ValueError("\n".join(str(p) for p in problems[:MOST_PROBLEMS]))
    error.problems = list(problems[:MOST_PROBLEMS])  # type: ignore[arg-type]
    return error


def missing(value: Any) -> bool:
    """None, NaN, NaT, NA of any library."""
    if value is None or type(value).__name__ in ("NAType", "NaTType"):
        return True
    if isinstance(value, np.datetime64):
        return bool(np.isnat(value))
    return isinstance(value, (float, np.floating)) and bool(np.isnan(value))


def day_of(value: Any) -> datetime.date:
    if isinstance(value, str):
        return datetime.date.fromisoformat(value.strip())
    if isinstance(value, np.datetime64):
        value = value.astype("datetime64[s]").item()
    if isinstance(value, datetime.datetime):
        if value.time() != datetime.time():
            raise ValueError("a time of day")
        return datetime.date(value.year, value.month, value.day)
    if isinstance(value, datetime.date):
        return value
    raise ValueError("no day")


def number_of(value: Any) -> float:
    if isinstance(value, (bool, np.bool_)):
        raise ValueError("a truth")
    return float(value)


def points_of(value: Any) -> tuple[tuple[float, float], ...]:
    if not isinstance(value, str):
        return tuple((float(u), float(v)) for u, v in value)
    pairs = [part.split() for part in value.split(";")] if value.strip() else []
    return tuple((float(u), float(v)) for u, v in pairs)


def value_of(value: Any, kind: str) -> Any:
    """The typed value of a cell. @raises builtins.ValueError, TypeError  if it is none."""
    if missing(value) or (isinstance(value, str) and not value and kind != "text"):
        return EMPTY[kind]  # a day has none: KeyError
    if kind == "text":
        if not isinstance(value, str):
            raise TypeError
        return value
    if kind == "number":
        return number_of(value)
    if kind == "whole":
        number = number_of(value)
        if number != int(number):
            raise ValueError("a fraction")
        return int(number)
    if kind == "yes_no":
        return bool(value) if isinstance(value, (bool, np.bool_)) else YES_NO[str(value).strip().lower()]
    if kind in ("day", "day_or_none"):
        return day_of(value)
    if kind == "points":
        return points_of(value)
    if kind == "numbers":
        return tuple(float(part) for part in (value.split(";") if isinstance(value, str) else value))
    return tuple(value.split("\n")) if isinstance(value, str) else tuple(value)


def unlike_a_formula(text: str) -> str:
    """A text as a cell that no spreadsheet runs: the apostrophe of `csv_field`, which stands in front of formulas."""
    behind = text.lstrip("'")
    if not behind.startswith(FORMULA) or (behind == text and NUMBER.fullmatch(text)):
        return text
    return "'" + text


def text_of(value: Any, kind: str) -> Any:
    """Lists as the text that one cell holds; other values as they are."""
    if kind == "texts":
        return "\n".join(value)
    if kind == "numbers":
        return "; ".join(repr(number) for number in value)
    if kind == "points":
        return "; ".join(f"{u!r} {v!r}" for u, v in value)
    return value


def json_of(value: Any, kind: str) -> Any:
    if kind == "day" or (kind == "day_or_none" and value is not None):
        return value.isoformat()
    return list(value) if kind in ("texts", "numbers", "points") else value


def shown(value: Any) -> str:
    return "nothing" if missing(value) or value == "" else f'"{value}"' if isinstance(value, str) else repr(value)


def headings(table: str, got: Sequence[str], known: Sequence[str] | None, columns: Mapping[str, str | None] | None) -> dict[str, str]:
    """Our name of each column that is read, to the heading it has. `columns` maps headings to our names, None drops one."""
    problems: list[CellProblem] = []
    found: dict[str, str] = {}
    for heading in columns or {}:
        if heading not in got:
            problems.append(CellProblem(table, -1, heading, "a column of the table", "none of that name", _nearest(heading, got)))
    for heading in got:
        name = columns[heading] if columns and heading in columns else heading
        if name is None:
            continue
        if known is not None and name not in known:
            problems.append(CellProblem(table, -1, heading, f"columns among {', '.join(known)}", f'"{name}"', _nearest(name, known)))
        elif name in found:
            problems.append(CellProblem(table, -1, heading, "each column once", f'"{name}" again'))
        found[name] = heading
    if problems:
        raise bad_cells(problems)
    return found


def _nearest(name: str, known: Sequence[str]) -> str:
    near = difflib.get_close_matches(name.lower(), known, 1)
    return f'did you mean "{near[0]}"?' if near else 'a heading of your own needs columns={"yours": "ours"}, or None to leave it out'


def typed_rows(table: str, spec: Spec, cells: Mapping[str, Sequence[Any]], columns: Mapping[str, str | None] | None = None,
               optional: Sequence[str] = ()) -> list[tuple[Any, ...]]:
    """Rows in the order of the spec. @raises ValueError  naming row and column of each bad cell."""
    found = headings(table, list(cells), [name for name, _ in spec], columns)
    absent = [name for name, _ in spec if name not in found and name not in optional]
    if absent:
        raise bad_cells([CellProblem(table, -1, name, "this column", "none", _nearest(name, list(cells))) for name in absent])
    problems: list[CellProblem] = []
    typed = []
    length = len(next(iter(cells.values()), ()))
    for name, kind in spec:
        values = cells[found[name]] if name in found else [None] * length
        column = []
        for row, value in enumerate(values):
            try:
                column.append(value_of(value, kind))
            except (ValueError, TypeError, KeyError, OverflowError):
                column.append(None)
                problems.append(CellProblem(table, row, found.get(name, name), EXPECTED[kind], shown(value)))
        typed.append(column)
    if problems:
        raise bad_cells(sorted(problems, key=lambda p: p.row))
    return list(zip(*typed, strict=True))


def csv_cell(value: Any) -> str:
    if missing(value):
        return ""
    if isinstance(value, (bool, np.bool_)):
        return "yes" if value else "no"
    if isinstance(value, (datetime.date, np.datetime64)):
        try:
            return day_of(value).isoformat()
        except ValueError:
            return str(value)  # for the reader to refuse
    if isinstance(value, (float, np.floating)):
        number = float(value)
        return repr(int(number)) if number.is_integer() and abs(number) < 1e15 else repr(number)
    return str(value)


def through_csv(table: str, cells: Mapping[str, Sequence[Any]], reader: Callable[[str, str], Any],
                columns: Mapping[str, str | None] | None = None) -> Any:
    """Gives the table to a reader of our CSV files, so that both check the same; its errors name row and heading."""
    found = headings(table, list(cells), None, columns)
    file = io.StringIO()
    writer = csv.writer(file, lineterminator="\n")
    writer.writerow(found)
    line, lines = 2, []
    for row in zip(*(cells[heading] for heading in found.values()), strict=True):
        texts = [csv_cell(value) for value in row]
        writer.writerow(texts)
        lines.append(line)
        line += 1 + sum(text.count("\n") for text in texts)
    try:
        return reader(file.getvalue(), table)
    except core.ValueError as error:
        raise bad_cells([_of_line(table, p, lines, found) for p in error.problems]) from None


def _of_line(table: str, problem: core.Problem, lines: Sequence[int], found: Mapping[str, str]) -> CellProblem:
    row = int(np.searchsorted(lines, problem.line, side="right")) - 1 if problem.line > 1 else -1
    name = re.sub(r"^.*\.", "", problem.field)
    heading = found.get(name, problem.field)
    return CellProblem(table, row, heading, problem.expected, problem.got, problem.hint)
