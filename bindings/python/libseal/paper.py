"""What the printed pages share: templates, safe texts, days and money in words, files written whole or not at all."""

from __future__ import annotations

import datetime
import functools
import os
import pathlib
import re
from collections.abc import Iterable
from typing import Any, TypeAlias

from . import _libseal as core
from .canvas import clean, ramp_colour
from .files import write_whole
from .problems import Problem, failure

Environment: TypeAlias = Any  # of jinja2, which is needed for pages only

__all__ = ["percent", "render", "write_text"]

NO_SPACE = re.compile(r"[\s\u2028\u2029]+")


def finalized(value: Any) -> Any:
    """What is printed for a value: texts without the letters that HTML forbids; marked-up text stays itself."""
    return value if not isinstance(value, str) or hasattr(value, "__html__") else clean(value)


@functools.cache
def templates() -> Environment:
    """The templates of the package, compiled once. Every text is escaped."""
    try:
        import jinja2
    except ImportError as error:
        raise ImportError("the page needs jinja2: pip install jinja2") from error
    environment = jinja2.Environment(loader=jinja2.PackageLoader("libseal", "."), autoescape=True, trim_blocks=True, lstrip_blocks=True,
                                     undefined=jinja2.StrictUndefined, finalize=finalized, auto_reload=False)
    environment.globals.update(ramp=ramp_colour, version=core.__version__)
    return environment


def render(template: str, **values: Any) -> str:
    """A page as text that is valid UTF-8."""
    return str(templates().get_template(template).render(**values))


def drawn(svg: str) -> Any:
    """SVG made by this package, whose texts are escaped already."""
    import markupsafe

    return markupsafe.Markup(svg)


def one_line(text: str) -> str:
    """A text of somebody on one line."""
    return NO_SPACE.sub(" ", text).strip()


def percent(p: float) -> str:
    """A probability for people: nothing is certain, and nothing impossible."""
    value = 100 * p
    if 0 < value < 1:
        return "<1 %"
    if 99 < value < 100:
        return ">99 %"
    return f"{value:.0f} %"


def chance(p: float) -> dict[str, Any]:
    """A probability with its step on the ramp."""
    return {"text": percent(p), "colour": ramp_colour(p)}


def money(cost: core.Cost, currency: str) -> dict[str, str]:
    """Low, likely and high."""
    return {"low": core.money_text(cost.low, currency), "likely": core.money_text(cost.mode, currency),
            "high": core.money_text(cost.high, currency)}


def money_range(cost: core.Cost, currency: str) -> str:
    """A range on one line; the currency once."""
    if cost.low == cost.high:
        return core.money_text(cost.mode, currency)
    return f"{core.money_text(cost.low, currency).rsplit(' ', 1)[0]} to {core.money_text(cost.high, currency)}"


def hours_range(minutes: core.Minutes) -> str:
    low, high = f"{minutes.low / 60:.1f}", f"{minutes.high / 60:.1f}"
    return f"{low} h" if low == high else f"{low} to {high} h"


def minutes_range(minutes: core.Minutes) -> str:
    low, mode, high = (round(value) for value in (minutes.low, minutes.mode, minutes.high))
    return f"{mode}" if low == high else f"{mode} ({low} to {high})"


def days_text(first: datetime.date, last: datetime.date) -> str:
    return str(first) + (f" to {last}" if last != first else "")


def distinct(texts: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(texts))


def write_text(path: str | os.PathLike[str], text: str) -> None:
    """Writes a page: all of it or nothing. Raises FileError with the path and the system's reason."""
    try:
        write_whole(path, text.encode("utf-8", "replace").decode())
    except OSError as error:
        if isinstance(error, core.Error):
            raise
        raise file_error(pathlib.Path(path), error) from error


def file_error(path: os.PathLike[str], error: OSError) -> core.FileError:
    """The library's own error for a file that could not be written."""
    reason = error.strerror or str(error)
    return failure(core.FileError, Problem("a file that can be written", reason, file=os.fspath(path)))
