"""The table of options in docs/coach.md is that of the library."""

from __future__ import annotations

import pathlib

import libseal


def number(value: float) -> str:
    return f"{value:g}"


def cell(layout: str, limit: libseal.OptionRange) -> str:
    if limit.low == limit.high:
        return "-"
    usual = getattr(libseal.layout_options(layout), limit.option, None)
    span = "yes or no" if isinstance(usual, bool) else f"{number(limit.low)} to {number(limit.high)}"
    if usual is None:
        return span
    return f"{span} ({('yes' if usual else 'no') if isinstance(usual, bool) else number(usual)})"


def table() -> str:
    names = libseal.layout_names()
    rows = ["| option | " + " | ".join(f"`{name}`" for name in names) + " |", "|---|" + "---|" * len(names)]
    for limits in zip(*(libseal.layout_ranges(name) for name in names), strict=True):
        unit = " m" if limits[0].option in ("length", "width") or limits[0].option.endswith(("_height", "_length")) else ""
        cells = [cell(name, limit) for name, limit in zip(names, limits, strict=True)]
        rows.append(f"| `{limits[0].option}`{',' + unit if unit else ''} | " + " | ".join(cells) + " |")
    return "\n".join(rows)


def test_table_of_options_is_that_of_the_library(root: pathlib.Path) -> None:
    assert table() in (root / "docs" / "coach.md").read_text(encoding="utf-8")
