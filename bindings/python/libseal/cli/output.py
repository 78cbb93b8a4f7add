"""What a command says: results on standard output, everything else on standard error, or one JSON document."""

from __future__ import annotations

import contextlib
import datetime
import json
import math
import os
import re
import sys
from collections.abc import Callable, Iterator
from typing import Any, TextIO

from . import codes
from ..files import write_whole

SCHEMA = "libseal/command/1"
STEERING = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f]")  # what a terminal obeys; line feeds and tabs stay


def plain(value: Any) -> Any:
    """Data as JSON has it: days as text, what is not a number as null, columns as lists."""
    if isinstance(value, dict):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain(item) for item in value]
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, (datetime.date, datetime.datetime)):
        return value.isoformat()
    if value is None or isinstance(value, (str, int, bool)):
        return value
    if hasattr(value, "dtype"):  # of NumPy
        return str(value) if value.dtype.kind == "M" and not value.shape else plain(
            value.astype(str).tolist() if value.dtype.kind == "M" else value.tolist())
    raise TypeError(f"no JSON for {type(value).__name__}")


def visible(text: str) -> str:
    """A text that does not steer the terminal: names from files may hold any letters."""
    return STEERING.sub("\ufffd", text)


def colourful(stream: TextIO) -> bool:
    """Colour only on a terminal, and never against NO_COLOR or TERM=dumb."""
    return stream.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


@contextlib.contextmanager
def standard_output() -> Iterator[TextIO]:
    """Standard output, which has a name in errors; whoever reads a closed pipe is gone, which is another matter."""
    try:
        yield sys.stdout
    except BrokenPipeError:
        raise
    except OSError as error:
        error.filename = "standard output"
        raise


class Output:
    """What one run of a command has to say."""

    def __init__(self, command: str, as_json: bool = False, quiet: bool = False) -> None:
        self.command, self.as_json, self.quiet = command, as_json, quiet
        self.result: Any = None
        self.notes: list[str] = []
        self.problems: list[dict[str, Any]] = []
        self.warnings: list[dict[str, Any]] = []
        self.files: list[dict[str, str]] = []
        self.piped = False  # a file went to standard output: nothing else may

    def say(self, text: str) -> None:
        """A line of the result, for people."""
        if not self.as_json and not self.piped:
            with standard_output() as out:
                print(visible(text), file=out)

    def tell(self, text: str, label: str = "note") -> None:
        mark = {"error": "31;1", "warning": "33"}.get(label, "2")
        head = f"\x1b[{mark}m{label}:\x1b[0m" if colourful(sys.stderr) else f"{label}:"
        print(f"{head} {visible(text)}", file=sys.stderr)

    def note(self, text: str) -> None:
        self.notes.append(text)
        if not self.quiet:
            self.tell(text)

    def warn(self, problems: Any) -> None:
        """Doubts of the library about its input."""
        found = [codes.problem_of(p) for p in problems]
        self.warnings += found
        for p in found if not self.quiet else []:
            self.tell(codes.problem_text(p), "warning")

    def blame(self, problems: list[dict[str, Any]]) -> None:
        self.problems += problems
        for p in problems:
            self.tell(codes.problem_text(p), "error")

    def write(self, target: str, text: str, what: str) -> None:
        """A whole file or none; "-" is standard output."""
        if target == "-":
            if self.as_json or self.piped:
                raise codes.CommandError(codes.USAGE, [codes.problem(
                    "one thing on standard output", f"{what} there too", hint="give a file name, or leave out --json")])
            self.piped = True
            with standard_output() as out:
                out.buffer.write(text.encode("utf-8"))
                out.buffer.flush()
            return
        write_whole(target, text)
        self.files.append({"path": target, "what": what})
        if not self.quiet:
            print(f"{what}: {target}", file=sys.stderr if self.piped or self.as_json else sys.stdout)

    def envelope(self, code: int) -> str:
        from .._version import version

        document = {"schema": SCHEMA, "command": self.command, "version": version(), "exit_code": code, "meaning": codes.MEANINGS[code],
                    "problems": self.problems, "warnings": self.warnings, "notes": self.notes, "files": self.files,
                    "result": plain(self.result)}
        return json.dumps(document, ensure_ascii=False, indent=1, allow_nan=False)

    def close(self, code: int) -> int:
        with standard_output() as out:
            if self.as_json:
                print(self.envelope(code), file=out)
            out.flush()
        return code

    @contextlib.contextmanager
    def progress(self) -> Iterator[Callable[[Any], None] | None]:
        """A callback for long calls that draws a bar; None where nobody would see one."""
        if self.quiet or not sys.stderr.isatty():
            yield None
            return
        try:
            from tqdm import tqdm
        except ImportError:
            yield None
            return
        bars: dict[str, Any] = {}

        def show(state: Any) -> None:
            if state.stage not in bars:
                for bar in bars.values():
                    bar.close()
                bars[state.stage] = tqdm(total=1.0, desc=state.stage, leave=False, file=sys.stderr, dynamic_ncols=True,
                                         bar_format="{desc:>12} {percentage:3.0f} % |{bar}| {elapsed}")
            bars[state.stage].update(max(0.0, state.fraction - bars[state.stage].n))

        try:
            yield show
        finally:
            for bar in bars.values():
                bar.close()


def table(rows: list[list[str]], head: list[str]) -> str:
    """Columns of text, numbers to the right; the last column runs free."""
    if not rows:
        return ""
    width = [max(len(row[i]) for row in [head, *rows]) for i in range(len(head))]

    def line(row: list[str], numbers: list[bool]) -> str:
        cells = [cell.rjust(w) if right else cell.ljust(w) for cell, w, right in zip(row, width, numbers, strict=True)]
        return "  ".join(cells).rstrip()

    right = [all(row[i][:1] in "-0123456789" and not row[i].count("-") > 1 for row in rows) for i in range(len(head))]
    return "\n".join([line(head, right), *(line(row, right) for row in rows)])
